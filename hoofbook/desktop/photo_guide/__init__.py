"""The guide for taking sole photos."""
