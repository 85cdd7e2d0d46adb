"""Why a visit lacks what it lacks, in words: no light, nobody able, nobody free, or the rules between its visits."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from planner.scheduling.engine.cases import STRICT, Ease, given_to
from planner.scheduling.engine.instance import IntArray
from planner.scheduling.explain.case import Lack
from planner.scheduling.explain.words import counted, date_words, listed
from planner.scheduling.problem import BoolArray


def reasons_for(lack: Lack) -> tuple[str, ...]:
    """Return why, the root of it first."""
    light = tuple(_no_light(lack))
    if light:
        return light
    if not lack.people:
        return ("The season has no volunteers.",)
    return tuple(_nobody(lack)) or tuple(_between(lack))


def _lit(lack: Lack) -> BoolArray:
    """Return the days of the visit's range that are to come and on which its counts fit, shape (windows, days)."""
    arrays = lack.arrays
    return arrays.lit(lack.route) & arrays.to_come & _in_range(lack)


def _in_range(lack: Lack) -> BoolArray:
    arrays = lack.arrays
    dates = arrays.season.visit_dates(lack.route, lack.key.number)
    return np.array([day in dates for day in arrays.problem.days], dtype=np.bool_)


def _no_light(lack: Lack) -> Iterator[str]:
    arrays, route = lack.arrays, lack.route
    dates = arrays.season.visit_dates(route, lack.key.number)
    if not route.points:
        yield "The route has no points."
        return
    days = np.flatnonzero(_in_range(lack) & arrays.to_come)
    if not len(days):
        yield f"Its dates ({dates}) are past."
        return
    if _lit(lack).any():
        return
    fit = arrays.fit(route)
    for w, name in enumerate(fit.windows):
        margin = fit.margin_minutes[w, days]
        if np.isnan(margin).all():
            yield f"There is no window '{name}' on any date from {dates.first} to {dates.last}{_because(lack, w)}."
        elif np.nanmax(margin) < 0 and not fit.fits[w, days].any():
            yield (
                f"The counts are at best {-np.nanmax(margin):.0f} minutes too long for window '{name}':"
                f" {int(fit.points_lost[w, days].min())} of {len(route.points)} points do not fit."
            )
        else:
            yield f"The moon is not as the protocol asks for window '{name}' on any date on which the counts fit."


def _because(lack: Lack, window: int) -> str:
    given = lack.arrays.problem.light[lack.route.code].windows[window].reasons
    dates = lack.arrays.season.visit_dates(lack.route, lack.key.number)
    said = Counter(reason for day, reason in given.items() if day in dates)
    return f": {said.most_common(1)[0][0]}" if said else ""


def _nobody(lack: Lack) -> Iterator[str]:
    """Say why each volunteer fails, if all of them do as lead."""
    lit = _lit(lack)
    days = np.flatnonzero(lit.any(axis=0))
    fails: Counter[str] = Counter()
    for volunteer in range(len(lack.people)):
        why = _fails(lack, volunteer, lit, days)
        if not why:
            return
        fails[why] += 1
    yield f"Nobody who may lead it{_asked(lack)} is free {_when(lack, days)}."
    words = [_said(why, number, lack, days) for why, number in sorted(fails.items(), key=lambda item: item[0])]
    yield f"Of {counted(len(lack.people), 'volunteer', 'volunteers')} {listed(words)}."


def _asked(lack: Lack) -> str:
    needs = sorted(lack.route.needs | set(lack.arrays.protocol.people.lead_training))
    return f", lives within the drive limit and has {listed(needs)}" if needs else " and lives within the drive limit"


def _when(lack: Lack, days: IntArray) -> str:
    first = lack.arrays.problem.days.first
    begin, end = (date_words(first + dt.timedelta(days=int(day))) for day in (days[0], days[-1]))
    parts = " or ".join(dict.fromkeys(window.part.value for window in lack.arrays.protocol.windows))
    return f"at {parts} on one of the {counted(len(days), 'possible date', 'possible dates')} from {begin} to {end}"


_FAR, _UNTRAINED, _UNEQUIPPED, _OTHER_LEAD, _FULL, _NOT_FREE, _BUSY = (
    "1 far",
    "2 untrained",
    "3 unequipped",
    "4 other lead",
    "5 full",
    "6 not free",
    "7 busy",
)


def _fails(lack: Lack, volunteer: int, lit: BoolArray, days: IntArray) -> str:
    """Return the first rule that keeps a volunteer from leading the visit; empty: none does."""
    arrays, route = lack.arrays, lack.route
    person = arrays.season.volunteers[volunteer]
    alone = arrays.season.people_for(route) == 1
    given = np.zeros(lit.shape[1], dtype=np.bool_)
    for w, window in enumerate(arrays.protocol.windows):
        given |= given_to(arrays, window.part, STRICT)[volunteer] & lit[w]
    checks = (
        (_FAR, not arrays.drive(route)[volunteer] <= person.drive_limit_minutes),
        (_UNTRAINED, not set(arrays.protocol.people.lead_training) <= person.training),
        (_UNEQUIPPED, alone and not route.needs <= person.abilities),
        (_OTHER_LEAD, route.lead not in ("", person.code)),
        (_FULL, lack.room.limit[volunteer] <= 0),
        (_NOT_FREE, not given[days].any()),
        (_BUSY, not (given & ~lack.room.closed[volunteer]).any()),
    )
    return next((name for name, failed in checks if failed), "")


def _said(why: str, number: int, lack: Lack, days: IntArray) -> str:
    route, training = lack.route, lack.arrays.protocol.people.lead_training
    return {
        _FAR: counted(number, "lives beyond their drive limit", "live beyond their drive limit"),
        _UNTRAINED: counted(number, "lacks", "lack") + f" {listed(training)}",
        _UNEQUIPPED: counted(number, "lacks", "lack") + f" {listed(sorted(route.needs))}",
        _OTHER_LEAD: counted(number, "is", "are") + f" not {route.lead}, who leads this route",
        _FULL: counted(number, "has", "have") + " all the visits they offered",
        _NOT_FREE: counted(number, "is", "are") + f" free on none of the {counted(len(days), 'date', 'dates')}",
        _BUSY: counted(number, "is", "are") + " on another outing on every date they could come",
    }[why]


def _between(lack: Lack) -> Iterator[str]:
    """Say which rule between visits, people or dates stands in the way, found by leaving each out."""
    if lack.mended():
        yield "Nothing stands in the way: planning ended before this was found."
        return
    case = lack.case()
    number = lack.key.number
    if lack.reserve_only:
        dates = lack.arrays.season.visit_dates(lack.route, number)
        yield f"No team has a second free date after its visit up to {date_words(dates.last)} that keeps the gaps."
        return
    if case.setup is not None and lack.mended_in(replace(case, setup=None)):
        before = case.setup.days_before
        yield f"Nobody who could lead visit 1 is free in daylight for its set-up on that day or {before} days before."
    if lack.mended(Ease(gap_days=_A_SEASON)):
        yield "Those who could come cannot keep the gap to the route's other visits."
    if lack.arrays.season.people_for(lack.route) == 2 and lack.mended(Ease(one_person=True)):
        yield "Two must go, and no second person is free with anybody who could lead."
    yield "Those who could lead it are needed elsewhere, or its other visits would be lost."


_A_SEASON = 400
"""Days: more than any gap."""
