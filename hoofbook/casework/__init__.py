"""What a person can ask for: the only place that joins records, pixels, numbers and papers."""
