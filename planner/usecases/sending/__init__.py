"""What goes out to people: calendars, tracks, pages for the telephone and letters, and what they were told."""
