"""What looked wrong on a habitat sheet and is so all the same: its figures, or where its photos were taken."""

from __future__ import annotations

from dataclasses import replace

from planner.domain.field.habitat_sheet import Confirmed, HabitatSheet
from planner.domain.finding import Rule

OF_FIGURES = frozenset(
    {Rule.SHEET_MOVED, Rule.SHEET_TURNED, Rule.SHEET_SWAPPED, Rule.SHEET_COPIED, Rule.SHEET_OBSERVERS}
)
"""Findings that are about figures which may well be right: they are told no more once somebody has said so."""


def with_figures_confirmed(sheet: HabitatSheet, note: str = "") -> HabitatSheet:
    """Return a sheet whose figures, as they stand, are said to be right."""
    return replace(sheet, confirmed=Confirmed(sheet.figures_name, note))


def with_photos_confirmed(sheet: HabitatSheet) -> HabitatSheet:
    """Return a sheet all of whose photos are said to show its point."""
    return replace(sheet, photos=tuple(replace(photo, belongs=True) for photo in sheet.photos))


def unconfirmed(sheet: HabitatSheet) -> HabitatSheet:
    """Return a sheet of which nothing was confirmed: at another point all is to be asked anew."""
    return replace(sheet, confirmed=None, photos=tuple(replace(photo, belongs=False) for photo in sheet.photos))


def anything_confirmed(sheet: HabitatSheet) -> bool:
    """Whether anything on a sheet was confirmed as it stands."""
    return sheet.is_confirmed or any(photo.belongs for photo in sheet.photos)
