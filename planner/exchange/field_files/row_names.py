"""Which visit, point and run a row is of; what does not fit the season is noted with the whole row."""

from __future__ import annotations

from dataclasses import dataclass

from planner.exchange.field_files.field_season import FieldSeason
from planner.exchange.field_files.row_cells import Carried, RowCells, carried_down, number_of
from planner.exchange.point_names import point_named

_NOT_KEPT = "The row was not kept: correct it, and record the file again."


@dataclass(frozen=True, slots=True)
class RowNames:
    """What a row is of."""

    route: str
    visit: int
    point: int = 0
    """0: the whole visit."""

    def __str__(self) -> str:
        """The row's subject in words."""
        return f"{self.route} visit {self.visit}" + (f" point {self.point}" if self.point else "")


def row_names(cells: RowCells, season: FieldSeason, carried: Carried, *, point: bool) -> RowNames | None:
    """Return what a row is of; None after noting why that cannot be told, with all that stands in the row.

    Args:
        cells: the row.
        season: what it is held against.
        carried: what the rows above were of.
        point: whether it is of one point.
    """
    route_text, visit_text = carried_down(cells, carried)
    route = season.route_called(route_text)
    visit = number_of(visit_text)
    before = len(cells.bad)
    if not route:
        codes = ", ".join(one.code for one in season.season.routes[:12])
        _note(cells, "route", f"the code of a route of this season ({codes}{_more(season)})")
    if not 1 <= visit <= len(season.season.visits):
        _note(cells, "visit", f"the number of a visit, 1 to {len(season.season.visits)}")
    number = _point(cells.text("point"), route) if point else 0
    if point and route and number not in season.points(route):
        numbers = sorted(season.points(route))
        _note(cells, "point", f"a point of route {route} ({_range(numbers)})")
    return RowNames(route, visit, number) if len(cells.bad) == before else None


def _point(text: str, route: str) -> int:
    """Return the number in '3', 'Point 3' or, of that route, 'R01-03'; 0 where there is none."""
    named = point_named(text, route)
    return number_of(text) or (named.number if named.code == route else None) or 0


def _note(cells: RowCells, key: str, expected: str) -> None:
    found, merged = cells.text(key), cells.merged(key)
    if merged is not None and merged.many_rows:
        expected = f"{expected} in each row; {merged.name} is one merged cell"
    cells.note(key, expected, _NOT_KEPT, stood=f"{found or 'nothing'} (the row: {cells.whole})")


def _more(season: FieldSeason) -> str:
    return " …" if len(season.season.routes) > 12 else ""


def _range(numbers: list[int]) -> str:
    if not numbers:
        return "it has none"
    return f"{numbers[0]} to {numbers[-1]}" if len(numbers) == numbers[-1] - numbers[0] + 1 else str(numbers)
