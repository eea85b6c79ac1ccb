"""First start: no book yet. Two ways in, a reading test, the look; nothing to fill in."""
