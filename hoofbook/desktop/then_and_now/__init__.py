"""The place Then and now: two photos at one millimetre scale."""
