"""What is shown at a size lies on nothing else that is shown: tried one pair at a time, in plain arithmetic."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from planner.desktop.map.boxes import Boxes, boxes_from, rounds_from
from planner.desktop.map.ground import Floats

SCALES = [2.0 ** (step / 4) for step in range(-56, 8)]
PLACES = st.integers(-2_000_000, 2_000_000).map(lambda centimetres: centimetres / 100.0)
ONE = st.tuples(PLACES, PLACES, st.floats(-30, 30), st.floats(-30, 30), st.floats(3, 80), st.floats(3, 20))
ROUNDS = st.lists(st.tuples(PLACES, PLACES), min_size=0, max_size=14)


def _boxes(rows: list[tuple[float, ...]], owners: list[int]) -> Boxes:
    east, south, aside, below, wide, high = np.array(rows, dtype=np.float64).reshape(-1, 6).T
    return Boxes(east, south, aside, below, wide, high, np.array(owners, dtype=np.int64))


def _overlap(boxes: Boxes, one: int, other: int, scale: float) -> bool:
    across = (boxes.east[one] - boxes.east[other]) * scale + boxes.aside[one] - boxes.aside[other]
    down = (boxes.south[one] - boxes.south[other]) * scale + boxes.below[one] - boxes.below[other]
    wide = boxes.half_width[one] + boxes.half_width[other]
    high = boxes.half_height[one] + boxes.half_height[other]
    return bool(abs(across) < wide - 1e-6 and abs(down) < high - 1e-6)


@given(st.lists(ONE, min_size=1, max_size=12))
def test_that_no_name_lies_on_another_at_any_size(rows: list[tuple[float, ...]]) -> None:
    boxes = _boxes(rows, list(range(len(rows))))
    shown_from = boxes_from(boxes, np.zeros(len(rows)))
    for scale in SCALES:
        shown = np.flatnonzero(shown_from <= scale).tolist()
        assert not [pair for pair in combinations(shown, 2) if _overlap(boxes, *pair, scale)]


@given(st.lists(ONE, min_size=2, max_size=12))
def test_that_a_name_waits_no_longer_than_it_must(rows: list[tuple[float, ...]]) -> None:
    boxes = _boxes(rows, list(range(len(rows))))
    shown_from = boxes_from(boxes, np.zeros(len(rows)))
    for this in range(len(rows)):
        if not 0.0 < shown_from[this] < math.inf:
            continue
        just_before = shown_from[this] * (1 - 1e-6)
        weightier = [other for other in range(this) if shown_from[other] <= just_before]
        assert any(_overlap_nearly(boxes, this, other, just_before) for other in weightier)


def _overlap_nearly(boxes: Boxes, one: int, other: int, scale: float) -> bool:
    across = (boxes.east[one] - boxes.east[other]) * scale + boxes.aside[one] - boxes.aside[other]
    down = (boxes.south[one] - boxes.south[other]) * scale + boxes.below[one] - boxes.below[other]
    wide = boxes.half_width[one] + boxes.half_width[other]
    high = boxes.half_height[one] + boxes.half_height[other]
    return bool(abs(across) < wide + 1e-3 and abs(down) < high + 1e-3)


def test_that_the_weightiest_name_is_always_shown() -> None:
    boxes = _boxes([(0, 0, 0, 0, 50, 10), (10, 0, 0, 0, 50, 10)], [0, 1])
    assert boxes_from(boxes, np.zeros(2)).tolist() == [0.0, 10.0]


def test_that_names_of_one_owner_do_not_keep_each_other_away() -> None:
    boxes = _boxes([(0, 0, 0, 0, 50, 10), (10, 0, 0, 0, 50, 10)], [7, 7])
    assert boxes_from(boxes, np.zeros(2)).tolist() == [0.0, 0.0]


def test_that_two_names_of_one_place_are_never_both_shown() -> None:
    boxes = _boxes([(0, 0, 0, 0, 50, 10), (0, 0, 0, 0, 50, 10)], [0, 1])
    assert boxes_from(boxes, np.zeros(2)).tolist() == [0.0, math.inf]


def test_that_a_name_that_may_not_be_shown_keeps_none_away() -> None:
    boxes = _boxes([(0, 0, 0, 0, 50, 10), (10, 0, 0, 0, 50, 10)], [0, 1])
    assert boxes_from(boxes, np.array([math.inf, 0.0])).tolist() == [math.inf, 0.0]


def test_that_what_is_always_shown_does_not_wait_but_keeps_others_away() -> None:
    boxes = _boxes([(0, 0, 0, 0, 50, 10), (10, 0, 0, 0, 50, 10), (20, 0, 0, 0, 50, 10)], [0, 1, 2])
    assert boxes_from(boxes, np.zeros(3), always=2).tolist() == [0.0, 0.0, 10.0]


@given(ROUNDS)
def test_that_discs_stand_apart_at_any_size(places: list[tuple[float, float]]) -> None:
    east, south = np.array(places, dtype=np.float64).reshape(-1, 2).T
    shown_from = rounds_from(east, south, 23.0, 1 / 100)
    for scale in SCALES:
        shown = np.flatnonzero(shown_from <= scale).tolist()
        assert scale >= 1 / 100 or not shown
        apart = [math.dist(places[one], places[other]) * scale for one, other in combinations(shown, 2)]
        assert min(apart, default=math.inf) >= 23.0 - 1e-6


@given(ROUNDS)
def test_that_discs_are_thinned_as_one_by_one(places: list[tuple[float, float]]) -> None:
    east, south = np.array(places, dtype=np.float64).reshape(-1, 2).T
    assert np.allclose(rounds_from(east, south, 23.0, 1 / 100), _one_by_one(places, 23.0, 1 / 100))


def _one_by_one(places: list[tuple[float, float]], apart: float, least: float) -> Floats:
    shown_from: list[float] = []
    for this, place in enumerate(places):
        waits = [least]
        for other in range(this):
            metres = math.dist(place, places[other])
            parted = apart / metres if metres else math.inf
            if parted > shown_from[other]:
                waits.append(parted)
        shown_from.append(max(waits))
    return np.array(shown_from)
