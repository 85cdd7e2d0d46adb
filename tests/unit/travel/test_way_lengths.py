"""Kilometres of a drive: along a line that is measured by another library, and estimated without roads."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from geopy.distance import geodesic

from planner.domain.travel import FigureSource
from planner.shipped import demo_routes
from planner.travel import RoadNetwork, way_km


@pytest.fixture(scope="module")
def network() -> RoadNetwork:
    """Return the roads of the demo."""
    return RoadNetwork.read(Path(demo_routes()) / "heath" / "roads.osm")


def test_that_a_way_is_as_long_as_its_line(network: RoadNetwork) -> None:
    road = max(network.roads_within(-90, -180, 90, 180), key=lambda one: len(one.polyline))
    origin, destination = road.polyline[0], road.polyline[-1]
    km, source = way_km(origin, destination, network)
    line = network.path(origin, destination)
    assert source is FigureSource.ROAD
    assert km == pytest.approx(sum(geodesic(a, b).km for a, b in pairwise(line)), rel=1e-6)
    assert km >= geodesic(line[0], line[-1]).km * (1.0 - 1e-9)


@pytest.mark.parametrize(("east", "detour"), [(0.01, 1.5), (0.06, 1.35), (0.5, 1.25)])
def test_that_it_is_the_crows_way_with_a_detour_where_no_road_leads(
    network: RoadNetwork, east: float, detour: float
) -> None:
    here, there = (10.0, 20.0), (10.0, 20.0 + east)
    crow = geodesic(here, there).km
    for roads in (None, network):
        km, source = way_km(here, there, roads)
        assert km == pytest.approx(crow * detour, rel=1e-6)
        assert source is FigureSource.ESTIMATE
