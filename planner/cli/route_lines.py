"""A route, its figures, and what could be done about it, in the coordinator's words."""

from __future__ import annotations

import math
from collections.abc import Iterator

from planner.cli.output import finding_lines
from planner.domain.plan import Plan
from planner.domain.route import Route
from planner.domain.season import Season
from planner.usecases.route_fixes import RouteFigures, WeighedFix
from planner.usecases.route_fixes.mending import Mendable


def route_line(route: Route, season: Season, plan: Plan) -> str:
    """Return one route in a line: what it is called and asks for, and how many of its visits are filled."""
    parts = [f"{len(route.points)} points"]
    parts += [f"area {route.area}"] if route.area else []
    parts += ["two must go"] if season.people_for(route) > 1 else []
    parts += [f"needs {', '.join(sorted(route.needs))}"] if route.needs else []
    parts += [f"lead {route.lead}"] if route.lead else []
    parts += [f"visit {number}: {dates}" for number, dates in route.visit_dates]
    parts.append(f"{len(plan.of_route(route.code))} of {len(season.visits)} visits filled")
    return f"{route.title}: {', '.join(parts)}"


def mendable_lines(found: Mendable, command: str) -> Iterator[str]:
    """Yield figures and findings of a route, and what could be done, numbered; ``command`` does it."""
    yield from _figure_lines(found.weighed.figures)
    yield from finding_lines(found.weighed.findings)
    if not found.weighed.findings:
        yield "Nothing to mend."
    if found.weighed.findings and not found.offers:
        yield f"What could be done:  {command}"
    if found.offers:
        yield "What could be done:"
    for number, (_, fix) in enumerate(found.offers, start=1):
        yield f"  {number}. {fix.fix.words}: {_change(fix)}"
        ended = [n for n, finding in enumerate(found.weighed.findings, start=1) if finding in fix.gone]
        yield from ([f"       It ends finding {', '.join(map(str, ended))}."] if ended else [])
        yield from (f"       It brings: {one.what}" for one in fix.come)
    if found.offers:
        yield f"To do one:  {command} N"


def mendable_data(found: Mendable) -> dict[str, object]:
    """Return a route and what could be done about it, for JSON."""
    weighed = found.weighed
    offers = [
        {
            "number": number,
            "kind": fix.fix.kind,
            "points": fix.fix.numbers,
            "finding": finding,
            "ends": fix.gone,
            "brings": fix.come,
        }
        for number, (finding, fix) in enumerate(found.offers, start=1)
    ]
    return {"route": weighed.route, "figures": weighed.figures, "findings": weighed.findings, "offers": offers}


def _figure_lines(figures: RouteFigures) -> Iterator[str]:
    for margin in figures.margins:
        best = f" on its best date, {margin.day:%a} {margin.day.day} {margin.day:%b}" if margin.day else ""
        yield f"  visit {margin.visit}: {_minutes(margin.minutes)}{best}"
    if figures.drive_minutes is not None:
        yield f"  drive from the first point to the last: {_drive(figures.drive_minutes)}"


def _change(fix: WeighedFix) -> str:
    before, after = fix.before.figures, fix.after.figures
    moved = f", moved by {fix.fix.furthest_m:.0f} m at most" if fix.fix.furthest_m else ""
    return (
        f"{_minutes(before.margin_minutes)} -> {_minutes(after.margin_minutes)},"
        f" drive {_drive(before.drive_minutes)} -> {_drive(after.drive_minutes)}{moved}"
    )


def _minutes(minutes: float | None) -> str:
    if minutes is None:
        return "no window"
    if math.isinf(minutes):
        return "no road"
    whole = math.floor(minutes)
    return f"margin {whole} min" if whole >= 0 else f"{-whole} min too long"


def _drive(minutes: float | None) -> str:
    if minutes is None:
        return "not known"
    return "no road" if math.isinf(minutes) else f"{minutes:.0f} min"
