"""The road map of a season: its speeds, its lines for the eye, and the ways along it."""
