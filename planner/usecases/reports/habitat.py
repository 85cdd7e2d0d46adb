"""The habitat of routes and visits, added up from the sheets that are handed in."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

from planner.domain.field.habitat_sheet import HabitatSheet, SheetState
from planner.domain.habitat import HabitatRule
from planner.domain.reports.habitat_summary import WHOLE_SEASON, ClassCover, HabitatReport, RouteHabitat
from planner.domain.season import Season


@dataclass(frozen=True, slots=True)
class _PointHabitat:
    """A point on one visit: the mean of its sheets, where two observers have estimated it."""

    percents: Mapping[str, float]
    grazed: float | None
    livestock: float | None


_PointKey = tuple[str, int]
"""Route and point."""


def habitat_report(season: Season, sheets: Iterable[HabitatSheet]) -> HabitatReport | None:
    """Return the habitat of a season; None where its protocol estimates none.

    Only sheets that are handed in count. A sheet by sides of the road counts with the mean of its sides, a point with
    the mean of its sheets, a route with the mean of its points.

    Args:
        season: whose routes and classes they are.
        sheets: drafts and finals, of routes that the season may no longer have.
    """
    rule = season.protocol.habitat
    if rule is None:
        return None
    order = {route.code: number for number, route in enumerate(season.routes)}
    visits = _points(rule, (sheet for sheet in sheets if sheet.key.route in order))
    numbers = sorted(visits)
    routes = [
        _summary(rule, route, number, visits, {key for key in visits[number] if key[0] == route})
        for route in order
        for number in numbers
        if any(key[0] == route for key in visits[number])
    ]
    whole = [_summary(rule, WHOLE_SEASON, number, visits, set(visits[number])) for number in numbers]
    return HabitatReport(
        classes=tuple((one.code, one.name) for one in rule.classes),
        routes=tuple(routes),
        whole=tuple(whole),
        with_grazing=rule.grazed_share,
        with_livestock=rule.livestock,
    )


def _points(rule: HabitatRule, sheets: Iterable[HabitatSheet]) -> dict[int, dict[_PointKey, _PointHabitat]]:
    """Return the points that have a sheet handed in, by visit."""
    groups: defaultdict[int, defaultdict[_PointKey, list[HabitatSheet]]] = defaultdict(lambda: defaultdict(list))
    for sheet in sheets:
        if sheet.state is SheetState.FINAL:
            groups[sheet.key.visit][sheet.key.route, sheet.key.point].append(sheet)
    return {
        visit: {key: _point(rule, some) for key, some in sorted(points.items())} for visit, points in groups.items()
    }


def _point(rule: HabitatRule, sheets: Sequence[HabitatSheet]) -> _PointHabitat:
    covers = [cover for sheet in sheets for cover in sheet.covers]
    return _PointHabitat(
        percents={one.code: fmean(cover.percent(one.code) for cover in covers) for one in rule.classes},
        grazed=_mean([sheet.grazed_percent for sheet in sheets if sheet.grazed_percent is not None]),
        livestock=_mean([sheet.livestock for sheet in sheets if sheet.livestock is not None]),
    )


def _summary(
    rule: HabitatRule,
    route: str,
    visit: int,
    visits: Mapping[int, Mapping[_PointKey, _PointHabitat]],
    keys: set[_PointKey],
) -> RouteHabitat:
    points = [visits[visit][key] for key in sorted(keys)]
    earlier = visits.get(visit - 1, {})
    both = [(visits[visit][key], earlier[key]) for key in sorted(keys) if key in earlier]
    livestock = [point.livestock for point in points if point.livestock is not None]
    return RouteHabitat(
        route=route,
        visit=visit,
        points=len(points),
        covers=tuple(_cover(one.code, points, both) for one in rule.classes),
        compared=len(both),
        grazed_mean=_mean([point.grazed for point in points if point.grazed is not None]),
        livestock=sum(livestock) if livestock else None,
    )


def _cover(
    code: str, points: Sequence[_PointHabitat], both: Sequence[tuple[_PointHabitat, _PointHabitat]]
) -> ClassCover:
    percents = [point.percents[code] for point in points]
    changes = [now.percents[code] - before.percents[code] for now, before in both]
    return ClassCover(code, fmean(percents), min(percents), max(percents), _mean(changes))


def _mean(values: Sequence[float]) -> float | None:
    return fmean(values) if values else None
