"""Places, names and people that are there twice, and areas that are too far for everybody."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest
from pyproj import Geod

from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.geo import Place
from planner.domain.route import Point, Route
from planner.usecases.route_checks.out_of_reach import NEIGHBOURS_M
from planner.usecases.route_checks.twins import SAME_PLACE_M
from planner.usecases.route_fixes import FixKind, Surroundings, apply_fix, fixes_for, weigh
from tests.unit.usecases.checked_seasons import Checked, good_facts, line_m, moved, route, volunteer
from tests.unit.usecases.edited_seasons import season_file
from tests.unit.usecases.test_route_fixes import planned_on_nothing


def east_of(place: Place, metres: float) -> Place:
    """A place so far to the east: pyproj's geodesic."""
    longitude, latitude, _ = Geod(ellps="WGS84").fwd(place.longitude, place.latitude, 90.0, metres)
    return Place(latitude, longitude)


@pytest.mark.parametrize(("metres", "same"), [(0.0, True), (SAME_PLACE_M - 0.1, True), (SAME_PLACE_M + 0.1, False)])
def test_that_a_point_that_is_there_twice_is_one_finding_and_neither_circles_nor_spacing(
    metres: float, same: bool
) -> None:
    straight = line_m(5)
    straight[4], straight[:, 4] = straight[1], straight[:, 1]
    straight[1, 4] = straight[4, 1] = metres
    straight[4, 4] = 0.0
    found = Checked(routes=(route("R1", 5),), facts={"R1": good_facts(5, straight_m=straight, road_m=None)}).findings()
    if not same:
        assert Rule.ROUTE_TWICE not in {finding.rule for finding in found}
        return
    (finding,) = found
    assert (finding.rule, finding.severity, finding.subject) == (
        Rule.ROUTE_TWICE,
        Severity.TROUBLE,
        Subject("R1", point=5),
    )
    assert finding.what == f"Points 2 and 5 stand at the same place ({metres:.0f} m apart): it would be counted twice."


def test_that_one_of_two_points_at_a_place_goes_by_a_click() -> None:
    one = moved(route("R1", 5), 5, east_of(route("R1").point(2).place, 4.0))
    around = planned_on_nothing(one, habitat=None)
    weighed = weigh(around, one)
    (finding,) = [finding for finding in weighed.findings if finding.rule is Rule.ROUTE_TWICE]
    offers = fixes_for(around, weighed, finding)
    assert [(offer.fix.kind, offer.fix.numbers) for offer in offers] == [(FixKind.DROP, (5,)), (FixKind.DROP, (2,))]
    assert offers[0].come == ()


def shared(*points: int) -> tuple[Route, Route]:
    """R1, and an R2 some of whose points stand where those of R1 do."""
    one, other = route("R1"), route("R2")
    for number in points:
        other = moved(other, number, east_of(one.point(number).place, 3.0))
    return one, other


def of_shared(*routes: Route) -> list[Finding]:
    return [finding for finding in Checked(routes=routes).findings() if finding.rule is Rule.ROUTE_SHARED]


def test_that_places_of_two_routes_are_said_of_the_later_one() -> None:
    (finding,) = of_shared(*shared(2))
    assert (finding.severity, finding.subject) == (Severity.DOUBT, Subject("R2", point=2))
    assert finding.what == (
        "Point 2 of route R2 stands where point 2 of route R1 does: what is there would be counted twice."
    )
    (two,) = of_shared(*shared(1, 2))
    assert two.what.startswith("Points 1 and 2 of route R2 stand where points 1 and 2 of route R1 do:")
    assert of_shared(*shared()) == []


@pytest.mark.parametrize(("apart_m", "same"), [(SAME_PLACE_M - 0.1, True), (SAME_PLACE_M + 0.1, False)])
def test_that_places_of_two_routes_are_one_within_what_a_receiver_can_tell(apart_m: float, same: bool) -> None:
    one = route("R1")
    assert bool(of_shared(one, moved(route("R2"), 2, east_of(one.point(2).place, apart_m)))) is same


def test_that_two_routes_that_share_most_points_are_probably_one() -> None:
    (finding,) = of_shared(*shared(1, 2, 3))
    assert finding.subject == Subject("R2", more_routes=("R1",))
    assert str(finding.subject) == "routes R2 and R1"
    assert finding.what == "Routes R1 and R2 share 3 of 4 points: they are probably the same route."


def test_that_a_place_of_three_routes_is_held_against_the_first() -> None:
    first, second = shared(2)
    third = moved(route("R3"), 4, east_of(first.point(2).place, -3.0))
    assert [f.subject for f in of_shared(first, second, third)] == [Subject("R2", point=2), Subject("R3", point=4)]


def test_that_points_that_another_route_has_go_by_a_click_as_one_step(tmp_path_factory: pytest.TempPathFactory) -> None:
    one, other = shared(1, 2)
    season = replace(planned_on_nothing(one).season, routes=(one, other))
    with season_file(tmp_path_factory.mktemp("shared"), season) as file:
        around = Surroundings(season, file.plan(), None)
        weighed = weigh(around, other)
        (finding,) = [finding for finding in weighed.findings if finding.rule is Rule.ROUTE_SHARED]
        (offer,) = fixes_for(around, weighed, finding)
        assert apply_fix(file, offer.fix).label == "Route R2: drop points 1 and 2"
        assert of_shared(*file.season().routes) == []


