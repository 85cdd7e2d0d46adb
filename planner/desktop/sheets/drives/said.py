"""What the Drives page says of recorded drives."""

from __future__ import annotations

from collections.abc import Sequence

from planner.desktop.people.table_model import hours_words
from planner.desktop.season.words import day_words
from planner.desktop.sheets.words import tr
from planner.domain.field.drive_factors import DriveFactors
from planner.domain.field.visit_record import RecordState, VisitRecord
from planner.travel import LEAST_LEGS
from planner.usecases.calibrating import (
    Calibrated,
    FactorChange,
    FactorsChanged,
    LegName,
    RecordedLeg,
    RouteChange,
    VisitChange,
)
from planner.usecases.calibrating.recorded import drives_written


def factor_words(factor: float) -> str:
    """Return a factor: '1.48'."""
    return f"{factor:.2f}"


def range_words(least: float, most: float) -> str:
    """Return where the true factor lies: '1.33–1.64'."""
    return f"{least:.2f}–{most:.2f}"


def change_words(before: str, after: str) -> str:
    """Return what something was and what it would be; said once where it stays."""
    return before if before == after else f"{before} → {after}"


def record_words(name: LegName) -> str:
    """Return which evening a drive belongs to: 'R01, visit 1, Fri 4 Jun'."""
    return tr("%1, visit %2, %3", name.record.route, name.record.visit, day_words(name.record.date))


def way_words(name: LegName) -> str:
    """Return which drive it is: 'R01, 2: 3 → 4' from point 3 to 4 on visit 2 of R01."""
    start = tr("home") if name.start is None else str(name.start)
    end = tr("home") if name.end is None else str(name.end)
    return tr("%1, %2: %3 → %4", name.record.route, name.record.visit, start, end)


def leg_words(leg: RecordedLeg) -> str:
    """Return all that is known of one drive, as a sentence or two."""
    name = leg.name
    start = tr("home") if name.start is None else tr("point %1", name.start)
    end = tr("home") if name.end is None else tr("point %1", name.end)
    took, expected = f"{max(leg.driven_minutes, 0.0):.1f}", f"{leg.expected_minutes:.1f}"
    said = tr("%1: %2 to %3. It took %4 min; %5 were expected.", record_words(name), start, end, took, expected)
    return f"{said} {tr('%1 times as long.', factor_words(ratio(leg)))}"


def ratio(leg: RecordedLeg) -> float:
    """Return recorded over expected minutes; 0 where the rounding of times leaves nothing."""
    return max(leg.driven_minutes, 0.0) / leg.expected_minutes


def came_to_words(found: Calibrated, *, mapped: bool) -> str:
    """Return what recorded drives came to; empty where there are too few.

    Args:
        found: what they came to.
        mapped: whether the season has a road map, and so roads with and without a figure of their own.
    """
    season = found.season
    if season is None:
        return ""
    said = tr(
        "%1: %2 drives took %3 min where %4 min were expected, %5 times as long. %6 is %7; in 95 of 100 seasons "
        "the true one lies from %8 to %9.",
        f"{found.factors.source[:1].upper()}{found.factors.source[1:]}",
        len(found.legs),
        f"{found.recorded_minutes:.0f}",
        f"{found.expected_minutes:.0f}",
        factor_words(found.recorded_minutes / found.expected_minutes),
        tr("The season's figure, for roads without one of their own,") if mapped else tr("The season's figure"),
        factor_words(season.after),
        factor_words(season.least),
        factor_words(season.most),
    )
    before, after = hours_words(found.driving_before_minutes), hours_words(found.driving_after_minutes)
    if before == after:
        return tr("%1 All driving of the plan comes to %2 h with it.", said, after)
    return tr("%1 All driving of the plan would come to %2 h instead of %3 h.", said, after, before)


