"""What each visit could have if it had everybody to itself: the simplest bound on what any plan fills."""

from __future__ import annotations

import numpy as np

from planner.scheduling.engine.compile import Compiled
from planner.scheduling.engine.instance import RouteCase
from planner.scheduling.problem import BoolArray


def could_be_filled(compiled: Compiled) -> int:
    """Return the fixed visits and those that somebody could do on some date."""
    open_visits = _open(compiled)
    return compiled.instance.standing.filled + sum(bool(_ways(case, k).any()) for case, k in open_visits)


def could_be_reserved(compiled: Compiled) -> int:
    """Return the fixed visits with a reserve date and those that somebody could do with one."""
    found = compiled.instance.standing.reserved
    for case, k in _open(compiled):
        visit = case.visits[k]
        found += bool(_ways(case, k)[visit.dates != visit.lasts].any())
    return found


def _open(compiled: Compiled) -> list[tuple[RouteCase, int]]:
    return [(case, k) for case in compiled.instance.routes for k in case.open_visits]


def _ways(case: RouteCase, k: int) -> BoolArray:
    """Return the pairs of dates on which some team could do a visit, shape (pairs,)."""
    visit = case.visits[k]
    leads = visit.lead_days[:, :, visit.dates] & visit.lead_days[:, :, visit.lasts]
    if k == 0 and case.setup is not None:
        leads = leads & _set_up_before(case)[:, :, visit.dates]
    if visit.people == 1:
        return np.asarray(leads.any(axis=(0, 1)))
    seconds = visit.second_days[:, :, visit.dates] & visit.second_days[:, :, visit.lasts]
    both = np.einsum("wlp,ls,wsp->p", leads.astype(int), case.pairs.astype(int), seconds.astype(int))
    return np.asarray(both > 0)


def _set_up_before(case: RouteCase) -> BoolArray:
    """Return the dates of visit 1 for which each lead could do the set-up, shape (windows, leads, days)."""
    setup = case.setup
    assert setup is not None, "asked only for routes with a set-up"
    able = setup.same_day.copy()
    for before in range(1, min(setup.days_before, able.shape[2] - 1) + 1):
        able[:, :, before:] |= setup.lead_days[None, :, :-before]
    return able
