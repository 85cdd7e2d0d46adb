"""What the columns of the grid are called, and what belongs in them."""

from __future__ import annotations

from enum import StrEnum

from planner.desktop.sheets.words import tr
from planner.domain.field.habitat_sheet import HabitatSheet, SheetState, Side
from planner.domain.field.sheet_rules import SheetFault, step_words
from planner.domain.habitat import HabitatRule
from planner.usecases.sheets.entry import CellKind, SheetCell


class Shown(StrEnum):
    """Columns that are read only."""

    POINT = "point"
    REST = "rest"
    PHOTOS = "photos"
    STATE = "state"


def column_name(cell: SheetCell | None, shown: Shown | None, rule: HabitatRule, rest_of: Side = Side.CIRCLE) -> str:
    """Return the name over a column; a class that should not change between visits has a bar.

    Args:
        cell: what is written in it; None: nothing is.
        shown: what is shown in it in place of that.
        rule: how habitat is estimated.
        rest_of: which side of the road a rest is that of.
    """
    if cell is None:
        return f"{side_word(rest_of)} {_shown_names()[shown]}".strip() if shown is not None else ""
    if cell.kind is not CellKind.CLASS:
        return {
            CellKind.GRAZED: tr("Grazed"),
            CellKind.LIVESTOCK: tr("Livestock"),
            CellKind.SPECIES: tr("Species"),
            CellKind.NOTE: tr("Note"),
        }[cell.kind]
    bar = "▪" if rule.by_code[cell.code].stable else ""
    return f"{side_word(cell.side)} {cell.code}{bar}".strip()


def side_word(side: Side) -> str:
    """Return a side of the road in a word; empty for the whole circle."""
    return {Side.CIRCLE: "", Side.LEFT: tr("left"), Side.RIGHT: tr("right")}[side]


def cell_tip(cell: SheetCell | None, shown: Shown | None, rule: HabitatRule) -> str:
    """Return what belongs in a column, in a sentence."""
    if cell is None:
        return _shown_tips()[shown] if shown is not None else ""
    if cell.kind is CellKind.GRAZED:
        return tr("Percent of the ground that is grazed, %1; 0 where nothing is", step_words(rule))
    if cell.kind is CellKind.LIVESTOCK:
        return tr("Domestic animals in view, counted; deer and other wild animals never. 0 where there are none")
    if cell.kind is CellKind.SPECIES:
        return tr("Other species of concern that were seen")
    if cell.kind is CellKind.NOTE:
        return tr("What must be said; 'other' always needs it")
    one = rule.by_code[cell.code]
    stays = tr("Should not change between visits (▪).") if one.stable else tr("May change between visits.")
    return f"{one.name}: {one.hint} {stays}".replace(":  ", ": ")


def state_words(sheet: HabitatSheet) -> str:
    """Return how far a sheet has come, in a word."""
    if sheet.empty:
        return ""
    state = tr("final") if sheet.state is SheetState.FINAL else tr("draft")
    return tr("%1, confirmed", state) if sheet.is_confirmed else state


def state_sign(sheet: HabitatSheet) -> str:
    """Return how far a sheet has come, as a sign: a pen, or a tick."""
    if sheet.empty:
        return ""
    return "✓" if sheet.state is SheetState.FINAL else "✎"


def fault_words(fault: SheetFault) -> str:
    """Return what is wrong and what to do, in a line."""
    what = str(fault)
    return f"{what[:1].upper()}{what[1:]}. {fault.todo}"


def _shown_names() -> dict[Shown, str]:
    return {
        Shown.POINT: tr("Pt"),
        Shown.REST: tr("Rest"),
        Shown.PHOTOS: tr("Pics"),
        Shown.STATE: tr("State"),
    }


def _shown_tips() -> dict[Shown, str]:
    return {
        Shown.POINT: tr("Number of the point"),
        Shown.REST: tr("Percent still to be given; below 0: so many too many"),
        Shown.PHOTOS: tr("Pictures kept with the sheet"),
        Shown.STATE: tr("✎ draft, ✓ final: handed in and in order"),
    }
