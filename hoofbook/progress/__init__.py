"""Compares quantities across visits: what may be compared, and whether it changed."""
