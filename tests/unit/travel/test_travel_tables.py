import math
from pathlib import Path

import numpy as np
import pytest

from planner.domain.errors import RuleError
from planner.travel import DriveFigure, DriveTable, FigureSource, RoadNetwork, drive_table, estimate_minutes
from tests.unit.travel.road_maps import RESIDENTIAL, Node, row, write_osm

HOME, NEAR, END = (50.0, 10.0), (50.0, 10.01), (50.0, 10.03)
ISLAND = (50.2, 10.0)
ABROAD = (52.0, 10.0)


@pytest.fixture
def network(tmp_path: Path) -> RoadNetwork:
    nodes: dict[int, Node] = {**row(4), 5: ISLAND, 6: (50.2, 10.01)}
    return RoadNetwork.read(write_osm(tmp_path / "a.osm", nodes, [([1, 2, 3, 4], RESIDENTIAL), ([5, 6], RESIDENTIAL)]))


def test_that_road_figures_carry_the_band_and_the_stop_overhead(network: RoadNetwork) -> None:
    table = drive_table([HOME], [NEAR, END], network=network, stop_overhead_minutes=2.0)
    driving = network.minutes([HOME], [NEAR, END])[0]
    assert table.shape == (1, 2)
    for column in (0, 1):
        figure = table.figure(0, column)
        assert figure.source is FigureSource.ROAD
        assert figure.optimistic_minutes == pytest.approx(driving[column] * 0.9 + 2.0)
        assert figure.expected_minutes == pytest.approx(driving[column] + 2.0)
        assert figure.cautious_minutes == pytest.approx(driving[column] * 1.2 + 2.0)


def test_that_without_roads_everything_is_estimated() -> None:
    table = drive_table([HOME], [END], network=None, stop_overhead_minutes=1.0)
    driving = estimate_minutes([HOME], [END])[0, 0]
    figure = table.figure(0, 0)
    assert figure.source is FigureSource.ESTIMATE
    assert figure.optimistic_minutes == pytest.approx(driving * 0.65 + 1.0)
    assert figure.expected_minutes == pytest.approx(driving + 1.0)
    assert figure.cautious_minutes == pytest.approx(driving * 1.7 + 1.0)


def test_that_a_place_beyond_the_roads_is_estimated_cell_by_cell(network: RoadNetwork) -> None:
    table = drive_table([HOME, ABROAD], [END, ABROAD], network=network, stop_overhead_minutes=0.0)
    sources = [[table.source(row_number, column) for column in (0, 1)] for row_number in (0, 1)]
    assert sources == [[FigureSource.ROAD, FigureSource.ESTIMATE], [FigureSource.ESTIMATE, FigureSource.ESTIMATE]]
    assert table.expected_minutes[0, 1] == pytest.approx(estimate_minutes([HOME], [ABROAD])[0, 0])


def test_that_no_way_by_road_is_endless_not_estimated(network: RoadNetwork) -> None:
    figure = drive_table([HOME], [ISLAND], network=network, stop_overhead_minutes=2.0).figure(0, 0)
    assert figure.source is FigureSource.ROAD
    assert not figure.reachable
    assert figure.optimistic_minutes == math.inf


@pytest.mark.parametrize("place", [HOME, ISLAND, ABROAD, (50.003, 10.0)])
def test_that_from_a_place_to_itself_there_is_neither_drive_nor_overhead(
    network: RoadNetwork, place: tuple[float, float]
) -> None:
    for roads in (network, None):
        table = drive_table([place], [place], network=roads, stop_overhead_minutes=5.0)
        assert table.figure(0, 0).cautious_minutes == 0.0


def test_that_calibration_stretches_the_drive_but_not_the_overhead(network: RoadNetwork) -> None:
    for roads in (network, None):
        plain = drive_table([HOME], [END], network=roads, stop_overhead_minutes=0.0)
        slow = drive_table([HOME], [END], network=roads, stop_overhead_minutes=2.0, calibration=1.5)
        assert slow.expected_minutes[0, 0] == pytest.approx(plain.expected_minutes[0, 0] * 1.5 + 2.0)
        assert slow.cautious_minutes[0, 0] == pytest.approx(plain.cautious_minutes[0, 0] * 1.5 + 2.0)


def test_that_a_limit_on_the_drive_holds_after_calibration(network: RoadNetwork) -> None:
    for roads in (network, None):
        drive = drive_table([HOME], [END], network=roads, stop_overhead_minutes=0.0).expected_minutes[0, 0]
        for calibration, limit_share, reached in ((1.0, 1.1, True), (1.2, 1.1, False), (0.5, 0.6, True)):
            limited = drive_table(
                [HOME],
                [END],
                network=roads,
                stop_overhead_minutes=9.0,
                calibration=calibration,
                limit_minutes=float(drive) * limit_share,
            )
            assert limited.figure(0, 0).reachable is reached


def test_that_measured_legs_take_the_place_of_figures(network: RoadNetwork) -> None:
    table = drive_table([HOME, NEAR], [END], network=network, stop_overhead_minutes=2.0)
    driven = table.with_measured({(1, 0): 7.25})
    assert driven.figure(1, 0) == DriveFigure.measured(7.25)
    assert driven.figure(0, 0) == table.figure(0, 0)
    assert table.source(1, 0) is FigureSource.ROAD
    with pytest.raises(RuleError, match="drive minutes"):
        table.with_measured({(0, 0): -1.0})
    with pytest.raises(IndexError):
        table.with_measured({(5, 0): 1.0})


def test_that_a_table_cannot_be_changed(network: RoadNetwork) -> None:
    table = drive_table([HOME], [END], network=network, stop_overhead_minutes=2.0)
    with pytest.raises(ValueError, match="read-only"):
        table.expected_minutes[0, 0] = 0.0


def test_that_no_places_make_an_empty_table(network: RoadNetwork) -> None:
    assert drive_table([], [END], network=network, stop_overhead_minutes=2.0).shape == (0, 1)
    assert drive_table([HOME], [], network=None, stop_overhead_minutes=2.0).shape == (1, 0)


@pytest.mark.parametrize(
    ("overhead_minutes", "calibration", "limit_minutes", "said"),
    [
        (-1.0, 1.0, None, "stop overhead"),
        (math.nan, 1.0, None, "stop overhead"),
        (2.0, 0.0, None, "calibration"),
        (2.0, math.inf, None, "calibration"),
        (2.0, 1.0, 0.0, "limit"),
        (2.0, 1.0, math.nan, "limit"),
    ],
)
def test_that_figures_out_of_range_are_refused(
    overhead_minutes: float, calibration: float, limit_minutes: float | None, said: str
) -> None:
    with pytest.raises(RuleError, match=said):
        drive_table(
            [HOME],
            [END],
            network=None,
            stop_overhead_minutes=overhead_minutes,
            calibration=calibration,
            limit_minutes=limit_minutes,
        )


def test_that_arrays_of_unlike_shapes_make_no_table() -> None:
    one, two = np.zeros((1, 1)), np.zeros((1, 2))
    with pytest.raises(RuleError, match="one shape"):
        DriveTable(one, two, one, np.zeros((1, 1), dtype=np.uint8))
    flat = np.zeros(1)
    with pytest.raises(RuleError, match="one shape"):
        DriveTable(flat, flat, flat, np.zeros(1, dtype=np.uint8))
