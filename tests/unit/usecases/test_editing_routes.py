"""Changing a route by hand: one step in words each, undone to the letter, and the impossible refused in words."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.calendar import DateRange
from planner.domain.check_in import CheckIn, Stage
from planner.domain.conditions import Condition, Conditions
from planner.domain.errors import DimpsyError, ImpossibleError, RuleError
from planner.domain.geo import Place
from planner.domain.measures import Speed
from planner.domain.plan import VisitKey
from planner.domain.route import Point, Route
from planner.domain.weather import Quantity
from planner.store import SeasonFile
from planner.usecases.routes import editing as editing_routes
from planner.usecases.routes.editing import (
    RouteChanged,
    RouteWish,
    add_point,
    add_route,
    change_point,
    change_route,
    drop_points,
    drop_route,
    free_route_code,
    needs_spelt,
    set_area,
    set_points,
    shift_point,
)
from tests.unit.usecases.checked_seasons import PROTOCOL, june
from tests.unit.usecases.edited_seasons import PLAN, SEASON, made, season_file

ELSEWHERE = Place(50.6, -4.2)

Change = Callable[[SeasonFile], RouteChanged]


@pytest.fixture
def file(tmp_path: Path) -> Iterator[SeasonFile]:
    """A season file that a test may change."""
    with season_file(tmp_path) as opened:
        yield opened


CHANGES: dict[str, Change] = {
    "New route R3 Marsh Lane": lambda file: add_route(file, "R3", "Marsh Lane"),
    "Drop route R1 R1 Lane and 2 planned visits": lambda file: drop_route(file, "R1"),
    "Route R1: change the code, the name and how many go": lambda file: change_route(
        file, "R1", RouteWish("A1", "Fern Lane", people=2)
    ),
    "Route R1: change the area": lambda file: change_route(
        file, "R1", replace(RouteWish.of(SEASON.route("R1")), area=" Wyke  Side ")
    ),
    "Route R1: new point 5": lambda file: add_point(file, "R1", ELSEWHERE),
    "Route R1: move point 2": lambda file: change_point(file, "R1", 2, place=ELSEWHERE),
    "Route R1: renumber point 2": lambda file: change_point(file, "R1", 2, new_number=7),
    "Route R1: count point 2 earlier": lambda file: shift_point(file, "R1", 2, -1),
    "Route R1: count point 2 later": lambda file: shift_point(file, "R1", 2, 1),
    "Route R1: note on point 2": lambda file: change_point(file, "R1", 2, note="by the gate"),
    "Route R1: drop points 1 and 4": lambda file: drop_points(file, "R1", {4, 1}),
    "Route R1: drop point 1": lambda file: drop_points(file, "R1", {1}),
}


@pytest.mark.parametrize("label", CHANGES)
def test_that_each_change_is_one_step_in_words_and_is_undone_to_the_letter(file: SeasonFile, label: str) -> None:
    before, steps = (file.season(), file.plan()), len(file.history())
    changed = CHANGES[label](file)
    assert changed.label == label
    assert [step.label for step in file.history()[steps:]] == [label]
    after = file.season(), file.plan()
    assert after != before
    if changed.after is not None:
        assert file.season().route(changed.after.code) == changed.after
    file.undo()
    assert (file.season(), file.plan()) == before
    file.redo()
    assert (file.season(), file.plan()) == after


def test_that_a_route_that_is_planned_takes_its_visits_out_of_the_plan_with_it(file: SeasonFile) -> None:
    changed = drop_route(file, "R1")
    assert [str(visit.key) for visit in changed.unplanned] == ["R1 visit 1", "R1 visit 2"]
    assert [str(visit.key) for visit in file.plan()] == ["R2 visit 1"]
    assert [route.code for route in file.season().routes] == ["R2"]


def test_that_a_route_without_a_plan_is_dropped_without_a_word_of_one(file: SeasonFile) -> None:
    add_route(file, "R3")
    assert drop_route(file, "R3").label == "Drop route R3"
    assert drop_route(file, "R2").label == "Drop route R2 R2 Lane and 1 planned visit"


def test_that_a_route_with_a_visit_that_was_made_stays(tmp_path: Path) -> None:
    with season_file(tmp_path, plan=made(PLAN, VisitKey("R1", 1))) as file:
        with pytest.raises(ImpossibleError, match="visit 1 has been made"):
            drop_route(file, "R1")
        assert file.plan() == made(PLAN, VisitKey("R1", 1))


def test_that_a_new_code_goes_into_the_plan_and_the_route_keeps_its_place(file: SeasonFile) -> None:
    change_route(file, "R1", replace(RouteWish.of(SEASON.route("R1")), code=" A1 "))
    assert [route.code for route in file.season().routes] == ["A1", "R2"]
    assert {str(visit.key) for visit in file.plan()} == {"A1 visit 1", "A1 visit 2", "R2 visit 1"}
    assert file.season().route("A1").points == SEASON.route("R1").points


def _known_of_an_evening(file: SeasonFile) -> None:
    wind = Condition(Quantity.WIND, Speed(12.0, "km/h"))
    left = dt.datetime(2027, 6, 2, 19, 0, tzinfo=dt.UTC)
    with file.step("Conditions and check-ins by hand"):
        file.save_conditions([Conditions(june(2), code, (wind,)) for code in ("", "R1", "R2")])
        file.save_check_ins([CheckIn(june(2), code, "V1", Stage.LEFT, left) for code in ("R1", "R2")])


def test_that_what_is_known_of_evenings_goes_with_a_route_and_its_code(file: SeasonFile) -> None:
    _known_of_an_evening(file)
    change_route(file, "R1", replace(RouteWish.of(SEASON.route("R1")), code="A1"))
    assert [one.route for one in file.conditions()] == ["", "A1", "R2"]
    assert sorted(one.route for one in file.check_ins()) == ["A1", "R2"]
    drop_route(file, "A1")
    assert [one.route for one in file.conditions()] == ["", "R2"]
    assert [one.route for one in file.check_ins()] == ["R2"]


def test_that_what_is_the_same_is_no_step(file: SeasonFile) -> None:
    steps = file.history()
    change_route(file, "R1", RouteWish.of(SEASON.route("R1")))
    change_point(file, "R1", 2, place=SEASON.route("R1").point(2).place)
    assert file.history() == steps


def test_that_dates_that_are_the_seasons_own_are_not_kept_as_the_routes(file: SeasonFile) -> None:
    shorter = DateRange(june(3), june(5))
    wish = replace(RouteWish.of(SEASON.route("R1")), visit_dates=((2, SEASON.visits[1]), (1, shorter)))
    changed = change_route(file, "R1", wish)
    assert changed.after is not None
    assert changed.after.visit_dates == ((1, shorter),)
    assert changed.label == "Route R1: change its dates"


REFUSED: dict[str, Change] = {
    "needs a code": lambda file: add_route(file, "  "),
    "'R1' is there already": lambda file: add_route(file, "R1"),
    "'R2' is there already": lambda file: change_route(file, "R1", RouteWish("R2", "")),
    "no route 'R9'": lambda file: drop_route(file, "R9"),
    "no volunteer 'V9'": lambda file: change_route(file, "R1", RouteWish("R1", "", lead="V9")),
    "must lie inside the season": lambda file: change_route(
        file, "R1", RouteWish("R1", "", visit_dates=((1, DateRange(june(1), june(30))),))
    ),
    "has visits 1 to 2, found 3": lambda file: change_route(
        file, "R1", RouteWish("R1", "", visit_dates=((3, DateRange(june(1), june(2))),))
    ),
    "people is 1 or 2": lambda file: change_route(file, "R1", RouteWish("R1", "", people=3)),
    "no point 9": lambda file: change_point(file, "R1", 9, note="?"),
    "has no point 8": lambda file: drop_points(file, "R1", {1, 8}),
    "point 3 appears twice": lambda file: change_point(file, "R1", 2, new_number=3),
    "numbered from 1": lambda file: change_point(file, "R1", 2, new_number=0),
    "numbered up to 999": lambda file: change_point(file, "R1", 2, new_number=1000),
    "point 1 is the first of route R1 already": lambda file: shift_point(file, "R1", 1, -1),
    "point 4 is the last of route R1 already": lambda file: shift_point(file, "R1", 4, 1),
    "points 2 and 3 would stand at one place": lambda file: change_point(
        file, "R1", 3, place=SEASON.route("R1").point(2).place
    ),
    "points 1 and 5 would stand at one place": lambda file: add_point(file, "R1", SEASON.route("R1").point(1).place),
}


@pytest.mark.parametrize("words", REFUSED)
def test_that_the_impossible_is_refused_in_words_and_nothing_changes(file: SeasonFile, words: str) -> None:
    before = file.season(), file.plan(), file.history()
    with pytest.raises(DimpsyError, match=words):
        REFUSED[words](file)
    assert (file.season(), file.plan(), file.history()) == before


@pytest.mark.parametrize(
    ("after", "numbers", "at"),
    [(None, [1, 2, 3, 4, 5], 4), (0, [1, 2, 3, 4, 5], 0), (2, [1, 2, 3, 4, 5], 2), (4, [1, 2, 3, 4, 5], 4)],
)
def test_that_a_new_point_takes_its_place_and_those_behind_move_up(
    file: SeasonFile, after: int | None, numbers: list[int], at: int
) -> None:
    changed = add_point(file, "R1", ELSEWHERE, after=after, note=" by the gate ")
    assert changed.after is not None
    assert [point.number for point in changed.after.points] == numbers
    assert changed.after.points[at] == Point(at + 1, ELSEWHERE, "by the gate")
    others = [point.place for point in changed.after.points if point.place != ELSEWHERE]
    assert others == [point.place for point in SEASON.route("R1").points]


def test_that_a_hole_in_the_numbers_is_filled_before_others_move_up(file: SeasonFile) -> None:
    drop_points(file, "R1", {2})
    changed = add_point(file, "R1", ELSEWHERE, after=1)
    assert changed.after is not None
    assert [point.number for point in changed.after.points] == [1, 2, 3, 4]


def test_that_the_first_point_of_a_new_route_is_point_one(file: SeasonFile) -> None:
    add_route(file, "R3")
    changed = add_point(file, "R3", ELSEWHERE)
    assert changed.after is not None
    assert changed.after.points == (Point(1, ELSEWHERE),)


def test_that_a_new_number_is_a_new_place_in_the_order(file: SeasonFile) -> None:
    before = SEASON.route("R1")
    changed = change_point(file, "R1", 1, new_number=9)
    assert changed.after is not None
    assert [point.number for point in changed.after.points] == [2, 3, 4, 9]
    assert changed.after.points[-1].place == before.point(1).place


def test_that_two_neighbours_change_places_and_the_numbers_stay_in_order(file: SeasonFile) -> None:
    before = SEASON.route("R1")
    changed = shift_point(file, "R1", 2, 1)
    assert changed.after is not None
    assert [point.number for point in changed.after.points] == [1, 2, 3, 4]
    places = [before.point(number).place for number in (1, 3, 2, 4)]
    assert [point.place for point in changed.after.points] == places


@pytest.mark.parametrize(
    ("codes", "free"),
    [
        ([], "R01"),
        (["R01", "R02"], "R03"),
        (["R09"], "R10"),
        (["R2", "R1"], "R3"),
        (["North 7"], "North 8"),
        (["heath"], "heath01"),
        (["R99"], "R100"),
    ],
)
def test_that_a_new_routes_code_goes_on_from_the_last(codes: list[str], free: str) -> None:
    assert free_route_code(replace(SEASON, routes=tuple(Route(code, "", ()) for code in codes))) == free


def test_that_needs_are_spelt_as_abilities_are_kept() -> None:
    spelt = replace(PROTOCOL, people=replace(PROTOCOL.people, lead_training=("First Aid",)))
    assert needs_spelt(frozenset({" FIRST aid", "High Clearance ", " "}), spelt) == {"First Aid", "high clearance"}


@given(st.lists(st.integers(1, 30), min_size=1, max_size=8, unique=True), st.data())
def test_that_a_point_put_in_anywhere_leaves_every_number_its_own(numbers: list[int], data: st.DataObject) -> None:
    points = [Point(number, Place(50.0, float(place))) for place, number in enumerate(numbers)]
    at = data.draw(st.integers(0, len(points)))
    new = Point(points[at - 1].number + 1 if at else 1, ELSEWHERE)
    rising = editing_routes._numbers_rising([*points[:at], new, *points[at:]], at)
    assert len({point.number for point in rising}) == len(rising)
    assert [point.place for point in rising] == [p.place for p in (*points[:at], new, *points[at:])]
    assert rising[:at] == points[:at]
    assert all(after.number >= before.number for before, after in zip(points[at:], rising[at + 1 :], strict=True))


def test_that_points_are_given_as_a_whole_under_a_label(file: SeasonFile) -> None:
    points = SEASON.route("R1").points[::-1]
    changed = set_points(file, "R1", points, "reverse the order")
    assert changed.label == "Route R1: reverse the order"
    assert file.season().route("R1").points == points
    with pytest.raises(RuleError, match="no route"):
        set_points(file, "R7", points, "reverse the order")


def test_that_several_routes_are_counted_to_an_area_as_one_step(file: SeasonFile) -> None:
    changed = set_area(file, ["R2", "R1", "R2"], " Wyke  Side ")
    assert (changed.label, bool(changed)) == ("2 routes: area Wyke Side", True)
    assert [one.area for one in file.season().routes] == ["Wyke Side", "Wyke Side"]
    assert set_area(file, ["R2"], "").label == "Route R2: no area"
    assert [one.area for one in file.season().routes] == ["Wyke Side", ""]
    with pytest.raises(RuleError, match="R9"):
        set_area(file, ["R1", "R9"], "Elsewhere")
    file.undo()
    file.undo()
    assert file.season() == SEASON
