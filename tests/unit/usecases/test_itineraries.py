"""What goes on one volunteer's paper, and what must never stand there."""

from __future__ import annotations

import dataclasses
import datetime as dt

import numpy as np
import pytest

from planner.domain.geo import Place
from planner.domain.itinerary import Itinerary, Walk
from planner.domain.outing import StepKind
from planner.domain.plan import Plan, PlannedVisit
from planner.domain.volunteer import Volunteer
from planner.store import SeasonFile
from planner.usecases.paper.itineraries import PrintFacts, itinerary_for
from planner.usecases.season.opening import road_network
from planner.usecases.season.problem import season_problem

pytestmark = pytest.mark.xdist_group("reedhaven")


@pytest.fixture
def facts(reedhaven: SeasonFile) -> PrintFacts:
    """Return the print facts of the dawn demo."""
    season = reedhaven.season()
    network = road_network(reedhaven.path, season.roads)
    return PrintFacts(season_problem(season, network), reedhaven.plan(), network, dt.date(2027, 9, 1), 2)


def _private(person: Volunteer) -> set[str]:
    """What of a person must not stand on another's paper: surname, address, home."""
    home = f"'home': {{'latitude': {person.home.latitude!r}, 'longitude': {person.home.longitude!r}}}"
    return {person.name.split()[-1], person.email, home}


def _everything(itinerary: Itinerary) -> str:
    return repr(dataclasses.asdict(itinerary))


def test_that_no_paper_holds_anothers_personal_data(facts: PrintFacts) -> None:
    for person in facts.season.volunteers:
        text = _everything(itinerary_for(facts, person.code))
        assert all(word in text for word in _private(person))
        partners = {code for visit in facts.plan.of_volunteer(person.code) for code in visit.people}
        for other in facts.season.volunteers:
            if other.code == person.code:
                continue
            assert not [word for word in _private(other) if word in text]
            if other.code not in partners:
                assert other.telephone not in text
                assert other.name not in text


def test_that_no_paper_holds_points_of_routes_that_are_anothers(facts: PrintFacts) -> None:
    for person in facts.season.volunteers:
        text = _everything(itinerary_for(facts, person.code))
        mine = {visit.key.route for visit in facts.plan.of_volunteer(person.code)}
        for route in facts.season.routes:
            for point in route.points:
                place = f"'latitude': {point.place.latitude!r}, 'longitude': {point.place.longitude!r}"
                assert (f"'place': {{{place}}}" in text) is (route.code in mine)


def test_that_each_visit_is_there_once_with_its_reserve_in_order_of_time(facts: PrintFacts) -> None:
    for person in facts.season.volunteers:
        itinerary = itinerary_for(facts, person.code)
        visits = facts.plan.of_volunteer(person.code)
        assert [(day.route.code, day.visit) for day in itinerary.days if day.visit] == [
            (visit.key.route, visit.key.number) for visit in visits
        ]
        assert [day.outing.date for day in itinerary.reserves] == sorted(v.reserve for v in visits if v.reserve)
        assert all(day.is_reserve for day in itinerary.reserves)
        leaves = [day.outing.leave_home_utc for day in itinerary.days]
        assert leaves == sorted(leaves)


def test_that_only_the_lead_writes_the_habitat_sheets(facts: PrintFacts) -> None:
    for visit in facts.plan:
        for code in visit.people:
            days = itinerary_for(facts, code).days
            day = next(one for one in days if one.route.code == visit.key.route and one.visit == visit.key.number)
            assert day.writes_habitat is (code == visit.lead and bool(day.outing.of_kind(StepKind.HABITAT)))
            assert day.leads is (code == visit.lead)


def test_that_the_map_way_runs_through_the_points_in_counting_order(facts: PrintFacts) -> None:
    visit = facts.plan.visits[0]
    day = itinerary_for(facts, visit.lead).days[0]
    assert len(day.map.roads) > 5
    assert day.map.attribution == "Invented map, no real place"
    stops = [day.route.point(number).place for number in day.outing.order]
    way = list(day.map.way)
    near = [
        min(range(len(way)), key=lambda i: abs(way[i].latitude - s.latitude) + abs(way[i].longitude - s.longitude))
        for s in stops
    ]
    assert near == sorted(near)


def test_that_without_roads_the_way_is_straight_and_the_drive_said_to_be_estimated(reedhaven: SeasonFile) -> None:
    season = reedhaven.season()
    estimated = PrintFacts(season_problem(season, None), reedhaven.plan(), None, dt.date(2027, 9, 1), 2)
    day = itinerary_for(estimated, reedhaven.plan().visits[0].lead).days[0]
    assert day.estimated_drive
    assert day.map.roads == ()
    assert list(day.map.way) == [day.route.point(number).place for number in day.outing.order]


def test_that_somebody_without_a_visit_has_an_empty_itinerary(facts: PrintFacts) -> None:
    idle = dataclasses.replace(facts, plan=Plan())
    assert itinerary_for(idle, facts.season.volunteers[0].code).days == ()


def test_that_points_off_the_road_are_walked_to_and_the_paper_says_how_far(facts: PrintFacts) -> None:
    visit = facts.plan.visits[0]
    assert all(day.walks == () for day in itinerary_for(facts, visit.lead).days)
    route, network = facts.season.route(visit.key.route), facts.network
    assert network is not None
    last = route.points[-1]
    steps = np.arange(0.0, 0.004, 0.0001)
    spots = [Place(last.place.latitude + step, last.place.longitude) for step in steps.tolist()]
    off_m = network.off_road_metres(spots)
    spot, near = int(np.flatnonzero(off_m > 100.0)[0]), int(np.flatnonzero(off_m < 50.0)[-1])
    assert off_m[near] > 20.0
    assert _walked(facts, visit, spots[near]) == ()
    (walk,) = _walked(facts, visit, spots[spot])
    assert walk.point == last.number
    assert walk.metres == pytest.approx(off_m[spot])
    assert walk.minutes == pytest.approx(off_m[spot] / 1609.344 * 20.0)


def _walked(facts: PrintFacts, visit: PlannedVisit, last: Place) -> tuple[Walk, ...]:
    """Return the walks on the paper of a visit whose last point stands elsewhere."""
    route = facts.season.route(visit.key.route)
    moved = dataclasses.replace(route, points=(*route.points[:-1], dataclasses.replace(route.points[-1], place=last)))
    routes = tuple(moved if one.code == route.code else one for one in facts.season.routes)
    season = dataclasses.replace(facts.season, routes=routes)
    walked = PrintFacts(
        season_problem(season, facts.network), facts.plan, facts.network, facts.printed_on, facts.revision
    )
    return next(day for day in itinerary_for(walked, visit.lead).days if day.route.code == route.code).walks
