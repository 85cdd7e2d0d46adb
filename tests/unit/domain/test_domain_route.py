from __future__ import annotations

import pytest

from planner.domain.errors import RuleError
from planner.domain.geo import Place
from planner.domain.route import Point, Route

HERE = Place(51.0, -3.0)


def test_that_points_are_numbered_from_one() -> None:
    with pytest.raises(RuleError, match="numbered from 1, found 0"):
        Point(0, HERE)


def test_that_a_point_is_found_by_its_number_in_any_order() -> None:
    route = Route("R1", "Fen Lane", (Point(2, HERE), Point(1, HERE, "gate")))
    assert route.point(1).note == "gate"
    assert [point.number for point in route.points] == [2, 1]
    with pytest.raises(RuleError, match="route R1 has no point 3"):
        route.point(3)


def test_that_a_number_stands_once_on_a_route() -> None:
    with pytest.raises(RuleError, match="route R1: point 2 appears twice"):
        Route("R1", "Fen Lane", (Point(1, HERE), Point(2, HERE), Point(2, HERE)))


@pytest.mark.parametrize("code", ["", "  "])
def test_that_a_route_has_a_code(code: str) -> None:
    with pytest.raises(RuleError, match="needs a code"):
        Route(code, "Fen Lane", ())


@pytest.mark.parametrize("people", [0, 3])
def test_that_one_or_two_go(people: int) -> None:
    with pytest.raises(RuleError, match="people is 1 or 2"):
        Route("R1", "Fen Lane", (), people=people)


def test_that_a_route_is_called_by_code_and_name() -> None:
    assert Route("R1", "Fen Lane", ()).title == "R1 Fen Lane"
    assert Route("R1", "", ()).title == "R1"