@pytest.mark.parametrize(
    ("first", "second", "said"),
    [
        (("R1", "Ling Down"), ("r1", "Furze Lane"), "Routes R1 and r1 have codes that differ only by case"),
        (("R1", "Ling Down"), ("R2", "ling  down"), "Routes R1 and R2 have the same name, ling  down."),
        (("R1", "Ling Down"), ("R2", "Ling Down East"), ""),
        (("R1", ""), ("R2", ""), ""),
    ],
)
def test_that_codes_and_names_that_differ_only_by_case_are_found(
    first: tuple[str, str], second: tuple[str, str], said: str
) -> None:
    routes = (
        replace(route("R1"), code=first[0], name=first[1]),
        replace(route("R2"), code=second[0], name=second[1]),
    )
    check = Checked(routes=routes)
    if not said:
        assert check.findings() == []
        return
    finding = check.only()
    assert (finding.rule, finding.severity) == (Rule.ROUTE_NAMES, Severity.DOUBT)
    assert finding.subject == Subject(second[0], more_routes=(first[0],))
    assert finding.what.startswith(said)


def test_that_a_person_who_is_there_twice_is_found_and_two_of_one_name_are_not() -> None:
    def found(**changes: object) -> list[Finding]:
        other = replace(volunteer("V2", name="V1 EXAMPLE"), **changes)  # type: ignore[arg-type]  # fields of a volunteer
        return Checked(volunteers=(volunteer("V1"), other, volunteer("V3"))).findings()

    (finding,) = found()
    assert (finding.rule, finding.subject) == (Rule.VOLUNTEER_TWICE, Subject(volunteer="V2"))
    assert "V1 and V2 have the same name and the same home" in finding.what
    assert found(home=Place(50.51, -4.1)) == []
    assert found(name="Somebody else") == []
    (by_code,) = found(code="v1")
    assert "codes that differ only by case" in by_code.what


FAR = (50.0, 61.5, 56.0)


def area(*routes: Route, minutes: Mapping[str, tuple[float, ...]], **people: object) -> Checked:
    """A check of routes with the minutes that three people, who offer 45, drive to each."""
    facts = {code: good_facts(one_way_minutes=np.array(values)) for code, values in minutes.items()}
    team = tuple(volunteer(code, **people) for code in ("V1", "V2", "V3"))
    return Checked(routes=routes, volunteers=team, facts=facts)


def test_that_neighbours_that_are_too_far_for_everybody_are_one_finding_with_the_nearest_person() -> None:
    check = area(route("R1"), route("R2"), route("R3"), minutes={"R1": FAR, "R2": (60.0, 52.0, 70.0)})
    finding = check.only()
    assert (finding.rule, finding.severity) == (Rule.AREA_NOBODY, Severity.TROUBLE)
    assert finding.subject.routes == ("R1", "R2")
    assert finding.what == (
        "No volunteer can reach routes R1 and R2: all lie farther than anybody offers to drive."
        " Nearest is V1, 50 min one way from route R1, 5 min more than offered."
    )
    # V1 lacks 15 minutes to R2, V2 16.5 to R1, V3 25 to R2.
    assert finding.todo == (
        "Find somebody who lives nearer, or ask V1 to drive 15 min farther: that reaches all of them."
    )


def test_that_routes_far_from_each_other_are_no_area_and_a_single_one_is_said_with_its_visits() -> None:
    away = replace(route("R2"), points=tuple(replace(p, place=Place(51.9, -4.0)) for p in route("R2").points[:1]))
    away = replace(away, points=(*away.points, *(Point(n, Place(51.9 + n / 50, -4.0)) for n in (2, 3, 4))))
    check = area(route("R1"), away, minutes={"R1": FAR, "R2": FAR})
    assert check.rules() == [Rule.VISIT_NOBODY, Rule.VISIT_NOBODY]
    assert NEIGHBOURS_M < 100_000


def test_that_who_would_not_go_out_reaches_nothing_and_who_reaches_one_route_parts_it_from_the_area() -> None:
    minutes = {"R1": FAR, "R2": FAR, "R3": (44.0, 60.0, 60.0)}
    check = area(route("R1"), route("R2"), route("R3"), minutes=minutes)
    assert [f.subject.routes for f in check.findings()] == [("R1", "R2")]
    nearby = replace(volunteer("V1"), visits_limit=0)
    team = (nearby, volunteer("V2"), volunteer("V3"))
    found = replace(check, volunteers=team).findings()
    assert [f.subject.routes for f in found] == [("R1", "R2", "R3")]
    assert "Nearest is V3, 56 min one way from route R1, 11 min more" in found[0].what


def test_that_homes_without_a_road_to_an_area_are_not_asked_to_drive_farther() -> None:
    nowhere = (np.inf, 50.0, np.inf)
    check = area(route("R1"), route("R2"), route("R3"), minutes={"R1": nowhere, "R2": (np.inf, np.inf, 47.0)})
    finding = check.only()
    assert finding.what.endswith("Nearest is V3, 47 min one way from route R2, 2 min more than offered.")
    assert finding.todo.endswith("or ask V3 to drive farther.")
