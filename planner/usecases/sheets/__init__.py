"""Habitat sheets: kept, handed in, with their photos, compared between visits and between observers."""

from planner.usecases.sheets.absent import clear_absent, mark_absent
from planner.usecases.sheets.comparing import Compared, SeasonAgreement, agreement, compared_sheets
from planner.usecases.sheets.findings import NO_SHEETS, KeptSheets, kept_sheet_findings, sheet_findings
from planner.usecases.sheets.keeping import forget_sheets, hand_in, keep_sheets, reopen
from planner.usecases.sheets.photos import Attached, attach_photos, detach_photo, lay_beside, photo_path

__all__ = [
    "NO_SHEETS",
    "Attached",
    "Compared",
    "KeptSheets",
    "SeasonAgreement",
    "agreement",
    "attach_photos",
    "clear_absent",
    "compared_sheets",
    "detach_photo",
    "forget_sheets",
    "hand_in",
    "keep_sheets",
    "kept_sheet_findings",
    "lay_beside",
    "mark_absent",
    "photo_path",
    "reopen",
    "sheet_findings",
]
