"""How the figures are made: definitions, sources, limits, cautions."""
