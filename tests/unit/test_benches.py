"""The benchmarks give the figures they promise; how good these are is not judged here."""

from __future__ import annotations

import numpy as np
import pytest

from tests.bench import board, calibration, detour, outing, parity, roads
from tests.bench._grids import grid_map
from tests.unit.travel.real_extracts import Extract, real_extract


@pytest.mark.parametrize("edges", [100, 2_001])
def test_that_the_bench_of_roads_reads_the_edges_asked_for_and_agrees_with_networkx(edges: int) -> None:
    result = roads.run(["--edges", str(edges), "--terminals", "12", "--sources", "5"])
    assert result["directed_edges"] == edges
    assert (result["terminals"], result["reference_sources"]) == (12, 5)
    difference, ratio = result["largest_difference_minutes"], result["ratio"]
    assert isinstance(difference, float)
    assert 0.0 <= difference < 1e-5
    assert isinstance(ratio, float)
    assert ratio > 0.0


def test_that_a_seed_gives_the_same_map_again_and_another_seed_another() -> None:
    first, again, other = (grid_map(500, seed) for seed in (1, 1, 2))
    assert np.array_equal(first.places, again.places)
    assert np.array_equal(first.oneway, again.oneway)
    assert not np.array_equal(first.kinds, other.kinds)


def test_that_the_bench_of_outings_proves_fifteen_points_and_reports_the_slowest_case() -> None:
    result = outing.run(["--repeat", "1", "--tasks", "1"])
    cases = result["cases"]
    assert isinstance(cases, list)
    promised = [case for case in cases if (case["order"], case["points"]) == ("any", 15)]
    assert {(case["window"], case["leads"]) for case in promised} >= {("all fit", "both"), ("two thirds fit", "both")}
    assert result["points"] == 15
    assert result["proven"] is True
    assert result["milliseconds"] == max(case["milliseconds"] for case in promised)


def test_that_the_bench_of_the_board_paints_every_frame_and_judges_faster_than_a_whole_audit() -> None:
    result = board.run(["--routes", "60", "--frames", "12", "--verdict-routes", "60"])
    assert (result["routes"], result["days"], result["frames"]) == (60, 90, 12)
    p95, plain, verdict = result["p95_ms"], result["plain_table_p95_ms"], result["verdict_p95_ms"]
    assert isinstance(p95, float)
    assert isinstance(plain, float)
    assert isinstance(verdict, float)
    assert 0.0 < p95 < plain
    assert verdict > 0.0


def test_that_the_benches_of_real_roads_give_a_table_each() -> None:
    real_extract(Extract.TOWN)
    compared = parity.run(["--places", "9", "--extracts", "town"])["parity"]
    assert isinstance(compared, list)
    assert [(row["extract"], row["pairs"]) for row in compared] == [("town", 72)]
    assert compared[0]["worst_seconds"] < 0.1
    found = detour.run(["--places", "60", "--ways", "20", "--extracts", "town"])
    rows, routes = found["pairs"], found["legs_of_routes_together"]
    assert isinstance(rows, list)
    assert isinstance(routes, list)
    assert len(rows) >= 3
    assert all(0.0 < row["minutes_p5"] < row["minutes_p50"] < row["minutes_p95"] for row in rows)
    assert [row["network"] for row in routes] == ["town"]


def test_that_the_bench_of_recorded_drives_gives_errors_and_ranges_for_each_kind_of_season() -> None:
    rows = calibration.run(["--seasons", "1"])["seasons"]
    assert isinstance(rows, list)
    assert len(rows) == len(calibration.CASES)
    assert {"season_p95", "plain_p95", "class_held", "route_held"} <= set(rows[-1])
