"""Figures of a season, by hand and beside other libraries."""
