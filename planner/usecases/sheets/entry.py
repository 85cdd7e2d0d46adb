"""What a person types on a habitat sheet, cell by cell; nothing here touches the season file."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from enum import StrEnum

from planner.domain.errors import RuleError
from planner.domain.field.habitat_sheet import MOST_FIGURE, Cover, HabitatSheet, SheetKey, SheetState, Side
from planner.domain.field.sheet_rules import (
    GRAZED_FIELD,
    LIVESTOCK_FIELD,
    NOTE_FIELD,
    SheetFault,
    asked_sides,
    missing_percent,
    with_percent,
    with_rest,
)
from planner.domain.finding import Rule
from planner.domain.habitat import HabitatRule
from planner.domain.plan import Plan, VisitKey
from planner.domain.protocol import Protocol


class CellKind(StrEnum):
    """What a cell of a sheet holds."""

    CLASS = "class"
    GRAZED = GRAZED_FIELD
    LIVESTOCK = LIVESTOCK_FIELD
    SPECIES = "species"
    NOTE = NOTE_FIELD


@dataclass(frozen=True, slots=True)
class SheetCell:
    """One cell of a sheet."""

    kind: CellKind
    code: str = ""
    """Of a class."""
    side: Side = Side.CIRCLE
    """Of a class."""

    @property
    def field(self) -> str:
        """How faults and cells that could not be read name it."""
        return self.code if self.kind is CellKind.CLASS else self.kind.value

    @property
    def is_figure(self) -> bool:
        """Whether a whole number stands in it."""
        return self.kind in (CellKind.CLASS, CellKind.GRAZED, CellKind.LIVESTOCK)

    def has(self, fault: SheetFault) -> bool:
        """Whether a fault is one of this cell."""
        return fault.field == self.field and fault.side in (None, self.side)


def sheet_cells(rule: HabitatRule) -> tuple[SheetCell, ...]:
    """Return the cells of a protocol's sheet in the order in which they are filled in."""
    cells = [SheetCell(CellKind.CLASS, one.code, side) for side in asked_sides(rule) for one in rule.classes]
    if rule.grazed_share:
        cells.append(SheetCell(CellKind.GRAZED))
    if rule.livestock:
        cells.append(SheetCell(CellKind.LIVESTOCK))
    return (*cells, SheetCell(CellKind.SPECIES), SheetCell(CellKind.NOTE))


def blank_sheet(key: SheetKey, rule: HabitatRule, date: dt.date | None = None) -> HabitatSheet:
    """Return a sheet on which nothing is written yet."""
    return HabitatSheet(key, tuple(Cover(side) for side in asked_sides(rule)), date)


def cell_text(sheet: HabitatSheet, cell: SheetCell) -> str:
    """Return what stands in a cell; empty where it is blank."""
    figure = _figure(sheet, cell) if cell.is_figure else None
    if figure is not None:
        return str(figure)
    unread = next((one.text for one in sheet.unread if one.field == cell.field), "")
    if cell.kind is CellKind.SPECIES:
        return sheet.species or unread
    return (sheet.note or unread) if cell.kind is CellKind.NOTE else unread


def with_text(sheet: HabitatSheet, cell: SheetCell, text: str) -> HabitatSheet:
    """Return the sheet with one cell written over; what could not be read there before is dealt with by that.

    Raises:
        RuleError: a figure is asked for and the text is no whole number, or one beyond all reason; or the sheet has
            figures of other sides of the road than the cell.
    """
    text = text.strip()
    read = replace(sheet, unread=tuple(one for one in sheet.unread if one.field != cell.field))
    if cell.kind is CellKind.SPECIES:
        return replace(read, species=text)
    if cell.kind is CellKind.NOTE:
        return replace(read, note=text)
    figure = _read_figure(text)
    if cell.kind is CellKind.GRAZED:
        return replace(read, grazed_percent=figure)
    if cell.kind is CellKind.LIVESTOCK:
        return replace(read, livestock=figure)
    return _with_cover(read, cell.side, lambda cover: with_percent(cover, cell.code, figure))


def with_rest_in(sheet: HabitatSheet, cell: SheetCell) -> HabitatSheet:
    """Return the sheet with a class taking what the others leave of 100.

    Raises:
        RuleError: the cell is no class, or the others come to more than 100 already.
    """
    if cell.kind is not CellKind.CLASS:
        raise RuleError("only a habitat class can take the rest")
    read = replace(sheet, unread=tuple(one for one in sheet.unread if one.field != cell.field))
    return _with_cover(read, cell.side, lambda cover: with_rest(cover, cell.code))


def is_unfinished(sheet: HabitatSheet, fault: SheetFault) -> bool:
    """Return whether a fault only says that something is still to be written, as it does while a sheet is typed."""
    if fault.rule is Rule.SHEET_SUM:
        return any(cover.side is fault.side and missing_percent(cover) > 0 for cover in sheet.covers)
    return fault.rule is Rule.SHEET_MISSING


def sheet_before(sheets: Iterable[HabitatSheet], key: SheetKey) -> HabitatSheet | None:
    """Return the sheet of the same point on the visit before: by the same observer where there is one, final first."""
    earlier = [
        one
        for one in sheets
        if (one.key.route, one.key.point, one.key.visit) == (key.route, key.point, key.visit - 1) and not one.empty
    ]
    return min(
        earlier,
        key=lambda one: (one.key.observer != key.observer, one.state is SheetState.DRAFT, one.key.observer),
        default=None,
    )


def habitat_date(protocol: Protocol, plan: Plan, key: VisitKey) -> dt.date | None:
    """Return when a visit's habitat is to be estimated: on its set-up where that is the way, else on its own date."""
    planned = plan.by_key.get(key)
    if planned is None:
        return None
    on_setup = protocol.setup is not None and protocol.setup.habitat
    return planned.setup if on_setup and planned.setup is not None else planned.date


def _with_cover(sheet: HabitatSheet, side: Side, change: Callable[[Cover], Cover]) -> HabitatSheet:
    covers = sheet.covers
    if all(cover.side is not side for cover in covers):
        if any(cover.percents for cover in covers):
            raise RuleError(f"{sheet.key} was estimated with other sides of the road: take the sheet away first")
        covers = (Cover(side),) if side is Side.CIRCLE else (Cover(Side.LEFT), Cover(Side.RIGHT))
    return replace(sheet, covers=tuple(change(cover) if cover.side is side else cover for cover in covers))


def _figure(sheet: HabitatSheet, cell: SheetCell) -> int | None:
    if cell.kind is CellKind.GRAZED:
        return sheet.grazed_percent
    if cell.kind is CellKind.LIVESTOCK:
        return sheet.livestock
    covers = {cover.side: dict(cover.percents) for cover in sheet.covers}
    return covers.get(cell.side, {}).get(cell.code)


def _read_figure(text: str) -> int | None:
    if not text:
        return None
    digits = text.removesuffix("%").strip()
    if not (digits.isascii() and digits.isdecimal()) or len(digits) > len(str(MOST_FIGURE)):
        raise RuleError(f"a whole number from 0 to {MOST_FIGURE} belongs here, found {text!r}")
    return int(digits)
