"""The whole sole: its map in colour, under a lamp and as a difference, with sections laid through it."""
