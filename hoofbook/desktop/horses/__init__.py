"""Horses: the list at the side with its search, and the form of one horse."""
