"""Numbers with holes, an order that drives too much, and legs far longer than the others."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.stats import median_abs_deviation

from planner.domain.counting import Direction, OrderRule, PointRule, Spacing, SpacingKind
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.measures import Length
from planner.domain.route import Route
from planner.usecases.route_checks.facts import FloatArray
from planner.usecases.route_checks.long_legs import long_legs
from planner.usecases.route_checks.numbering import (
    LEAST_SAVED_MINUTES,
    LEAST_SAVED_SHARE,
    better_order,
    missing_numbers,
)
from planner.usecases.route_fixes import FixKind, fixes_for, weigh
from planner.usecases.wording import runs
from tests.unit.usecases.checked_seasons import PROTOCOL, Checked, good_facts, line_m, route
from tests.unit.usecases.test_route_fixes import number_at, planned_on_nothing


def numbered(*numbers: int) -> Route:
    """A route whose points have these numbers."""
    base = route("R1", len(numbers))
    points = (replace(point, number=number) for point, number in zip(base.points, numbers, strict=True))
    return replace(base, points=tuple(points))


@pytest.mark.parametrize(
    ("numbers", "said"),
    [
        ((1, 2, 3, 4), None),
        ((1, 2, 4, 5), "Route R1 has no point 3: its 4 points are numbered up to 5."),
        ((1, 3, 7, 8), "Route R1 has no points 2 and 4 to 6: its 4 points are numbered up to 8."),
        ((2, 3, 4), "The points of route R1 are numbered from 2 on, not from 1."),
        ((101, 102, 103), "The points of route R1 are numbered from 101 on, not from 1."),
        ((2, 3, 5), "Route R1 has no points 1 and 4: its 3 points are numbered up to 5."),
        ((1, 3, 5, 7), None),
    ],
)
def test_that_missing_numbers_are_a_note_that_names_them(numbers: tuple[int, ...], said: str | None) -> None:
    found = Checked(routes=(numbered(*numbers),)).findings()
    if said is None:
        assert found == []
        return
    (finding,) = found
    assert (finding.rule, finding.severity, finding.subject) == (Rule.ROUTE_NUMBERS, Severity.NOTE, Subject("R1"))
    assert finding.what == said


def test_that_numbers_with_holes_are_numbered_anew_by_a_click() -> None:
    gappy = numbered(1, 2, 4)
    around = planned_on_nothing(gappy, habitat=None, points=PointRule(1, 9))
    weighed = weigh(around, gappy)
    (finding,) = [one for one in weighed.findings if one.rule is Rule.ROUTE_NUMBERS]
    (offer,) = fixes_for(around, weighed, finding)
    assert offer.fix.kind is FixKind.RENUMBER
    assert [point.number for point in offer.fix.after.points] == [1, 2, 3]


@given(st.sets(st.integers(1, 60), min_size=1))
def test_that_a_number_is_there_or_missing_or_all_go_up_in_even_steps(numbers: set[int]) -> None:
    missing = missing_numbers(sorted(numbers))
    whole = set(range(1, max(numbers) + 1))
    assert set(missing) in (whole - numbers, set())
    if not missing and numbers != whole:
        assert len({b - a for a, b in itertools.pairwise(sorted(numbers))}) == 1


@given(st.lists(st.integers(1, 30), max_size=20))
def test_that_numbers_joined_in_words_can_be_taken_apart_again(numbers: list[int]) -> None:
    found: list[int] = []
    for part in runs(numbers).replace(" and ", ", ").split(", ") if numbers else []:
        first, *last = (int(word) for word in part.split(" to "))
        end = last[0] if last else first
        found += list(range(first, end + 1)) if first <= end else list(range(first, end - 1, -1))
    assert found == numbers


def legs_along(*places: float) -> FloatArray:
    """Minutes between points at places along a road."""
    at = np.array(places)
    legs: FloatArray = np.abs(at[:, None] - at[None, :])
    return legs


def ordered(legs: FloatArray, direction: Direction = Direction.EITHER) -> Checked:
    """A route with these legs, far apart as the protocol wants, under an order rule."""
    protocol = replace(PROTOCOL, points=PointRule(1, 60), habitat=None, order=OrderRule(direction))
    one = route("R1", len(legs))
    return Checked(protocol, (one,), facts={"R1": good_facts(len(legs), legs_minutes=legs)})


def test_that_points_out_of_order_are_one_doubt_with_the_better_order_and_the_minutes() -> None:
    finding = ordered(legs_along(0, 4, 8, 20, 24, 12, 16)).only()
    assert (finding.rule, finding.severity, finding.subject) == (Rule.ROUTE_ORDER, Severity.DOUBT, Subject("R1"))
    assert finding.what == (
        "Points out of order: by their numbers they take 40 min of driving,"
        " in the order 1 to 3, 6, 7, 4 and 5 they take 24 min: 16 min saved."
    )


def test_that_little_is_not_worth_a_word_nor_an_order_that_costs_nothing() -> None:
    assert ordered(legs_along(0, 4, 8, 12, 16)).findings() == []
    assert ordered(legs_along(0, 4, 8, 9, 8.5)).findings() == []
    assert ordered(legs_along(0, 4, 8, 20, 24, 12, 16), Direction.ANY).findings() == []


def test_that_a_fixed_direction_keeps_the_first_point_first() -> None:
    legs = legs_along(12, 0, 4, 8, 16, 20)  # the shortest of all begins at point 2
    free, fixed = better_order(legs, Direction.EITHER), better_order(legs, Direction.FIXED)
    assert free is not None
    assert free.order[0] != 0
    assert fixed is None or fixed.order[0] == 0
    detour = better_order(legs_along(0, 12, 4, 8, 16, 20), Direction.FIXED)
    assert detour is not None
    assert detour.order == (0, 2, 3, 1, 4, 5)


@settings(max_examples=30)
@given(
    arrays(np.float64, (6, 6), elements=st.floats(1.0, 30.0)),
    st.sampled_from([Direction.FIXED, Direction.EITHER]),
)
def test_that_the_better_order_is_the_best_of_all_permutations(legs: FloatArray, direction: Direction) -> None:
    np.fill_diagonal(legs, 0.0)
    forward = tuple(range(6))
    orders = [one for one in itertools.permutations(range(6)) if direction is Direction.EITHER or one[0] == 0]
    least = min(driven(legs, one) for one in orders)
    ways = [forward, forward[::-1]] if direction is Direction.EITHER else [forward]
    now = min(driven(legs, one) for one in ways)
    found = better_order(legs, direction)
    worth = now - least >= max(LEAST_SAVED_MINUTES, LEAST_SAVED_SHARE * now)
    if found is None:
        assert not worth or abs(now - least - max(LEAST_SAVED_MINUTES, LEAST_SAVED_SHARE * now)) < 1e-6
        return
    assert worth
    assert found.minutes == pytest.approx(least, abs=1e-9)
    assert found.now_minutes == pytest.approx(now, abs=1e-9)
    assert driven(legs, found.order) == pytest.approx(least, abs=0.05 + 1e-9)


def driven(legs: FloatArray, order: tuple[int, ...]) -> float:
    return float(sum(legs[a, b] for a, b in itertools.pairwise(order)))


def test_that_points_out_of_order_are_not_also_too_far_apart_nor_far_legs() -> None:
    places = (0.0, 800.0, 1600.0, 4000.0, 4800.0, 2400.0, 3200.0)
    metres = legs_along(*places)
    exact = Spacing(SpacingKind.EXACT, Length(800.0, "m"))
    protocol = replace(PROTOCOL, points=PointRule(1, 9, exact), habitat=None)
    facts = good_facts(7, legs_minutes=metres / 100, road_m=metres, straight_m=metres)
    assert Checked(protocol, (route("R1", 7),), facts={"R1": facts}).only().rule is Rule.ROUTE_ORDER


def test_that_the_better_order_comes_by_a_click() -> None:
    places = (0, 1, 2, 5, 6, 3, 4)
    base = route("R1", 7)
    spots = [point.place for point in base.points]
    mixed = replace(base, points=tuple(replace(p, place=spots[at]) for p, at in zip(base.points, places, strict=True)))
    around = planned_on_nothing(mixed, habitat=None, points=PointRule(1, 9))
    weighed = weigh(around, mixed)
    (finding,) = [one for one in weighed.findings if one.rule is Rule.ROUTE_ORDER]
    (offer,) = fixes_for(around, weighed, finding)
    assert offer.fix.kind is FixKind.REORDER
    assert [number_at(mixed, point.place) for point in offer.fix.after.points] == [1, 2, 3, 6, 7, 4, 5]


@given(st.lists(st.floats(10.0, 20_000.0), min_size=1, max_size=12))
def test_that_a_far_leg_is_an_outlier_by_median_and_median_deviation(metres: list[float]) -> None:
    legs = np.array(metres)
    found = {leg.place for leg in long_legs(legs)}
    if len(legs) < 4:
        assert not found
        return
    # SciPy's median absolute deviation is the oracle; 3 and 3.5 are the thresholds that the module states.
    spread = float(median_abs_deviation(legs))
    score = 0.6745 * (legs - np.median(legs))
    assert found == set(np.flatnonzero((legs > 3 * np.median(legs)) & (score > 3.5 * spread)).tolist())


def far_legs(*steps_m: float, numbers: tuple[int, ...] = (), road: bool = True) -> list[Finding]:
    """The findings on a route whose neighbours stand so far apart, where only 'at least' is asked."""
    metres = legs_along(0, *itertools.accumulate(steps_m))
    least = Spacing(SpacingKind.AT_LEAST, Length(400.0, "m"))
    protocol = replace(PROTOCOL, points=PointRule(1, 60, least), habitat=None)
    one = numbered(*(numbers or range(1, len(metres) + 1)))
    facts = good_facts(len(metres), straight_m=metres, road_m=metres if road else None)
    return Checked(protocol, (one,), facts={"R1": facts}).findings()


def test_that_a_leg_far_longer_than_the_others_is_a_doubt_with_figures() -> None:
    (finding,) = far_legs(800, 820, 4100, 790, 810)
    assert (finding.rule, finding.severity, finding.subject) == (
        Rule.ROUTE_LONG_LEG,
        Severity.DOUBT,
        Subject("R1", point=4),
    )
    assert finding.what == (
        "From point 3 to point 4 it is 4.1 km along the road, 5 times as far as between most neighbours (810 m)."
    )
    assert "as the crow flies" in far_legs(800, 820, 4100, 790, 810, road=False)[0].what
    assert far_legs(800, 820, 1900, 790, 810) == []
    assert far_legs(400, 900, 2600, 500, 1900) == []


def test_that_a_number_missing_in_a_far_leg_is_said_once() -> None:
    (finding,) = far_legs(800, 820, 4100, 790, 810, numbers=(1, 2, 3, 5, 6, 7))
    assert "There is no point 4 between them." in finding.what
    assert finding.todo == "Look whether point 4 got lost, or one of the two is misplaced."
    assert "There are no points 4 and 5 between" in far_legs(800, 820, 4100, 790, numbers=(1, 2, 3, 6, 7))[0].what
    both = far_legs(800, 820, 4100, 790, 810, numbers=(1, 2, 3, 5, 6, 8))
    assert [one.rule for one in both] == [Rule.ROUTE_LONG_LEG, Rule.ROUTE_NUMBERS]
    assert both[1].what == "Route R1 has no point 7: its 6 points are numbered up to 8."


def test_that_a_point_far_from_both_its_neighbours_is_one_finding() -> None:
    (finding,) = far_legs(800, 820, 810, 4100, 4300, 790, 810, 800)
    assert finding.subject == Subject("R1", point=5)
    assert finding.what == (
        "Point 5 lies far from its neighbours: 4.1 km from point 4 and 4.3 km from point 6 along the road;"
        " most neighbours are 810 m apart."
    )


def test_that_a_first_or_last_point_that_is_far_off_is_named_and_dropped_by_a_click() -> None:
    assert far_legs(5000, 800, 810, 820, 790)[0].subject.point == 1
    assert far_legs(800, 810, 820, 790, 5000)[0].subject.point == 6
    base = route("R1", 6)
    away = replace(base.points[5], place=replace(base.points[5].place, longitude=base.points[4].place.longitude + 0.08))
    far = replace(base, points=(*base.points[:5], away))
    least = PointRule(1, 9, Spacing(SpacingKind.AT_LEAST, Length(400.0, "m")))
    around = planned_on_nothing(far, habitat=None, points=least)
    weighed = weigh(around, far)
    (finding,) = [one for one in weighed.findings if one.rule is Rule.ROUTE_LONG_LEG]
    (offer,) = fixes_for(around, weighed, finding)
    assert (offer.fix.kind, offer.fix.numbers) == (FixKind.DROP, (6,))


def test_that_a_rule_with_a_greatest_spacing_has_said_it_already() -> None:
    metres = line_m(6)
    metres[3:, :3] += 4000
    metres[:3, 3:] += 4000
    exact = replace(PROTOCOL, points=PointRule(1, 60, Spacing(SpacingKind.EXACT, Length(800.0, "m"))), habitat=None)
    facts = good_facts(6, road_m=metres, straight_m=metres)
    assert Checked(exact, (route("R1", 6),), facts={"R1": facts}).rules() == [Rule.ROUTE_SPACING]
