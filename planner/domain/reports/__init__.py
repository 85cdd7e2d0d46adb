"""What a coordinator answers for: the figures of a season, as plain values."""
