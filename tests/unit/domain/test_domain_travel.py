import math

import pytest

from planner.domain.errors import RuleError
from planner.domain.travel import DriveFigure, FigureSource


def test_that_a_figure_keeps_its_three_readings_and_source() -> None:
    figure = DriveFigure(8.0, 10.0, 12.0, FigureSource.ROAD)
    assert (figure.optimistic_minutes, figure.expected_minutes, figure.cautious_minutes) == (8.0, 10.0, 12.0)
    assert figure.source == "road"
    assert figure.reachable


def test_that_a_measured_figure_has_no_band() -> None:
    assert DriveFigure.measured(7.5) == DriveFigure(7.5, 7.5, 7.5, FigureSource.MEASURED)


def test_that_an_endless_drive_is_not_reachable() -> None:
    assert not DriveFigure(math.inf, math.inf, math.inf, FigureSource.ROAD).reachable


@pytest.mark.parametrize(
    "minutes",
    [
        (-1.0, 2.0, 3.0),
        (3.0, 2.0, 4.0),
        (1.0, 3.0, 2.0),
        (math.nan, 1.0, 2.0),
        (0.0, math.nan, 2.0),
        (0.0, 1.0, math.nan),
    ],
)
def test_that_minutes_out_of_order_negative_or_no_number_are_refused(minutes: tuple[float, float, float]) -> None:
    with pytest.raises(RuleError, match="drive minutes"):
        DriveFigure(*minutes, FigureSource.ESTIMATE)
