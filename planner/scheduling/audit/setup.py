"""The set-up day: before visit 1 and near enough to it, and enough daylight for the whole trip."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator

import numpy as np

from planner.domain.finding import Finding, Rule
from planner.domain.protocol import SetupRule
from planner.scheduling.audit.case import Case
from planner.scheduling.audit.ordering import fit
from planner.scheduling.audit.people import given
from planner.scheduling.audit.running import Run
from planner.scheduling.audit.windows import count_fit, count_runs, legs_s
from planner.scheduling.audit.words import day_words, days_words, whole_minutes_up

_NO_DUSK_YET_S = 86_400.0
"""Where the sun does not set, a set-up may take a whole day."""


def setup_findings(case: Case) -> Iterator[Finding]:
    """Judge the set-up day of one visit, or its absence."""
    rule, day = case.protocol.setup, case.visit.setup
    if day is None:
        if rule is not None and rule.required and case.number == 1:
            what = f"Visit 1 has no set-up day; it must lie within {days_words(rule.days_before_at_most)} before it."
            yield case.finding(Rule.SETUP_DATE, what, "Give it a set-up day.")
        return
    if rule is None or case.number != 1:
        what = f"{case.name} has a set-up day, {day_words(day)}; {_where_setup_belongs(rule)}."
        yield case.finding(Rule.SETUP_DATE, what, "Take the set-up day away.", date=day)
        return
    wrong = _wrong_date(case, rule, day)
    if wrong:
        yield case.finding(Rule.SETUP_DATE, wrong, "Choose another set-up day.", date=day)
        return
    for person in case.people:
        if person.code == case.visit.lead:
            yield from given(case, person, day, "set-up day", rule.part)
    yield from _daylight(case, rule, day)


def _where_setup_belongs(rule: SetupRule | None) -> str:
    return "the protocol has none" if rule is None else "only visit 1 has one"


def _wrong_date(case: Case, rule: SetupRule, day: dt.date) -> str:
    """Return what is wrong with the date; empty where nothing is."""
    before = (case.visit.date - day).days
    if day not in case.season.dates:
        return f"The set-up day {day_words(day)} lies outside the season ({case.season.dates})."
    if before < 0:
        return f"The set-up day {day_words(day)} comes after the visit on {day_words(case.visit.date)}."
    if before == 0 and not rule.same_day_allowed:
        return f"The set-up is on the date of the visit itself, {day_words(day)}; the protocol wants a day of its own."
    if before > rule.days_before_at_most:
        return (
            f"The set-up day {day_words(day)} is {days_words(before)} before the visit,"
            f" limit {rule.days_before_at_most}."
        )
    return ""


def _daylight(case: Case, rule: SetupRule, day: dt.date) -> Iterator[Finding]:
    """Judge whether the lead gets round between sunrise and sunset: home, every point, and home or to the counts."""
    row = next((case.row(person) for person in case.people if person.code == case.visit.lead), None)
    if row is None or not np.isfinite(case.drives.out.cautious[row]).all():
        return
    trip = _trip(case, rule, day, row)
    if trip is None:
        what = f"The sun does not rise on the set-up day {day_words(day)}."
        yield case.finding(Rule.SETUP_LIGHT, what, "Choose another set-up day.", date=day)
        return
    same_day = day == case.visit.date
    ready = [trip.opens_s[0] + drive for drive in _minutes_s(case.drives.out.cautious[row])]
    found = fit([trip], legs_s(case), ready)
    if found.proven and not found.fits and math.isfinite(found.late_s):
        what = (
            f"The set-up on {day_words(day)} ends {whole_minutes_up(found.late_s)} after sunset:"
            f" {rule.minutes_per_point:g} min at each of {trip.points} points, and the drives."
        )
        yield case.finding(Rule.SETUP_LIGHT, what, "Choose a longer day, or a lead who lives nearer.", date=day)
    elif same_day and _counts_come_too_soon(case, trip, ready):
        what = f"The counts of {day_words(day)} begin before a set-up on the same date can be done."
        yield case.finding(Rule.SETUP_LIGHT, what, "Set up on a day before.", date=day)


def _minutes_s(row: np.ndarray) -> list[float]:
    return [minutes * 60 for minutes in row.tolist()]


def _trip(case: Case, rule: SetupRule, day: dt.date, row: int) -> Run | None:
    """Return the set-up as a run over the points in any order; None where there is no daylight.

    On a day of its own it ends at home. On the date of its survey the team stays out.
    """
    daylight = _sun_up(case, day)
    if daylight is None:
        return None
    points = len(case.route.points)
    home = tuple(_minutes_s(case.drives.back.cautious[:, row]))
    return Run(
        opens_s=(daylight[0],) * points,
        closes_s=(daylight[1],) * points,
        stay_s=rule.minutes_per_point * 60,
        orders=None,
        home_s=None if day == case.visit.date else home,
    )


def _sun_up(case: Case, day: dt.date) -> tuple[float, float] | None:
    """Return sunrise and sunset in Unix seconds; a whole day in a polar summer, None in a polar winter."""
    index = case.problem.day_index(day)
    rises, sets = float(case.light.sunrise_utc[index]), float(case.light.sunset_utc[index])
    if math.isfinite(rises) and math.isfinite(sets):
        return rises, sets
    north = case.route.points[0].place.latitude > 0
    if north != (dt.date(day.year, 3, 21) <= day <= dt.date(day.year, 9, 22)):
        return None
    midnight = dt.datetime.combine(day, dt.time(), case.season.tzinfo).timestamp()
    return midnight, midnight + _NO_DUSK_YET_S


def _counts_come_too_soon(case: Case, trip: Run, ready: list[float]) -> bool:
    """Whether counts that fit on their own no longer do when the set-up comes first."""
    if case.window is None or not case.date_stands:
        return False
    light = next(light for light in case.light.windows if light.name == case.window.name)
    runs = count_runs(case, case.window, light.passes, case.visit.date)
    if not np.isfinite([*runs[0].opens_s, *runs[-1].closes_s]).all():
        return False
    alone = count_fit(case, case.window, light.passes, case.visit.date)
    after = fit([trip, *runs], legs_s(case), ready)
    return alone.fits and after.proven and not after.fits
