"""What people have as files, read in: looked at first, held against the season, then taken or not."""
