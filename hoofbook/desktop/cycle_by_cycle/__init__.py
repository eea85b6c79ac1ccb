"""Cycle by cycle: the readings of one measure of one foot over its shoeing cycles, and what may be said of them."""
