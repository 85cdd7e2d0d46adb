"""The calendar of a volunteer shows each visit, reserve date and set-up in the part of the date it lies in."""

from __future__ import annotations

import datetime as dt

from planner.domain.calendar import DateRange
from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.domain.season import Season
from planner.domain.window import PartOfDay
from planner.exchange import shipped_protocol
from planner.usecases.people.planned_dates import Duty, DutyKind, duties_of

MAY = DateRange(dt.date(2027, 5, 1), dt.date(2027, 5, 31))
SEASON = Season("Heath", shipped_protocol("heath_nightjars"), "Europe/London", MAY, (MAY, MAY))
KEY = VisitKey("R1", 1)
VISIT = PlannedVisit(
    KEY, "V1", dt.date(2027, 5, 12), "dusk", "V2", reserve=dt.date(2027, 5, 14), setup=dt.date(2027, 5, 10)
)


def test_that_a_lead_has_the_visit_its_reserve_date_and_the_set_up() -> None:
    assert duties_of(SEASON, Plan((VISIT,)), "V1") == {
        (dt.date(2027, 5, 12), PartOfDay.DUSK): (Duty(DutyKind.VISIT, KEY, leads=True),),
        (dt.date(2027, 5, 14), PartOfDay.DUSK): (Duty(DutyKind.RESERVE, KEY, leads=True),),
        (dt.date(2027, 5, 10), PartOfDay.DAYLIGHT): (Duty(DutyKind.SETUP, KEY, leads=True),),
    }


def test_that_a_second_has_no_set_up() -> None:
    kinds = [duty.kind for duties in duties_of(SEASON, Plan((VISIT,)), "V2").values() for duty in duties]
    assert kinds == [DutyKind.VISIT, DutyKind.RESERVE]


def test_that_two_on_one_date_are_both_shown() -> None:
    other = PlannedVisit(VisitKey("R2", 1), "V1", dt.date(2027, 5, 14), "dusk")
    duties = duties_of(SEASON, Plan((VISIT, other)), "V1")[dt.date(2027, 5, 14), PartOfDay.DUSK]
    assert [(duty.kind, duty.key.route) for duty in duties] == [(DutyKind.RESERVE, "R1"), (DutyKind.VISIT, "R2")]


def test_that_a_window_that_is_no_more_is_left_out_and_others_have_nothing() -> None:
    odd = PlannedVisit(KEY, "V1", dt.date(2027, 5, 12), "small hours")
    assert duties_of(SEASON, Plan((odd,)), "V1") == {}
    assert duties_of(SEASON, Plan((VISIT,)), "V9") == {}
