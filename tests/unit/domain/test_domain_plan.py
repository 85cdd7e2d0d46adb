from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.errors import RuleError
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey

MAY_1 = dt.date(2027, 5, 1)

keys = st.builds(VisitKey, st.sampled_from(["R1", "R2", "R3"]), st.integers(1, 3))
visits = st.builds(
    PlannedVisit,
    keys,
    st.sampled_from(["V1", "V2"]),
    st.integers(0, 60).map(lambda days: MAY_1 + dt.timedelta(days=days)),
    st.just("dusk"),
    st.sampled_from(["", "V3"]),
)
plans = st.lists(visits, unique_by=lambda visit: visit.key).map(lambda some: Plan(tuple(some)))


def visit(route: str = "R1", number: int = 1, lead: str = "V1", second: str = "") -> PlannedVisit:
    return PlannedVisit(VisitKey(route, number), lead, MAY_1, "dusk", second)


def test_that_a_filled_visit_has_a_lead_and_two_are_two() -> None:
    with pytest.raises(RuleError, match="R1 visit 1: a filled visit has a lead"):
        visit(lead="")
    with pytest.raises(RuleError, match="found V1 twice"):
        visit(second="V1")


def test_that_people_are_those_who_go_the_lead_first() -> None:
    assert visit().people == ("V1",)
    assert visit(second="V0").people == ("V1", "V0")


@pytest.mark.parametrize(
    ("status", "pinned", "fixed"),
    [
        (Status.PLANNED, False, False),
        (Status.PLANNED, True, True),
        (Status.CONFIRMED, False, True),
        (Status.DONE, False, True),
    ],
)
def test_that_pinned_confirmed_and_done_visits_are_left_alone(status: Status, pinned: bool, fixed: bool) -> None:
    assert replace(visit(), status=status, pinned=pinned).fixed is fixed


def test_that_a_visit_stands_once() -> None:
    with pytest.raises(RuleError, match="twice"):
        Plan((visit(), visit(lead="V2")))


@given(plans)
def test_that_a_plan_is_the_same_whatever_order_it_was_made_in(plan: Plan) -> None:
    assert Plan(tuple(reversed(plan.visits))) == plan
    assert [one.key for one in plan] == sorted(plan.by_key)
    assert len(plan) == len(plan.visits)


@given(plans, visits)
def test_that_putting_a_visit_in_leaves_every_other_as_it_was(plan: Plan, new: PlannedVisit) -> None:
    after = plan.with_visit(new)
    assert after.by_key[new.key] == new
    assert after.without(new.key) == plan.without(new.key)
    assert new.key not in plan.without(new.key).by_key


@given(plans, st.sampled_from(["V1", "V2", "V3"]))
def test_that_the_visits_of_someone_come_by_date_and_none_is_lost(plan: Plan, code: str) -> None:
    mine = plan.of_volunteer(code)
    assert [one.date for one in mine] == sorted(one.date for one in mine)
    assert {one.key for one in mine} == {one.key for one in plan if code in (one.lead, one.second)}


@given(plans)
def test_that_the_visits_of_the_routes_make_up_the_plan(plan: Plan) -> None:
    assert sum((plan.of_route(route) for route in ("R1", "R2", "R3")), ()) == plan.visits
    assert all(one.key.route == "R2" for one in plan.of_route("R2"))


def test_that_a_status_is_changed_and_nothing_else() -> None:
    plan = Plan((visit(), visit(number=2)))
    done = plan.with_status(VisitKey("R1", 2), Status.DONE)
    assert done.visits == (visit(), replace(visit(number=2), status=Status.DONE))
