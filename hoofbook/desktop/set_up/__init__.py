"""Set up: size of text, look, name, book, and the list of keys."""
