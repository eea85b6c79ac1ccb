"""Horse card: one horse in one look."""
