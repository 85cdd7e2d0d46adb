"""Habitat sheets: kept, handed in, with their photos, compared between visits and between observers."""

from planner.usecases.sheets.keeping import forget_sheets, hand_in, keep_sheets, reopen

__all__ = ["forget_sheets", "hand_in", "keep_sheets", "reopen"]
