"""Habitat sheets: kept, handed in, with their photos, compared between visits and between observers."""

from planner.usecases.sheets.keeping import forget_sheets, hand_in, keep_sheets, reopen
from planner.usecases.sheets.photos import Attached, attach_photos, detach_photo, photo_path

__all__ = [
    "Attached",
    "attach_photos",
    "detach_photo",
    "forget_sheets",
    "hand_in",
    "keep_sheets",
    "photo_path",
    "reopen",
]
