"""Itineraries and sheets on paper: one renderer for PDF, preview and printer."""
