"""What was read, joined with the season."""
