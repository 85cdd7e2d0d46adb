from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.counting import CountRule, PointRule, Segment, SegmentKind, Spacing, SpacingKind
from planner.domain.errors import RuleError
from planner.domain.measures import Length

HALF_MILE = Length(0.5, "mi")
MILE = Length(1.0, "mi")


def test_that_exact_spacing_has_both_bounds_within_its_tolerance() -> None:
    spacing = Spacing(SpacingKind.EXACT, HALF_MILE, tolerance_percent=10)
    assert spacing.least_allowed_m == pytest.approx(804.672 * 0.9)
    assert spacing.most_allowed_m == pytest.approx(804.672 * 1.1)


def test_that_spacing_of_at_least_has_no_upper_bound() -> None:
    spacing = Spacing(SpacingKind.AT_LEAST, HALF_MILE, tolerance_percent=0)
    assert spacing.least_allowed_m == pytest.approx(804.672)
    assert spacing.most_allowed_m is None


def test_that_spacing_in_a_range_is_bounded_by_both_its_lengths() -> None:
    spacing = Spacing(SpacingKind.RANGE, HALF_MILE, MILE, tolerance_percent=5)
    assert spacing.least_allowed_m == pytest.approx(804.672 * 0.95)
    assert spacing.most_allowed_m == pytest.approx(1609.344 * 1.05)


@given(st.floats(1, 1e5), st.floats(0, 50))
def test_that_the_figure_itself_always_meets_the_rule(metres: float, tolerance: float) -> None:
    spacing = Spacing(SpacingKind.EXACT, Length(metres, "m"), tolerance_percent=tolerance)
    assert spacing.most_allowed_m is not None
    assert spacing.least_allowed_m <= metres <= spacing.most_allowed_m


@pytest.mark.parametrize(
    ("kind", "most"), [(SpacingKind.RANGE, None), (SpacingKind.EXACT, MILE), (SpacingKind.AT_LEAST, MILE)]
)
def test_that_only_spacing_in_a_range_has_a_most(kind: SpacingKind, most: Length | None) -> None:
    with pytest.raises(RuleError, match="when, and only when"):
        Spacing(kind, HALF_MILE, most)


def test_that_reversed_or_zero_spacing_is_refused() -> None:
    with pytest.raises(RuleError, match="reversed: most 1 km is below least 1 mi"):
        Spacing(SpacingKind.RANGE, MILE, Length(1, "km"))
    assert Spacing(SpacingKind.RANGE, MILE, MILE).most == MILE
    with pytest.raises(RuleError, match="above 0"):
        Spacing(SpacingKind.EXACT, Length(0, "m"))


@pytest.mark.parametrize(("fewest", "most"), [(-1, 5), (6, 5)])
def test_that_the_fewest_points_lie_between_none_and_the_most(fewest: int, most: int) -> None:
    with pytest.raises(RuleError, match="points: fewest"):
        PointRule(fewest, most)


def test_that_a_route_without_points_is_a_line_with_a_length() -> None:
    assert PointRule(0, 0, line=MILE).line == MILE
    with pytest.raises(RuleError, match="driven line"):
        PointRule(0, 0)
    with pytest.raises(RuleError, match="driven line"):
        PointRule(1, 5, line=MILE)


def test_that_the_greatest_length_of_a_line_needs_a_least_that_is_no_longer() -> None:
    assert PointRule(0, 0, line=HALF_MILE, line_most=MILE).line_most == MILE
    assert PointRule(0, 0, line=MILE, line_most=MILE).line_most == MILE
    with pytest.raises(RuleError, match="line_most"):
        PointRule(0, 0, line=MILE, line_most=HALF_MILE)
    with pytest.raises(RuleError, match="line_most"):
        PointRule(1, 5, line_most=MILE)


@pytest.mark.parametrize("minutes", [0.0, -1.0])
def test_that_a_segment_lasts(minutes: float) -> None:
    with pytest.raises(RuleError, match="segment 'listen' must last longer than 0 minutes"):
        Segment("listen", minutes)
    assert Segment("listen", 0.5).minutes == 0.5


def test_that_the_minutes_of_a_count_are_settling_and_every_segment() -> None:
    count = CountRule((Segment("listen", 5), Segment("call", 1.5, SegmentKind.BROADCAST)), settle_minutes=2)
    assert count.counted_minutes == 6.5
    assert count.minutes == 8.5


def test_that_a_count_has_a_segment_and_no_negative_minutes() -> None:
    with pytest.raises(RuleError, match="at least one"):
        CountRule(())
    with pytest.raises(RuleError, match="negative"):
        CountRule((Segment("listen", 5),), settle_minutes=-1)
    with pytest.raises(RuleError, match="negative"):
        CountRule((Segment("listen", 5),), noise_extension_minutes=-1)
