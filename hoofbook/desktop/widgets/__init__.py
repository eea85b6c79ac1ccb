"""Small parts shared by the places: each paints itself from the theme and can be worked by keyboard alone."""
