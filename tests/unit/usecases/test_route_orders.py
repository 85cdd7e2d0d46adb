"""Points of a route in another order, and numbered anew."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from planner.usecases.route_checks.facts import FloatArray
from planner.usecases.route_fixes import (
    FixKind,
    order_fixes,
    weigh,
)
from tests.unit.usecases.checked_seasons import good_facts, route
from tests.unit.usecases.test_route_fixes import number_at, planned_on_nothing


def test_that_turning_round_twice_is_the_route_again_and_notes_go_with_their_points() -> None:
    points = tuple(replace(point, note=f"note {point.number}") for point in route("R1").points)
    weighed = weigh(planned_on_nothing(route("R1")), replace(route("R1"), points=points))
    turned = next(fix for fix in order_fixes(weighed) if fix.kind is FixKind.REVERSE).after
    assert [(point.number, point.note) for point in turned.points] == [
        (1, "note 4"),
        (2, "note 3"),
        (3, "note 2"),
        (4, "note 1"),
    ]
    again = weigh(planned_on_nothing(turned), turned)
    assert next(fix for fix in order_fixes(again) if fix.kind is FixKind.REVERSE).after == weighed.route


def test_that_numbers_with_holes_are_numbered_anew_and_good_ones_left_alone() -> None:
    gappy = replace(route("R1"), points=tuple(point for point in route("R1").points if point.number != 2))
    fixes = {fix.kind: fix for fix in order_fixes(weigh(planned_on_nothing(gappy), gappy))}
    assert [point.number for point in fixes[FixKind.RENUMBER].after.points] == [1, 2, 3]
    assert [p.place for p in fixes[FixKind.RENUMBER].after.points] == [p.place for p in gappy.points]
    plain = weigh(planned_on_nothing(route("R1")), route("R1"))
    assert FixKind.RENUMBER not in {fix.kind for fix in order_fixes(plain)}


def test_that_a_route_of_one_point_or_none_has_no_other_order() -> None:
    for points in ((), route("R1").points[:1]):
        bare = replace(route("R1"), points=points)
        assert order_fixes(weigh(planned_on_nothing(bare), bare)) == ()


@settings(max_examples=20)
@given(arrays(np.float64, (6, 6), elements=st.floats(1.0, 30.0)))
def test_that_the_shortest_order_is_that_of_all_permutations(legs: FloatArray) -> None:
    six = route("R1", 6)
    weighed = replace(weigh(planned_on_nothing(six), six), facts=good_facts(6, legs_minutes=legs))
    best = min(_driven(legs, order) for order in itertools.permutations(range(6)))
    found = next((fix for fix in order_fixes(weighed) if fix.kind is FixKind.REORDER), None)
    if found is None:
        assert _driven(legs, tuple(range(6))) <= best + 0.05 + 1e-9
    else:
        order = [six.points.index(six.point(number_at(six, point.place))) for point in found.after.points]
        assert _driven(legs, tuple(order)) == pytest.approx(best, abs=0.05)
        assert [point.number for point in found.after.points] == [1, 2, 3, 4, 5, 6]


def _driven(legs: FloatArray, order: tuple[int, ...]) -> float:
    return float(sum(legs[a, b] for a, b in itertools.pairwise(order)))


def test_that_points_that_no_road_joins_are_put_in_no_order() -> None:
    cut = np.full((4, 4), np.inf)
    weighed = replace(weigh(planned_on_nothing(route("R1")), route("R1")), facts=good_facts(4, legs_minutes=cut))
    assert FixKind.REORDER not in {fix.kind for fix in order_fixes(weighed)}
