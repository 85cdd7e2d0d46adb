"""What each visit could have if it had everybody to itself: the simplest bound on what any plan fills."""

from __future__ import annotations

import numpy as np

from planner.scheduling.engine.compile import Compiled
from planner.scheduling.engine.instance import RouteCase
from planner.scheduling.problem import BoolArray


def could_be_filled(compiled: Compiled) -> int:
    """Return the fixed visits and those that somebody could do on some date."""
    alone = (_team_days(case, k)[0].any() for case, k in _open(compiled))
    return compiled.instance.standing.filled + sum(bool(one) for one in alone)


def could_be_reserved(compiled: Compiled) -> int:
    """Return the fixed visits with a reserve date and those that somebody could do with one."""
    found = compiled.instance.standing.reserved
    for case, k in _open(compiled):
        dates, lasts = _team_days(case, k)
        earliest = np.where(dates.any(axis=-1), dates.argmax(axis=-1), dates.shape[-1])
        latest = np.where(lasts.any(axis=-1), lasts.shape[-1] - 1 - lasts[..., ::-1].argmax(axis=-1), -1)
        found += bool((earliest < latest).any())
    return found


def _open(compiled: Compiled) -> list[tuple[RouteCase, int]]:
    return [(case, k) for case in compiled.instance.routes for k in case.open_visits]


def _team_days(case: RouteCase, k: int) -> tuple[BoolArray, BoolArray]:
    """Return on which days each team could do a visit, and which it could keep for it, shape (…, days)."""
    visit = case.visits[k]
    dates, lasts = visit.lead_days & visit.dates, visit.lead_days & visit.lasts
    if k == 0 and case.setup is not None:
        dates = dates & _set_up_before(case)
    if visit.people == 1:
        return dates, lasts
    seconds = visit.second_days[:, None, :, :] & case.pairs[None, :, :, None]
    return dates[:, :, None] & seconds, lasts[:, :, None] & seconds


def _set_up_before(case: RouteCase) -> BoolArray:
    """Return the dates of visit 1 for which each lead could do the set-up, shape (windows, leads, days)."""
    setup = case.setup
    assert setup is not None, "asked only for routes with a set-up"
    able = setup.same_day.copy()
    for before in range(1, min(setup.days_before, able.shape[2] - 1) + 1):
        able[:, :, before:] |= setup.lead_days[None, :, :-before]
    return able
