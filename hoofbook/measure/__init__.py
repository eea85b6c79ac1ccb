"""Marks and cameras into quantities with uncertainty, each with its drawing, or a refusal."""
