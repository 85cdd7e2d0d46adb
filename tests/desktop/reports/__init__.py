"""The Reports room."""
