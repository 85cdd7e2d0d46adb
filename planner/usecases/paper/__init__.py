"""Itineraries: what stands on them, printing them, and whose have changed since."""
