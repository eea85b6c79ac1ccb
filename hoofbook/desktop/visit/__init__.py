"""Visits of a horse, and one visit on one sheet: four feet, one tap each."""
