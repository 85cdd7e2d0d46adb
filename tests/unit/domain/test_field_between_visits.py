"""Sheets held against each other: planted mistakes are found, and in honest seasons nothing is invented."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.field.between_visits import BetweenVisits, Move, between_visits, moves
from planner.domain.field.habitat_sheet import Cover, HabitatSheet, SheetKey, Side
from planner.domain.habitat import HabitatClass, HabitatRule
from planner.domain.measures import Length
from planner.exchange import shipped_protocol
from tests.unit.domain.habitat_seasons import Country, at, country, estimated, rekeyed, with_sheet

pytestmark = pytest.mark.xdist_group("sheets of many seasons")

HEATH = shipped_protocol("heath_nightjars").habitat
assert HEATH is not None
RULE = HEATH
POINTS = {"R1": tuple(range(1, 11))}
HONEST_SEASONS = 16
"""Of 24 routes, 10 points, 2 visits each: 7,680 sheets. With 1,000 seasons (480,000 sheets), tried once, nothing
was said either."""


Shares = dict[str, int]


def on(
    point: int, ground: Shares, visit: int = 1, who: str = "V1", *, grazed: int = 0, livestock: int = 0
) -> HabitatSheet:
    cover = Cover.of(Side.CIRCLE, ground.items())
    return HabitatSheet(SheetKey("R1", visit, point, who), (cover,), grazed_percent=grazed, livestock=livestock)


def sheet(point: int, visit: int = 1, who: str = "V1", **percents: int) -> HabitatSheet:
    return on(point, percents, visit, who)


def said(*sheets: HabitatSheet) -> BetweenVisits:
    return between_visits(sheets, RULE, POINTS)


NOTHING = BetweenVisits((), (), ())


def test_that_a_stable_class_that_moves_by_twenty_points_is_said_and_one_by_ten_is_not() -> None:
    found = said(sheet(1, TH=50, GR=50), sheet(1, 2, TH=30, GR=70))
    (moved,) = found.moved
    assert moved.moves == (Move(Side.CIRCLE, "TH", 50, 30, turned=False),)
    assert (moved.earlier.visit, moved.later.visit) == (1, 2)
    assert said(sheet(1, TH=50, GR=50), sheet(1, 2, TH=40, GR=60)) == NOTHING


def test_that_crops_may_change_but_a_circle_that_turns_altogether_is_said() -> None:
    assert said(sheet(1, CR=60, GR=40), sheet(1, 2, CR=10, GR=90)) == NOTHING
    (moved,) = said(sheet(1, CR=100), sheet(1, 2, GR=100)).moved
    assert moved.moves == (Move(Side.CIRCLE, "GR", 0, 100, turned=True), Move(Side.CIRCLE, "CR", 100, 0, turned=True))


def test_that_a_visit_is_held_against_the_newest_before_it_that_has_the_point() -> None:
    # The key names visit 3; nothing of visit 2 came in.
    (moved,) = said(sheet(1, TH=50, SH=50), sheet(1, 3, TH=100)).moved
    assert (moved.earlier.visit, moved.later.visit) == (1, 3)
    back = said(sheet(1, TH=50, SH=50), sheet(1, 2, TH=80, SH=20), sheet(1, 3, TH=80, SH=20)).moved
    assert [one.later.visit for one in back] == [2]


def test_that_a_sheet_is_held_against_the_same_persons_before_anothers() -> None:
    # V2 is 20 above V1 on both visits: nothing moved.
    ones = (sheet(1, TH=50, SH=50), sheet(1, 1, "V2", TH=70, SH=30))
    assert said(*ones, sheet(1, 2, TH=50, SH=50), sheet(1, 2, "V2", TH=70, SH=30)) == NOTHING
    assert said(*ones, sheet(1, 2, "V3", TH=80, SH=20)) == NOTHING  # fits V2's best
    (moved,) = said(*ones, sheet(1, 2, TH=70, SH=30)).moved  # it is V1's own sheet that moved, whatever V2 saw
    assert (moved.earlier.observer, moved.later.observer) == ("V1", "V1")


def test_that_drafts_that_do_not_add_up_are_not_judged() -> None:
    assert said(sheet(1, TH=50, SH=50), sheet(1, 2, TH=10)) == NOTHING


SOUTH, NORTH, EAST = {"TH": 60, "GR": 40}, {"TR": 70, "WA": 30}, {"SH": 50, "BG": 50}


def test_that_two_swapped_sheets_are_named_once_and_not_called_moved() -> None:
    found = said(
        *(on(point, ground) for point, ground in ((2, SOUTH), (3, EAST), (7, NORTH))),
        *(on(point, ground, 2) for point, ground in ((2, NORTH), (3, EAST), (7, SOUTH))),
    )
    (swapped,) = found.swapped
    assert (swapped.first.point, swapped.second.point) == (2, 7)
    assert (swapped.own_percent, swapped.crossed_percent) == (0.0, 100.0)
    assert (found.moved, found.copied) == ((), ())


def test_that_after_a_swap_the_next_visit_is_held_against_the_sheets_as_they_belong() -> None:
    first = [on(2, SOUTH), on(7, NORTH)]
    second = [on(2, NORTH, 2), on(7, SOUTH, 2)]
    third = [on(2, SOUTH, 3), on(7, NORTH, 3)]
    found = said(*first, *second, *third)
    assert [one.first.visit for one in found.swapped] == [2]
    assert found.moved == ()


def test_that_three_sheets_that_went_round_are_at_least_said_to_have_moved() -> None:
    found = said(
        *(on(point, ground) for point, ground in ((1, SOUTH), (2, NORTH), (3, EAST))),
        *(on(point, ground, 2) for point, ground in ((1, NORTH), (2, EAST), (3, SOUTH))),
    )
    assert {one.later.point for one in found.moved} == {1, 2, 3}


def test_that_a_sheet_that_repeats_the_point_before_to_the_last_figure_is_said() -> None:
    rich = {"TH": 40, "SH": 30, "GR": 20, "BG": 10}
    (run,) = said(on(1, rich, grazed=90, livestock=14), on(2, rich, grazed=90, livestock=14)).copied
    assert [(one.point, other.point, run.from_visit) for one, other in run.pairs] == [(1, 2, False)]
    assert said(on(1, rich, grazed=90, livestock=14), on(2, rich, grazed=90, livestock=15)) == NOTHING
    assert said(on(1, rich, livestock=14), on(3, rich, 1, "V2", livestock=14)) == NOTHING


@pytest.mark.parametrize(
    ("ground", "is_said"),
    [({"TH": 50, "SH": 30, "GR": 20}, True), ({"TH": 60, "GR": 40}, False), ({"TH": 100}, False)],
)
def test_that_a_repeat_of_the_point_before_that_may_be_chance_is_pointed_out_and_not_called_a_copy(
    ground: dict[str, int], *, is_said: bool
) -> None:
    found = said(on(1, ground), on(2, ground))
    assert found.copied == ()
    assert [run.pairs[0][1].point for run in found.alike] == ([2] if is_said else [])


def test_that_ground_of_one_kind_is_no_copy_however_long_it_goes_on() -> None:
    row = [on(point, {"TH": 100}, visit, grazed=100) for point in POINTS["R1"] for visit in (1, 2)]
    assert said(*row) == NOTHING


def test_that_a_short_sheet_that_repeats_is_said_where_it_contradicts_its_own_visit_before() -> None:
    alike = (sheet(1, TH=60, GR=40), sheet(2, TH=60, GR=40))
    assert said(*alike) == NOTHING
    found = said(sheet(1, TH=60, GR=40), sheet(2, TR=80, GR=20), sheet(1, 2, TH=60, GR=40), sheet(2, 2, TH=60, GR=40))
    assert [(one.point, other.point) for run in found.copied for one, other in run.pairs] == [(1, 2)]
    assert found.moved == ()


def test_that_a_run_of_repeats_is_one_finding() -> None:
    ground = {"TH": 40, "SH": 30, "GR": 30}
    (run,) = said(*(on(point, ground) for point in (4, 5, 6, 7))).copied
    assert [(one.point, other.point) for one, other in run.pairs] == [(4, 5), (5, 6), (6, 7)]


def test_that_a_whole_visit_that_repeats_the_one_before_is_said_and_a_single_point_is_not() -> None:
    chance = random.Random(3)
    first = [_four_classes(chance, point) for point in POINTS["R1"]]
    again = [replace(one, key=replace(one.key, visit=2)) for one in first]
    (run,) = said(*first, *again).copied
    assert run.from_visit
    assert len(run.pairs) == 10
    assert said(*first, again[4]) == NOTHING


def _four_classes(chance: random.Random, point: int) -> HabitatSheet:
    codes = chance.sample([one.code for one in RULE.classes if not one.needs_note], 4)
    return on(point, dict(zip(codes, (40, 30, 20, 10), strict=True)))


def test_that_two_sides_of_the_road_are_held_against_each_other_side_by_side() -> None:
    sides = HabitatRule(
        Length(100, "m"),
        10,
        4.0,
        (HabitatClass("A", "wood", True), HabitatClass("B", "crop", False)),
        sides_of_road=True,
    )

    def both(visit: int, left: int) -> HabitatSheet:
        covers = (Cover.of(Side.LEFT, [("A", left), ("B", 100 - left)]), Cover.of(Side.RIGHT, [("B", 100)]))
        return HabitatSheet(SheetKey("R1", visit, 1), covers)

    assert moves(both(1, 60), both(2, 30), sides) == (Move(Side.LEFT, "A", 60, 30, turned=False),)


@pytest.mark.parametrize("error", [2.0, 4.0])
def test_that_in_honest_seasons_nothing_is_said_but_that_some_neighbours_are_alike(error: float) -> None:
    alike = sheets = 0
    for seed in range(HONEST_SEASONS // 2):
        land = country(seed, RULE)
        season = estimated(seed, land, error)
        found = between_visits(season, RULE, land.points)
        assert replace(found, alike=()) == NOTHING
        alike, sheets = alike + len(found.alike), sheets + len(season)
    assert alike <= 0.003 * sheets


_TENS = st.lists(st.integers(0, 10), min_size=8, max_size=8)


@given(_TENS, st.lists(st.integers(-1, 1), min_size=9, max_size=9))
def test_that_differences_of_ten_points_are_never_said(cuts: list[int], off: list[int]) -> None:
    shares = [10 * (b - a) for a, b in zip((0, *sorted(cuts)), (*sorted(cuts), 10), strict=True)]
    other = [share + 10 * by for share, by in zip(shares, off, strict=True)]
    if sum(other) != 100 or min(other) < 0:
        return
    codes = [one.code for one in RULE.classes]
    before, after = (dict(zip(codes, some, strict=True)) for some in (shares, other))
    assert said(on(1, before), on(1, after, 2)) == NOTHING


PLANTED = 12
"""Seasons with one mistake of each kind planted."""


@pytest.fixture(scope="module")
def seasons() -> list[tuple[Country, list[HabitatSheet], random.Random]]:
    """Honest seasons of six routes, and the chance that says where to plant."""
    lands = [country(1_000 + seed, RULE, routes=6) for seed in range(PLANTED)]
    return [(land, estimated(2_000 + seed, land), random.Random(seed)) for seed, land in enumerate(lands)]


Seasons = list[tuple[Country, list[HabitatSheet], random.Random]]


def test_that_every_planted_move_is_found_and_nothing_else(seasons: Seasons) -> None:
    for land, sheets, chance in seasons:
        code, point = f"R0{chance.randint(1, 6)}", chance.randint(1, 10)
        planted = at(sheets, code, 2, point)
        before = at(sheets, code, 1, point).covers[0]
        stable = max((one.code for one in RULE.classes if one.stable), key=before.percent)
        share = before.percent(stable)
        rest = max((one.code for one in RULE.classes if one.code != stable), key=before.percent)
        by = 20 if share >= 50 or before.percent(rest) < 20 else -20
        wrong = dict(before.percents) | {stable: share - by, rest: before.percent(rest) + by}
        found = between_visits(
            with_sheet(sheets, replace(planted, covers=(Cover.of(Side.CIRCLE, wrong.items()),))), RULE, land.points
        )
        assert [one.later for one in found.moved] == [planted.key]
        assert (found.swapped, found.copied) == ((), ())


def test_that_every_planted_swap_of_unlike_points_is_found_and_nothing_else(seasons: Seasons) -> None:
    for land, sheets, chance in seasons:
        code = f"R0{chance.randint(1, 6)}"
        one, other = _unlike(sheets, code, chance)
        swapped = with_sheet(with_sheet(sheets, rekeyed(other, one.key)), rekeyed(one, other.key))
        found = between_visits(swapped, RULE, land.points)
        assert [{pair.first, pair.second} for pair in found.swapped] == [{one.key, other.key}]
        assert (found.moved, found.copied) == ((), ())


def _unlike(sheets: list[HabitatSheet], code: str, chance: random.Random) -> tuple[HabitatSheet, HabitatSheet]:
    """Two points of a route whose ground differs by 40 points or more in some stable class, on both visits."""
    while True:
        one, other = (at(sheets, code, 2, point) for point in chance.sample(range(1, 11), 2))
        if all(
            _apart(at(sheets, code, visit, one.key.point), at(sheets, code, visit, other.key.point)) for visit in (1, 2)
        ):
            return one, other


def _apart(one: HabitatSheet, other: HabitatSheet) -> bool:
    stable = [known.code for known in RULE.classes if known.stable]
    return max(abs(one.covers[0].percent(code) - other.covers[0].percent(code)) for code in stable) >= 40


def test_that_every_planted_copy_of_an_unlike_neighbour_is_found_and_nothing_else(seasons: Seasons) -> None:
    for land, sheets, chance in seasons:
        pairs = [
            (before, one)
            for code in land.points
            for point in range(2, 11)
            for before, one in [(at(sheets, code, 2, point - 1), at(sheets, code, 2, point))]
            if _apart(before, at(sheets, code, 1, point)) and len(before.covers[0].percents) > 1
        ]
        before, one = chance.choice(pairs)
        found = between_visits(with_sheet(sheets, rekeyed(before, one.key)), RULE, land.points)
        assert [run.pairs for run in found.copied] == [((before.key, one.key),)]
        assert (found.moved, found.swapped) == ((), ())


def test_that_every_planted_copy_of_a_visit_is_found_and_nothing_else(seasons: Seasons) -> None:
    for land, sheets, chance in seasons:
        code = f"R0{chance.randint(1, 6)}"
        copied = [
            rekeyed(at(sheets, code, 1, one.key.point), one.key) if (one.key.route, one.key.visit) == (code, 2) else one
            for one in sheets
        ]
        (run,) = between_visits(copied, RULE, land.points).copied
        assert run.from_visit
        assert {copy for _, copy in run.pairs} == {
            one.key for one in copied if (one.key.route, one.key.visit) == (code, 2)
        }
