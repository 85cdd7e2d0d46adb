"""Ways on foot by Naismith's rule, and how they enter a drive table."""

import numpy as np
import pytest

from planner.travel import (
    ROADSIDE_M,
    RoadNetwork,
    Standing,
    drive_table,
    estimate_minutes,
    naismith_minutes,
    walked_minutes,
)
from tests.unit.travel.road_maps import RESIDENTIAL, row, write_osm

MILE_M, FOOT_M = 1609.344, 0.3048
HOME, OFF, FARTHER = (50.001, 10.0), (50.0018, 10.01), (50.0045, 10.03)
"""About 111, 200 and 500 m north of a road along the parallel of 50 degrees."""
METRES_PER_DEGREE = 111_229.0
"""Length of a degree of latitude at 50 north, WGS84."""


@pytest.fixture(scope="module")
def network(tmp_path_factory: pytest.TempPathFactory) -> RoadNetwork:
    path = tmp_path_factory.mktemp("roads") / "a.osm"
    return RoadNetwork.read(write_osm(path, row(4), [([1, 2, 3, 4], RESIDENTIAL)]))


@pytest.mark.parametrize(
    ("miles", "feet", "hours"),
    [
        # 'An hour for every three miles on the map, with an additional hour for every 2,000 feet of ascent':
        # W. W. Naismith, Scottish Mountaineering Club Journal 2 (1892), page 136.
        (3.0, 0.0, 1.0),
        (0.0, 2000.0, 1.0),
        (3.0, 2000.0, 2.0),
        # The day he took it from, from memory: ten miles, 6,300 feet, six and a half hours.
        (10.0, 6300.0, 6.5),
    ],
)
def test_that_a_way_takes_what_naismith_published(miles: float, feet: float, hours: float) -> None:
    minutes = naismith_minutes(np.array([miles * MILE_M]), np.array([feet * FOOT_M]))
    assert minutes[0] == pytest.approx(hours * 60.0, abs=1.1)


def test_that_the_verge_needs_no_walk_and_a_place_without_a_road_none_that_is_known() -> None:
    walked = walked_minutes(np.array([0.0, ROADSIDE_M, ROADSIDE_M + 0.1, 804.672, np.nan]))
    assert walked.tolist() == pytest.approx([0.0, 0.0, 0.2498, 10.0, 0.0], abs=0.001)


def _minutes(metres: float) -> float:
    return metres / MILE_M * 20.0


def test_that_people_walk_at_the_ends_where_they_stand_and_nowhere_else(network: RoadNetwork) -> None:
    plain = drive_table([HOME, OFF], [OFF, FARTHER], network=network, stop_overhead_minutes=2.0)
    off, farther = (_minutes((place[0] - 50.0) * METRES_PER_DEGREE) for place in (OFF, FARTHER))
    home = _minutes((HOME[0] - 50.0) * METRES_PER_DEGREE)
    for standing, more in (
        (Standing.NOWHERE, [[0.0, 0.0], [0.0, 0.0]]),
        (Standing.DESTINATIONS, [[off, farther], [0.0, farther]]),
        (Standing.ORIGINS, [[home, home], [0.0, off]]),
        (Standing.BOTH, [[home + off, home + farther], [0.0, off + farther]]),
    ):
        table = drive_table([HOME, OFF], [OFF, FARTHER], network=network, stop_overhead_minutes=2.0, standing=standing)
        walked = np.array(more)
        assert table.figure(1, 0).cautious_minutes == 0.0
        np.testing.assert_allclose(table.expected_minutes - plain.expected_minutes, walked, atol=0.01)
        np.testing.assert_allclose(table.optimistic_minutes - plain.optimistic_minutes, walked, atol=0.01)
        np.testing.assert_allclose(table.cautious_minutes - plain.cautious_minutes, 1.5 * walked, atol=0.01)


def test_that_calibration_is_of_the_drive_and_not_of_the_walk(network: RoadNetwork) -> None:
    tables = [
        drive_table([HOME], [FARTHER], network=network, stop_overhead_minutes=0.0, calibration=share, standing=standing)
        for share in (1.0, 2.0)
        for standing in (Standing.NOWHERE, Standing.DESTINATIONS)
    ]
    plain, walked, slow, slow_walked = (table.expected_minutes[0, 0] for table in tables)
    assert slow_walked - slow == pytest.approx(walked - plain)
    assert slow == pytest.approx(2 * plain)


def test_that_an_estimate_has_no_walk_of_its_own(network: RoadNetwork) -> None:
    far_off = (51.0, 10.0)
    for roads in (network, None):
        table = drive_table([HOME], [far_off], network=roads, stop_overhead_minutes=0.0, standing=Standing.DESTINATIONS)
        assert table.expected_minutes[0, 0] == pytest.approx(estimate_minutes([HOME], [far_off])[0, 0])
    assert np.isnan(network.off_road_metres([far_off])).all()
    assert network.off_road_metres([OFF])[0] == pytest.approx(0.0018 * METRES_PER_DEGREE, rel=0.001)
