"""The page of calendars and messages: what each was last told, and what must be told now."""
