"""The place Bench: marks on photos, one by one or as a set, with live measures."""
