"""The printed scale card: make it, check it, stand it."""
