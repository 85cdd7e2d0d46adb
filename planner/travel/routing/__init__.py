"""Quickest ways that keep to forbidden turns."""
