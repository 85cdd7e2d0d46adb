"""How well two people agree: held against an example worked by hand, SciPy, and published figures."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.distance import braycurtis

from planner.domain.field.agreement import (
    agreed,
    agreement,
    by_people,
    cohens_kappa,
    overlap_percent,
    point_agreements,
)
from planner.domain.field.habitat_sheet import Cover, HabitatSheet, SheetKey, Side
from planner.domain.habitat import HabitatClass, HabitatRule
from planner.domain.measures import Length

CODES = ("TH", "SH", "GR", "TR", "WA")
RULE = HabitatRule(Length(400, "m"), 10, 4.0, tuple(HabitatClass(code, code.lower(), stable=True) for code in CODES))


def circle(**percents: int) -> Cover:
    return Cover.of(Side.CIRCLE, percents.items())


def sheet(point: int, who: str, *covers: Cover, visit: int = 1) -> HabitatSheet:
    return HabitatSheet(SheetKey("R1", visit, point, who), covers)


# Worked by hand. Point 1: smaller of 50/40, 30/30, 20/10, 0/20 = 40 + 30 + 10 = 80.
# Point 2: smaller of 60/20, 40/30, 0/50 = 20 + 30 = 50. Differences (V2 less V1): point 1 TH -10, GR -10, WA +20;
# point 2 TH -40, SH -10, GR +50.
SHEETS = (
    sheet(1, "V1", circle(TH=50, SH=30, GR=20)),
    sheet(1, "V2", circle(TH=40, SH=30, GR=10, WA=20)),
    sheet(2, "V1", circle(TH=60, SH=40)),
    sheet(2, "V2", circle(TH=20, SH=30, GR=50)),
    sheet(3, "V1", circle(TH=100)),
)


def test_that_the_example_worked_by_hand_comes_out() -> None:
    first, second = point_agreements(SHEETS, RULE)
    assert first.differences == (("TH", -10.0), ("SH", 0.0), ("GR", -10.0), ("WA", 20.0))
    assert (first.overlap_percent, first.most_disputed, first.dominant) == (80.0, "WA", ("TH", "TH"))
    assert (second.overlap_percent, second.most_disputed, second.dominant) == (50.0, "GR", ("TH", "GR"))
    whole = agreement((first, second), RULE)
    assert whole is not None
    assert (whole.mean_overlap_percent, whole.same_dominant, whole.most_disputed) == (65.0, 1, "GR")
    assert [(one.code, one.points, one.mean_difference, one.mean_absolute_difference) for one in whole.classes] == [
        ("TH", 2, -25.0, 25.0),
        ("SH", 2, -5.0, 5.0),
        ("GR", 2, 20.0, 30.0),
        ("WA", 1, 20.0, 20.0),
    ]


_TENS = st.lists(st.integers(0, 10), min_size=len(CODES) - 1, max_size=len(CODES) - 1).map(
    lambda cuts: [10 * (b - a) for a, b in zip((0, *sorted(cuts)), (*sorted(cuts), 10), strict=True)]
)


@given(_TENS, _TENS)
def test_that_overlap_is_a_hundred_less_the_dissimilarity_of_bray_and_curtis(one: list[int], other: list[int]) -> None:
    # Oracle: scipy.spatial.distance.braycurtis.
    covers = [Cover.of(Side.CIRCLE, zip(CODES, shares, strict=True)) for shares in (one, other)]
    assert overlap_percent(*covers) == pytest.approx(100.0 * (1.0 - braycurtis(one, other)), abs=1e-9)
    assert overlap_percent(*covers) == overlap_percent(*covers[::-1])


def test_that_two_sides_of_the_road_count_half_each() -> None:
    def both(left: Cover, right: Cover, who: str) -> HabitatSheet:
        return sheet(1, who, Cover(Side.LEFT, left.percents), Cover(Side.RIGHT, right.percents))

    found = agreed(both(circle(TH=100), circle(GR=100), "V1"), both(circle(TH=100), circle(WA=100), "V2"), RULE)
    assert (found.overlap_percent, found.dominant) == (50.0, ("TH", "TH"))
    assert found.differences == (("TH", 0.0), ("GR", -50.0), ("WA", 50.0))


def test_that_only_whole_sheets_of_one_point_and_visit_are_held_against_each_other() -> None:
    drafts = (sheet(1, "V1", circle(TH=50)), sheet(1, "V2", circle(TH=100)))
    assert point_agreements(drafts, RULE) == ()
    apart = (sheet(1, "V1", circle(TH=100)), sheet(1, "V2", circle(TH=100), visit=2), sheet(2, "V2", circle(TH=100)))
    assert point_agreements(apart, RULE) == ()
    assert agreement((), RULE) is None


def test_that_classes_the_protocol_no_longer_has_are_held_against_each_other_too() -> None:
    (found,) = point_agreements((sheet(1, "V1", circle(XX=60, TH=40)), sheet(1, "V2", circle(YY=60, TH=40))), RULE)
    assert found.differences == (("TH", 0.0), ("XX", -60.0), ("YY", 60.0))
    assert (found.overlap_percent, found.dominant) == (40.0, ("XX", "YY"))
    whole = agreement([found], RULE)
    assert whole is not None
    assert [one.code for one in whole.classes] == ["TH", "XX", "YY"]


def test_that_each_two_people_have_figures_of_their_own() -> None:
    three = (*SHEETS, sheet(3, "V3", circle(GR=100)))
    found = by_people(point_agreements(three, RULE), RULE)
    assert {people: one.mean_overlap_percent for people, one in found.items()} == {
        ("V1", "V2"): 65.0,
        ("V1", "V3"): 0.0,
    }


def test_that_a_tie_for_the_largest_class_is_settled_for_agreement() -> None:
    found = agreed(sheet(1, "V1", circle(TH=50, SH=50)), sheet(1, "V2", circle(SH=60, TH=40)), RULE)
    assert found.dominant == ("SH", "SH")


def test_that_kappa_is_that_of_published_and_reference_figures() -> None:
    # The example of 50 grant proposals at en.wikipedia.org/wiki/Cohen's_kappa, from memory: 20 both yes, 15 both no,
    # 5 and 10 apart: kappa 0.4.
    proposals = [("y", "y")] * 20 + [("y", "n")] * 5 + [("n", "y")] * 10 + [("n", "n")] * 15
    assert cohens_kappa(proposals) == pytest.approx(0.4, abs=1e-12)
    assert cohens_kappa([("TH", "TH"), ("GR", "GR")]) == 1.0
    assert cohens_kappa([("TH", "TH")] * 5) is None
    assert cohens_kappa([]) is None


def test_that_kappa_of_four_classes_is_that_of_a_reference_library() -> None:
    # Worked out once with sklearn.metrics.cohen_kappa_score, scikit-learn 1.9.1.
    one = (
        "GR SH TR TH TH TH GR TH SH TH TH TR TR TH SH TH TR TH TH SH TH TR TH SH TH SH GR TR SH TH GR SH TH SH GR TH TH"
    )
    two = (
        "TR TR TR TH TH SH GR TH SH TH TH TH TR TH SH TR TR GR TH SH TH TH GR SH TH GR TR TR SH TH GR SH TH SH SH TR TH"
    )
    pairs = zip(f"{one} TH SH TR".split(), f"{two} TH SH TR".split(), strict=True)
    assert cohens_kappa(list(pairs)) == pytest.approx(0.5770925110132159, abs=1e-12)
