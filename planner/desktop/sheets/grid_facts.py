"""What the grid of one route, visit and observer is drawn from."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field

from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey
from planner.domain.habitat import HabitatRule
from planner.domain.plan import VisitKey
from planner.domain.route import Route
from planner.usecases.season.snapshot import Snapshot
from planner.usecases.sheets.entry import habitat_date, sheet_before


@dataclass(frozen=True, slots=True)
class GridFacts:
    """The sheets of one observer on one visit of one route, beside those of the visit before."""

    route: Route
    rule: HabitatRule
    visit: int
    observer: str
    date: dt.date | None = None
    """When the plan has the ground estimated; what a new sheet is dated."""
    sheets: Mapping[int, HabitatSheet] = field(default_factory=dict)
    """By point, as they are kept."""
    before: Mapping[int, HabitatSheet] = field(default_factory=dict)
    """By point: what was estimated there on the visit before."""

    @classmethod
    def of(cls, found: Snapshot, route: Route, rule: HabitatRule, visit: int, observer: str) -> GridFacts:
        """Return the facts of a grid as the file stands."""
        here = [one for one in found.sheets if one.key.route == route.code]
        sheets = {one.key.point: one for one in here if (one.key.visit, one.key.observer) == (visit, observer)}
        before = {
            point.number: earlier
            for point in route.points
            if (earlier := sheet_before(here, SheetKey(route.code, visit, point.number, observer))) is not None
        }
        date = habitat_date(found.season.protocol, found.plan, VisitKey(route.code, visit))
        return cls(route, rule, visit, observer, date, sheets, before)

    def key(self, point: int) -> SheetKey:
        """Return the key of the sheet of a point."""
        return SheetKey(self.route.code, self.visit, point, self.observer)
