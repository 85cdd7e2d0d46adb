"""The Sheets room: what comes back from the field is written down, looked at and compared."""
