"""The Drives page of the Sheets room: what recorded drives came to, and planning with it."""
