"""The steps by which the tables came to be, oldest first; a published step is never changed."""
