"""Small outings whose times can be worked out by hand, as the room is given them."""

from __future__ import annotations

import datetime as dt

from planner.desktop.outing.evening import Evening
from planner.desktop.outing.showing import evening_of
from planner.desktop.outing.trial import Trial
from planner.domain.plan import PlannedVisit
from planner.usecases.evening.outing_view import Occasion, OutingSight, outing_sight, outings_of_visit, try_out
from tests.unit.scheduling.seasons import (
    habitat_rule,
    out_and_back,
    pass_light,
    planned,
    problem,
    protocol,
    route_light,
    setup_rule,
    volunteer,
    window_light,
)

MINUTE = dt.timedelta(minutes=1)


def sight(
    occasion: Occasion = Occasion.VISIT,
    *,
    minutes: float = 20.0,
    overcast: bool = False,
    two_passes: bool = False,
    habitat: bool = False,
) -> OutingSight:
    """An outing of June 2027: three counts of 5 minutes, legs of 2, a window that opens at 21:00 UTC.

    With a window of 20 minutes the last count ends 1 minute before it closes. With habitat it is visit 2, and the
    round ends at sunset, 20:40, twenty minutes before the counts.
    """
    windows = (out_and_back(),) if two_passes else ()
    rules = protocol(habitat=habitat_rule(), setup=setup_rule(), windows=windows)
    light = {}
    if not two_passes:
        clear = pass_light(14, 3, "21:00", minutes)
        cloudy = (pass_light(14, 3, "20:50", minutes),) if overcast else ()
        light = {"R1": route_light((window_light("dusk", (clear,), cloudy),))}
    found = problem(rules=rules, volunteers=[volunteer("V1"), volunteer("V2")], light=light)
    visit: PlannedVisit = planned("R1/1", "V1", 3, reserve=5, setup=1, second="V2", window=rules.windows[0].name)
    if habitat:
        visit = planned("R1/2", "V1", 9, second="V2", window=rules.windows[0].name)
    dated = next(one for one in outings_of_visit(visit) if one.occasion is occasion)
    return outing_sight(found, visit, dated, "V1")


def evening(of: OutingSight, trial: Trial | None = None) -> Evening:
    """What the picture shows of an outing, planned or tried."""
    tried = trial or Trial()
    return evening_of(of, try_out(of, tried.what_if(of.planned.outing.leave_home_utc)), tried)
