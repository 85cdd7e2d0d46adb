"""Two habitat sheets side by side, class by class."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from planner.domain.field.agreement import comparable, sheets_overlap
from planner.domain.field.between_visits import moves
from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey, Side
from planner.domain.habitat import HabitatRule
from planner.usecases.sheets.entry import sheet_before


@dataclass(frozen=True, slots=True)
class PairRow:
    """One class on both sheets, in percent; None: left blank."""

    side: Side
    code: str
    name: str
    stable: bool
    first: int | None
    second: int | None
    moved: bool
    """Whether the difference is one that is said: a stable class by 20 points or more, or all of any class."""

    @property
    def difference(self) -> int:
        """Percent of the second less percent of the first."""
        return (self.second or 0) - (self.first or 0)


@dataclass(frozen=True, slots=True)
class SheetPair:
    """Two sheets, and what they come to beside each other."""

    first: HabitatSheet
    second: HabitatSheet
    rows: tuple[PairRow, ...]
    """Side by side of the road, in the protocol's order; classes that neither has are left out."""
    overlap_percent: float | None
    """How much the two share; None where one of them is not complete."""


def sheet_pair(first: HabitatSheet, second: HabitatSheet, rule: HabitatRule) -> SheetPair:
    """Return two sheets side by side."""
    one, other = ({cover.side: dict(cover.percents) for cover in sheet.covers} for sheet in (first, second))
    moved = moved_cells(first, second, rule)
    rows = tuple(
        PairRow(
            side,
            known.code,
            known.name,
            known.stable,
            one[side].get(known.code),
            other.get(side, {}).get(known.code),
            (side, known.code) in moved,
        )
        for side in one
        for known in rule.classes
        if one[side].get(known.code) or other.get(side, {}).get(known.code)
    )
    return SheetPair(first, second, rows, sheets_overlap(first, second) if comparable(first, second) else None)


def pairs_at(sheets: Iterable[HabitatSheet], key: SheetKey) -> tuple[tuple[SheetKey, SheetKey], ...]:
    """Return what a sheet can be looked at beside: that of the visit before, and those of other people.

    Args:
        sheets: all that are kept.
        key: of the sheet; there is nothing to look at where it is not among them.
    """
    kept = [sheet for sheet in sheets if not sheet.empty]
    if all(sheet.key != key for sheet in kept):
        return ()
    before = sheet_before(kept, key)
    earlier = [] if before is None else [(before.key, key)]
    place = (key.route, key.visit, key.point)
    others = [
        sheet.key for sheet in kept if (sheet.key.route, sheet.key.visit, sheet.key.point) == place and sheet.key != key
    ]
    return (*earlier, *((key, other) for other in others))


def moved_cells(first: HabitatSheet, second: HabitatSheet, rule: HabitatRule) -> frozenset[tuple[Side, str]]:
    """Return the side and class of each figure that stands otherwise than it should, by the sheet before.

    While the second is still being written, only classes that have a figure are looked at. Of figures that somebody
    confirmed none does.
    """
    if second.is_confirmed or [cover.side for cover in first.covers] != [cover.side for cover in second.covers]:
        return frozenset()
    written = {
        (cover.side, code)
        for cover in second.covers
        for code in ([one.code for one in rule.classes] if cover.total == 100 else dict(cover.percents))
    }
    return frozenset((move.side, move.code) for move in moves(first, second, rule)) & written
