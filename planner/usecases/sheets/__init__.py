"""Habitat sheets: kept, handed in, with their photos, compared between visits and between observers."""

from planner.usecases.sheets.absent import clear_absent, mark_absent
from planner.usecases.sheets.comparing import Compared, SeasonAgreement, agreement, compared_sheets
from planner.usecases.sheets.confirming import ask_again, confirm_figures, confirm_photos, it_is_so, may_be_so
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
    "ask_again",
    "attach_photos",
    "clear_absent",
    "compared_sheets",
    "confirm_figures",
    "confirm_photos",
    "detach_photo",
    "forget_sheets",
    "hand_in",
    "it_is_so",
    "keep_sheets",
    "kept_sheet_findings",
    "lay_beside",
    "mark_absent",
    "may_be_so",
    "photo_path",
    "reopen",
    "sheet_findings",
]
