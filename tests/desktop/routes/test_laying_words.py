"""Stretches as they are written and read, and the table of a proposal as a sound model."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtTest import QAbstractItemModelTester

from planner.desktop.desk import Desk
from planner.desktop.routes.laid_model import Column, LaidModel
from planner.desktop.routes.laying_words import read_stretches, stretches_words
from planner.desktop.routes.layout_wish import LayoutWish, Way
from planner.desktop.routes.point_model import MARK_ROLE
from planner.desktop.units import Units
from planner.domain.errors import RuleError
from planner.domain.finding import Severity
from planner.domain.geo import Place
from planner.usecases.laying_out import Laid, LaidPoint, Skipped, Why

STRETCHES = st.lists(st.tuples(st.integers(0, 90_000), st.integers(10, 5_000)), max_size=4)


@given(stretches=STRETCHES, units=st.sampled_from(Units))
def test_that_stretches_are_read_as_they_are_written(stretches: list[tuple[int, int]], units: Units) -> None:
    wanted = tuple((float(first), float(first + length)) for first, length in stretches)
    read = read_stretches(stretches_words(wanted, units), units)
    assert [pytest.approx(one, abs=0.5) for one in wanted] == list(read)  # a yard is shorter than a metre


@pytest.mark.parametrize("text", ["1200", "1500-1200", "a-b", "1,200-1,300", "1200-1300-1400", "12 h - 13 h"])
def test_that_what_is_no_stretch_is_refused_in_words(text: str) -> None:
    with pytest.raises(RuleError):
        read_stretches(text, Units.METRIC)


def test_that_a_unit_at_the_end_holds_for_both_ends() -> None:
    assert read_stretches("1.2–1.5 km; 100 to 200", Units.METRIC) == ((1200.0, 1500.0), (100.0, 200.0))


def laid(points: int, skipped: tuple[Skipped, ...]) -> Laid:
    row = tuple(
        LaidPoint(number, Place(50.0, number / 100), 800.0 * number, 800.0 if number > 1 else None)
        for number in range(1, points + 1)
    )
    return Laid(row, ((50.0, 0.0), (50.0, 1.0)), (0.0, 9000.0), 9000.0, skipped, points, "800 m along the road")


def test_that_points_and_stretches_are_rows_in_their_order_along_the_line(new_desk: object) -> None:
    assert callable(new_desk)
    desk = new_desk()
    assert isinstance(desk, Desk)
    model = LaidModel(desk)
    tester = QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Fatal)
    bridge = Skipped(1000.0, 1100.0, Why.BRIDGE)
    model.show_laid(laid(3, (bridge,)))
    assert [model.index(row, Column.NUMBER).data() for row in range(4)] == ["1", "", "2", "3"]
    assert model.index(1, Column.NUMBER).data(MARK_ROLE) is Severity.TROUBLE
    assert model.index(1, Column.ALONG).data() == "1000–1100 m"
    assert model.index(1, Column.APART).data() == "Left out: a bridge"
    assert model.index(0, Column.NUMBER).data(MARK_ROLE) is None
    desk.count_in(Units.IMPERIAL)
    assert model.index(2, Column.APART).data() == "875 yd"
    model.show_laid(laid(4, ()))
    model.show_laid(laid(2, (bridge, Skipped(0.0, 10.0, Why.TUNNEL))))
    model.show_laid(None)
    assert model.rowCount() == 0
    assert tester.model() is model


def test_that_a_wish_says_what_it_lacks_until_it_is_whole() -> None:
    a, b = Place(50.0, 10.0), Place(50.0, 10.1)
    assert [bool(wish.lacks) for wish in (LayoutWish(), LayoutWish(places=(a,)), LayoutWish(places=(a, b)))] == [
        True,
        True,
        False,
    ]
    assert LayoutWish(Way.ROAD, (a,)).lacks
    assert not LayoutWish(Way.ROAD, (a,), "Furze Lane").lacks
    assert LayoutWish(Way.LINE).lacks
