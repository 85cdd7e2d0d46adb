"""The tables of the Drives page: their headings, and what stands in their rows."""

from __future__ import annotations

import math
from collections.abc import Sequence

from planner.desktop.reports.figures_model import Figure
from planner.desktop.sheets.drives.said import (
    change_words,
    factor_words,
    range_words,
    ratio,
    rests_words,
    visits_words,
    way_words,
)
from planner.desktop.sheets.words import tr
from planner.usecases.calibrating import Calibrated, FactorChange, LeftOut, RecordedLeg, RouteChange, VisitChange

Row = tuple[Figure, ...]
Heading = tuple[str, str]
"""The words over a column, and what they mean."""


def route_headings() -> tuple[Heading, ...]:
    """Return the headings of the table by route."""
    return (
        (tr("Route"), ""),
        (tr("Drives"), tr("Recorded drives between its points that were used")),
        (tr("Took / expected"), tr("Minutes of driving on these as recorded, and as expected before")),
        (
            tr("On top"),
            tr(
                "What its drives are multiplied by beside the factors of its roads: as planned with, and as recorded. "
                "Few drives are drawn towards the season's figure."
            ),
        ),
        (tr("95 of 100"), tr("In 95 of 100 seasons the true factor lies from here to there")),
        (tr("Along it"), tr("Minutes from point to point in the order of the route, all that a plan reckons with")),
        (tr("To spare, min"), tr("Visits to come: minutes from the last count to the end of the light window")),
    )


def route_row(route: RouteChange) -> Row:
    """Return a route: its drives, its own factor before and after, minutes along it, margins of visits to come."""
    before, after = f"{route.drives_before_minutes:.0f}", f"{route.drives_after_minutes:.0f}"
    lies_in = range_words(route.least, route.most) if route.least is not None and route.most is not None else "–"
    on_top = change_words(factor_words(route.before), factor_words(route.after))
    worst = min((_to_spare(one) for one in route.visits), default=math.inf)
    return (
        Figure(route.route),
        Figure(str(route.legs), float(route.legs)),
        _took(route.recorded_minutes, route.expected_minutes) if route.legs else Figure("–", -1.0),
        Figure(on_top if route.own else tr("as its roads"), route.after),
        Figure(lies_in, route.least or 0.0),
        Figure(change_words(before, after), route.drives_after_minutes),
        Figure(visits_words(route.visits), worst),
    )


def road_headings() -> tuple[Heading, ...]:
    """Return the headings of the table by road class."""
    return (
        (tr("Road class"), tr("The class of road in OpenStreetMap")),
        (tr("Drives"), tr("Recorded drives that tell of it")),
        (
            tr("Took / expected"),
            tr(
                "Minutes of driving as recorded, and as expected before. What a drive took is written down as "
                "a whole, so a class has no recorded minutes of its own."
            ),
        ),
        (tr("Factor"), tr("What its minutes are multiplied by: as planned with, and as recorded")),
        (tr("95 of 100"), tr("In 95 of 100 seasons the true factor lies from here to there")),
        (tr("Rests on"), tr("With fewer than 3 drives of its own a class goes by the season's figure")),
    )


def road_rows(found: Calibrated) -> list[Row]:
    """Return the season first, then each road class."""
    season = found.season
    if season is None:
        return []
    whole = _road_row(tr("all drives"), season, _took(found.recorded_minutes, found.expected_minutes))
    return [whole, *(_road_row(one.name, one, _by_map(found.expected_on(one.name))) for one in found.classes)]


def leg_headings() -> tuple[Heading, ...]:
    """Return the headings of the list of drives."""
    return (
        (tr("Drive"), tr("Route, visit, and from point to point")),
        (tr("Expected"), tr("Minutes of driving by the road map, or by the estimate where there is none")),
        (tr("Took"), tr("Minutes of driving as recorded, stop overhead and ways on foot left out")),
        ("×", tr("How many times as long it took")),
    )


def leg_rows(legs: Sequence[RecordedLeg]) -> list[Row]:
    """Return each drive that was used: which, expected and recorded minutes, and how many times as long it took."""
    return [
        (
            Figure(way_words(leg.name)),
            Figure(f"{leg.expected_minutes:.1f}", leg.expected_minutes),
            Figure(f"{max(leg.driven_minutes, 0.0):.1f}", leg.driven_minutes),
            Figure(factor_words(ratio(leg)), ratio(leg)),
        )
        for leg in legs
    ]


def left_out_headings() -> tuple[Heading, ...]:
    """Return the headings of what was left out."""
    return (tr("Left out"), ""), (tr("Why"), "")


def left_out_rows(left_out: Sequence[LeftOut]) -> list[Row]:
    """Return what was left out, and why."""
    return [(Figure(one.what), Figure(one.why)) for one in left_out]


def _road_row(name: str, change: FactorChange, took: Figure) -> Row:
    factor = change_words(factor_words(change.before), factor_words(change.after))
    return (
        Figure(name),
        Figure(str(change.legs), float(change.legs)),
        took,
        Figure(factor, change.after),
        Figure(range_words(change.least, change.most), change.least),
        Figure(rests_words(change)),
    )


def _took(recorded: float, expected: float) -> Figure:
    return Figure(f"{recorded:.0f} / {expected:.0f}", recorded)


def _by_map(expected: float) -> Figure:
    return Figure(f"– / {expected:.0f}", expected)


def _to_spare(visit: VisitChange) -> float:
    """Return what a row is ordered by: visits that would not fit first, then by what is to spare."""
    margin = visit.margin_after_minutes
    return -math.inf if visit.no_longer_fits or margin is None else margin