def planned_words(factors: DriveFactors, broken: int, *, news: bool, mapped: bool) -> str:
    """Return what drives are planned with as things stand, and what to do about it.

    Args:
        factors: of the season as it stands.
        broken: how many rules visits to come break as they stand.
        news: whether recorded drives came to something else.
        mapped: whether the season has a road map.
    """
    if factors.season is None:
        todo = tr(" “Plan with these” changes that, as one step that can be taken back.") if news else ""
        if mapped:
            return tr("Drives are planned as the road map gives them.%1", todo)
        return tr("Drives are planned as they are estimated without roads.%1", todo)
    said = [factors.said(mapped=mapped)]
    if news:
        said.append(tr("Records that came in since say otherwise: “Plan with these” takes the newer figures."))
    if broken:
        said.append(tr("As the plan stands it breaks rules: plan the season anew, or move the visits below."))
    else:
        said.append(tr("The plan keeps its rules as it stands; planned anew, it may do better."))
    return " ".join(said)


def lacking_words(records: Sequence[VisitRecord], bring: str) -> str:
    """Return how many recorded drives there are, how many it takes, and where they are written down.

    Args:
        records: of all visits.
        bring: name of the button that reads filled-in sheets.
    """
    finished = [record for record in records if record.state is RecordState.FINAL]
    drafts = len(records) - len(finished)
    drives = sum(map(drives_written, finished))
    said = [
        tr("It takes %1 recorded drives to say how long drives take here; %2 can be read so far.", LEAST_LEGS, drives)
    ]
    if drafts:
        said.append(tr("%1 visit records are drafts and do not count before they are handed in.", drafts))
    said.append(
        tr(
            "A drive is from the end of one count to the arrival at the next point. Type the times of each visit on "
            "the Visits page, or take them from filled-in workbooks (“%1”).",
            bring,
        )
    )
    return " ".join(said)


def visits_words(visits: Sequence[VisitChange]) -> str:
    """Return the margins of visits to come, before and after: '2: 14 → 5'."""
    return "; ".join(f"{one.key.number}: {_visit_words(one)}" for one in visits) or "–"


def route_sentences(route: RouteChange) -> str:
    """Return what a route comes to, in whole sentences."""
    if route.legs:
        took, expected = f"{route.recorded_minutes:.0f}", f"{route.expected_minutes:.0f}"
        said = [tr("%1: %2 drives took %3 min where %4 were expected.", route.route, route.legs, took, expected)]
    else:
        said = [tr("%1: no drive between its points is recorded.", route.route)]
    for visit in route.visits:
        before, after = _margin(visit.margin_before_minutes), _after(visit)
        key, day = visit.key.number, day_words(visit.date)
        said.append(tr("Visit %1, %2: to spare at the end of the light window %3, then %4.", key, day, before, after))
    return " ".join(said)


def rests_words(change: FactorChange) -> str:
    """Return what a factor rests on."""
    return tr("its own drives") if change.own else tr("all drives: it has too few")


def used_words(changed: FactorsChanged) -> str:
    """Return what a step came to, for the status line."""
    return tr("%1. Ctrl+Z takes it back.", changed.label) if changed.label else tr("Drives are planned so already.")


def _visit_words(visit: VisitChange) -> str:
    before, after = (
        tr("none") if margin is None else f"{margin:.0f}"
        for margin in (visit.margin_before_minutes, visit.margin_after_minutes)
    )
    late = visit.no_longer_fits and visit.missed_after
    return change_words(before, tr("%1 late", visit.missed_after) if late else after)


def _after(visit: VisitChange) -> str:
    if not visit.no_longer_fits:
        return _margin(visit.margin_after_minutes)
    if not visit.missed_after:
        return tr("no outing")
    return tr("1 point too late") if visit.missed_after == 1 else tr("%1 points too late", visit.missed_after)


def _margin(minutes: float | None) -> str:
    return tr("none") if minutes is None else tr("%1 min", f"{minutes:.0f}")
