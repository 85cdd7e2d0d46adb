from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.domain.calendar import DateRange
from planner.domain.errors import RuleError
from planner.domain.protocol import PeopleRule
from tests.unit.store.season_strategies import DATES, SMALL_PROTOCOL, SMALL_SEASON, small_route, small_volunteer

FULL = replace(
    SMALL_SEASON,
    routes=(small_route("R1"), small_route("R2")),
    volunteers=(small_volunteer("V1"), small_volunteer("V2")),
)


@pytest.mark.parametrize("zone", ["", "GMT+1 summer", "Mars/Olympus", "/etc/passwd", "Europe/../x"])
def test_that_the_zone_is_one_that_exists(zone: str) -> None:
    with pytest.raises(RuleError, match="IANA name such as 'Europe/London'"):
        replace(FULL, zone=zone)


def test_that_the_zone_tells_summer_time() -> None:
    noon = dt.datetime(2027, 7, 1, 12, tzinfo=FULL.tzinfo)
    assert noon.utcoffset() == dt.timedelta(hours=1)


def test_that_every_visit_of_the_protocol_has_a_date_range() -> None:
    with pytest.raises(RuleError, match="has 2 visits, found date ranges for 1"):
        replace(FULL, visits=FULL.visits[:1])


@pytest.mark.parametrize(
    "outside",
    [
        DateRange(DATES.first - dt.timedelta(days=1), DATES.last),
        DateRange(DATES.first, DATES.last + dt.timedelta(days=1)),
    ],
)
def test_that_visits_lie_inside_the_season(outside: DateRange) -> None:
    with pytest.raises(RuleError, match=r"visit 2 .* must lie inside the season"):
        replace(FULL, visits=(DATES, outside))


def test_that_codes_stand_once() -> None:
    with pytest.raises(RuleError, match="route 'R1' appears twice"):
        replace(FULL, routes=(small_route("R1"), small_route("R1")))
    with pytest.raises(RuleError, match="volunteer 'V1' appears twice"):
        replace(FULL, volunteers=(small_volunteer("V1"), small_volunteer("V1")))


def test_that_routes_and_volunteers_are_found_by_code_or_the_codes_are_told() -> None:
    assert FULL.route("R2") == FULL.routes[1]
    assert FULL.volunteer("V2") == FULL.volunteers[1]
    with pytest.raises(RuleError, match="no route 'R9' in this season; there are R1, R2"):
        FULL.route("R9")
    with pytest.raises(RuleError, match="no volunteer 'V9' in this season; there are V1, V2"):
        FULL.volunteer("V9")
    with pytest.raises(RuleError, match="there are none"):
        SMALL_SEASON.route("R1")


def test_that_a_long_list_of_codes_is_cut_short() -> None:
    many = replace(SMALL_SEASON, routes=tuple(small_route(f"R{k}") for k in range(15)))
    with pytest.raises(RuleError, match=r"R11 and 3 more$"):
        many.route("X")
    twelve = replace(SMALL_SEASON, routes=many.routes[:12])
    with pytest.raises(RuleError, match=r"R11$"):
        twelve.route("X")


def test_that_a_routes_own_dates_go_before_the_seasons() -> None:
    june = DateRange(dt.date(2027, 6, 1), dt.date(2027, 6, 30))
    route = replace(small_route("R1"), visit_dates=((2, june),))
    assert FULL.visit_dates(route, 2) == june
    assert FULL.visit_dates(route, 1) == FULL.visits[0]


@pytest.mark.parametrize(("of_protocol", "of_route", "needed"), [(1, 1, 1), (1, 2, 2), (2, 1, 2), (2, 2, 2)])
def test_that_the_stricter_of_protocol_and_route_says_how_many_go(of_protocol: int, of_route: int, needed: int) -> None:
    season = replace(FULL, protocol=replace(SMALL_PROTOCOL, people=PeopleRule(of_protocol, 2)))
    assert season.people_for(replace(small_route("R1"), people=of_route)) == needed
