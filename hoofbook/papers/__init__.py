"""Lays out what owner, vet or printer will read, from values handed to it."""
