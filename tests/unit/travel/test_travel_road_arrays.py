"""What a network keeps beside its seconds: flags, limits, caps and closed roads; and other speeds on the same roads."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from planner.domain.road_speeds import RoadSpeeds
from planner.travel import RoadFlag, RoadNetwork, shipped_speeds
from tests.unit.travel.planar_maps import planar_map
from tests.unit.travel.road_maps import RESIDENTIAL, Node, Way, row, write_osm


def _mixed(folder: Path) -> Path:
    nodes: dict[int, Node] = {**row(7), 6: (50.0, 10.05, {"barrier": "bollard"}), 8: (50.01, 10.02), 9: (50.02, 10.02)}
    ways: list[Way] = [
        ([1, 2], {"highway": "tertiary", "maxspeed:forward": "30 mph", "bridge": "yes"}),
        ([2, 3], {"highway": "track", "tracktype": "grade5", "snowplowing": "no"}),
        ([3, 4, 5], {"highway": "primary", "maxspeed": "none"}),
        ([5, 6, 7], {"highway": "service", "access": "private"}),
        ([3, 8, 9], {"highway": "residential", "motor_vehicle": "no"}),
    ]
    return write_osm(folder / "mixed.osm", nodes, ways)


def test_that_flags_limits_and_caps_are_kept_edge_by_edge(tmp_path: Path) -> None:
    roads = RoadNetwork.read(_mixed(tmp_path)).roads
    assert roads.edge_count == 3
    assert roads.flagged(RoadFlag.BRIDGE).tolist() == [True, False, False]
    assert roads.flagged(RoadFlag.SEASONAL).tolist() == [False, True, False]
    assert roads.flagged(RoadFlag.BRIDGE | RoadFlag.SEASONAL).tolist() == [True, True, False]
    assert roads.forward_limit_kmh.tolist() == pytest.approx([48.28032, math.nan, math.inf], nan_ok=True)
    assert roads.backward_limit_kmh.tolist() == pytest.approx([math.nan, math.nan, math.inf], nan_ok=True)
    assert roads.cap_kmh.tolist() == [math.inf, 15.0, math.inf]


def test_that_closed_roads_are_lines_apart_that_nobody_drives(tmp_path: Path) -> None:
    network = RoadNetwork.read(_mixed(tmp_path))
    roads = network.roads
    lines = [list(zip(*(side.tolist() for side in roads.closed_geometry(road)), strict=True)) for road in range(2)]
    assert lines == [[(50.0, 10.04), (50.0, 10.05), (50.0, 10.06)], [(50.0, 10.02), (50.01, 10.02), (50.02, 10.02)]]
    assert [roads.kinds[number] for number in roads.closed_kind_numbers] == ["service", "residential"]
    assert "2 roads are private or closed to cars: never driven." in roads.notes
    assert {road.kind for road in network.roads_within(49, 9, 51, 11)} == {"tertiary", "track", "primary"}


@pytest.mark.parametrize("speeds", [RoadSpeeds(), RoadSpeeds((("tertiary", 30.0), ("track", 10.0)), 0.8)])
def test_that_other_speeds_are_those_the_table_gives_one_road_at_a_time(tmp_path: Path, speeds: RoadSpeeds) -> None:
    roads = RoadNetwork.read(_mixed(tmp_path)).at_speeds(speeds).roads
    table = shipped_speeds().changed(speeds)
    for edge in range(roads.edge_count):
        kind = roads.kinds[roads.kind_numbers[edge]]
        for limits, seconds in (
            (roads.forward_limit_kmh, roads.forward_seconds),
            (roads.backward_limit_kmh, roads.backward_seconds),
        ):
            limit = None if math.isnan(limits[edge]) else float(limits[edge])
            kmh = table.speed_kmh(kind, limit, float(roads.cap_kmh[edge]))
            assert seconds[edge] == pytest.approx(roads.metres[edge] * 3.6 / kmh)


def test_that_what_is_closed_in_one_direction_stays_closed_at_other_speeds(tmp_path: Path) -> None:
    network = planar_map(3, junctions=30, oneway_share=0.4).network(tmp_path)
    slow = network.at_speeds(RoadSpeeds(factor=0.5))
    for usual, slowed in (
        (network.roads.forward_seconds, slow.roads.forward_seconds),
        (network.roads.backward_seconds, slow.roads.backward_seconds),
    ):
        assert (np.isinf(usual) == np.isinf(slowed)).all()
        np.testing.assert_allclose(slowed[np.isfinite(slowed)], 2.0 * usual[np.isfinite(usual)])


def test_that_speeds_tried_to_and_fro_give_the_network_itself(tmp_path: Path) -> None:
    network = RoadNetwork.read(_mixed(tmp_path))
    slow, slower = RoadSpeeds(factor=0.9), RoadSpeeds(factor=0.8)
    assert network.at_speeds(RoadSpeeds()) is network
    assert network.at_speeds(slow) is network.at_speeds(slow)
    first = network.at_speeds(slow)
    assert first.at_speeds(slower).at_speeds(RoadSpeeds()) is network
    assert network.at_speeds(slow) is first
    assert network.at_speeds(RoadSpeeds(factor=0.7)).speeds == RoadSpeeds(factor=0.7)
    assert network.at_speeds(RoadSpeeds()) is network


def test_that_a_network_at_other_speeds_is_saved_at_those_of_the_table(tmp_path: Path) -> None:
    network = RoadNetwork.read(_mixed(tmp_path))
    network.at_speeds(RoadSpeeds(factor=0.5)).save(tmp_path / "roads.npz")
    again = RoadNetwork.load(tmp_path / "roads.npz")
    np.testing.assert_array_equal(again.roads.forward_seconds, network.roads.forward_seconds)


def test_that_objects_may_come_in_any_order_and_with_ids_below_zero(tmp_path: Path) -> None:
    usual = RoadNetwork.read(_mixed(tmp_path)).roads
    lines = (tmp_path / "mixed.osm").read_text().splitlines()
    nodes = [line for line in lines if line.startswith("<node")]
    ways = [line for line in lines if line.startswith("<way")]
    for name, objects in (("late", ways + nodes), ("mixed up", nodes[::-1] + ways), ("drawn", nodes + ways)):
        text = "\n".join([*lines[:2], *objects, "</osm>"])
        if name == "drawn":
            text = text.replace(' id="', ' id="-').replace(' ref="', ' ref="-')
        path = tmp_path / f"{name}.osm"
        path.write_text(text)
        roads = RoadNetwork.read(path).roads
        assert roads.metres.tolist() == usual.metres.tolist()
        assert roads.forward_seconds.tolist() == usual.forward_seconds.tolist()
        assert roads.closed_latitudes.tolist() == usual.closed_latitudes.tolist()


def test_that_gates_are_found_whatever_the_sign_of_their_ids(tmp_path: Path) -> None:
    for sign in (1, -1):
        nodes: dict[int, Node] = {sign * number: place for number, place in row(3).items()}
        nodes[sign * 2] = (50.0, 10.01, {"barrier": "gate", "locked": "yes"})
        path = write_osm(tmp_path / "gate.osm", nodes, [([sign, sign * 2, sign * 3], RESIDENTIAL)])
        network = RoadNetwork.read(path)
        assert "1 gate, barrier or ford cuts its road." in network.roads.notes
        assert network.minutes([(50.0, 10.0)], [(50.0, 10.02)])[0, 0] == math.inf
