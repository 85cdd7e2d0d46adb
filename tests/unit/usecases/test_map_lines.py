from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from planner.travel import RoadNetwork, shipped_speeds
from planner.usecases.roads.map_lines import RoadRank, map_lines, road_rank
from tests.unit.travel.road_maps import row, write_osm


@pytest.fixture
def network(tmp_path: Path) -> RoadNetwork:
    ways = [
        ([1, 2, 3], {"highway": "primary", "name": "Heath Road"}),
        ([3, 4], {"highway": "track"}),
        ([3, 5, 6], {"highway": "tertiary_link"}),
    ]
    return RoadNetwork.read(write_osm(tmp_path / "roads.osm", row(6), ways), attribution="Invented map")


def test_that_the_lines_are_those_the_network_gives_for_the_whole_ground(network: RoadNetwork) -> None:
    lines = map_lines(network)
    expected = sorted((road.kind, road.name, road.polyline) for road in network.roads_within(-90, -180, 90, 180))
    found = []
    for line in range(lines.count):
        span = slice(lines.starts[line], lines.starts[line + 1])
        corners = zip(lines.latitudes[span].tolist(), lines.longitudes[span].tolist(), strict=True)
        kind, name = lines.kinds[lines.kind_numbers[line]], lines.names[lines.name_numbers[line]]
        found.append((kind, name, tuple(corners)))
    assert sorted(found) == expected
    assert lines.attribution == "Invented map"


def test_that_each_line_has_the_rank_of_its_own_class(network: RoadNetwork) -> None:
    lines = map_lines(network)
    ranks = {lines.kinds[kind]: rank for kind, rank in zip(lines.kind_numbers, lines.ranks, strict=True)}
    assert ranks == {"primary": RoadRank.MAJOR, "track": RoadRank.TRACK, "tertiary_link": RoadRank.LESSER}


def test_that_no_rank_is_without_a_class_that_is_driven() -> None:
    assert {road_rank(kind) for kind in shipped_speeds().classes} == set(RoadRank)


def test_that_the_weight_of_roads_follows_their_speed() -> None:
    speeds = {kind: speed for kind, speed in shipped_speeds().classes.items() if not kind.endswith("_link")}
    by_rank = {rank: [s.typical_kmh for kind, s in speeds.items() if road_rank(kind) is rank] for rank in RoadRank}
    means = [float(np.mean(by_rank[rank])) for rank in RoadRank]
    assert means == sorted(means, reverse=True)


def test_that_a_class_not_known_is_a_small_road() -> None:
    assert road_rank("busway") is RoadRank.SMALL
