"""The Vet case: its form, its pages, and making it."""
