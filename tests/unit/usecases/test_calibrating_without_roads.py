"""Recorded drives of a season without roads: drives as planned bear the plan out, and the words fit."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from planner.domain.field.drive_factors import DriveFactor, DriveFactors
from planner.domain.finding import Rule
from planner.domain.plan import PlannedVisit
from planner.domain.travel import ESTIMATE_BAND
from planner.usecases.calibrating import (
    Calibrated,
    RouteChange,
    calibration,
    drive_findings,
    forget_calibration,
    read_figure,
    use_calibration,
    write_figure,
)
from planner.usecases.checking import check
from planner.usecases.season.problem import season_problem, season_problem_after
from tests.unit.usecases.edited_seasons import PLAN, SEASON, season_file
from tests.unit.usecases.recorded_visits import Truth, record_visits

PLANNED = ESTIMATE_BAND.planned_share
PROBLEM = season_problem(SEASON, None)


def calibrated(
    factor: float, *, seed: int = 1, spread: float = 0.0, visits: tuple[PlannedVisit, ...] = PLAN.visits
) -> Calibrated:
    """What drives of so many times their estimates come to."""
    records = record_visits(SEASON, None, visits, Truth({"": factor}, {}, spread=spread), seed=seed)
    return calibration(PROBLEM, PLAN, None, records)


def lost_minutes(route: RouteChange) -> float:
    """By how much the margins of a route get worse at most; below 0: all get better."""
    return max((one.margin_before_minutes or 0.0) - (one.margin_after_minutes or -999.0) for one in route.visits)


def test_that_teams_who_drove_the_planned_minutes_lose_nothing_by_calibrating() -> None:
    found = calibrated(PLANNED)
    assert found.season is not None
    assert found.season.after == pytest.approx(PLANNED, rel=0.03)
    assert not found.broken
    for route in found.routes:
        assert route.visits
        # Times are written to the minute, so the factor is off by a little.
        assert lost_minutes(route) < 0.2
        assert route.drives_after_minutes > route.drives_before_minutes, "what is expected does follow the records"


@pytest.mark.parametrize("seed", range(4))
def test_that_neither_does_it_cost_much_where_single_drives_differ(seed: int) -> None:
    assert max(map(lost_minutes, calibrated(PLANNED, seed=seed, spread=0.1).routes)) < 2.0


def test_that_quick_drives_win_minutes_and_slow_ones_lose_them() -> None:
    assert all(lost_minutes(route) < -0.5 for route in calibrated(1.2).routes)
    assert all(lost_minutes(route) > 2.0 for route in calibrated(2.5).routes)


def test_that_after_a_change_of_ranges_the_drives_are_measured_anew() -> None:
    whole = DriveFactor("", 1.5, 30, 1.6)
    seasons = [
        replace(SEASON, drive_factors=factors)
        for factors in (
            DriveFactors(whole),
            DriveFactors(replace(whole, most=None)),
            DriveFactors(whole, (DriveFactor("R1", 1.0, 4, 1.5),)),
            DriveFactors(whole, classes=(DriveFactor("track", 1.5, 9, 1.7),)),
        )
    ]
    cautious = []
    before = PROBLEM
    for season in seasons:
        before = season_problem_after(before, season, None, same_roads=True)
        afresh = season_problem(season, None)
        for code in before.drives:
            assert before.drives[code].legs.cautious.tolist() == afresh.drives[code].legs.cautious.tolist()
            assert before.drives[code].out.cautious.tolist() == afresh.drives[code].out.cautious.tolist()
        cautious.append(float(afresh.drives["R1"].legs.cautious.sum()))
    # Factors of road classes were recorded on a map: they say nothing of how far estimates are off.
    assert cautious[1] == cautious[3] > cautious[0]


def test_that_two_ranges_go_together_as_if_independent() -> None:
    factors = DriveFactors(DriveFactor("", 1.0, 30, 1.3), (DriveFactor("R1", 1.0, 9, 1.3),))
    assert factors.estimates_doubt() == pytest.approx(1.3)
    assert factors.estimates_doubt("R2") == pytest.approx(1.3)
    # exp(sqrt(2) * ln 1.3), by hand
    assert factors.estimates_doubt("R1") == pytest.approx(1.4492, abs=1e-4)
    assert DriveFactors().estimates_doubt() is None


def test_that_words_speak_of_estimates_and_of_no_map(tmp_path: Path) -> None:
    found = calibrated(PLANNED)
    records = record_visits(SEASON, None, PLAN.visits, Truth({"": PLANNED}, {}, spread=0.0))
    (told,) = drive_findings(SEASON, records)
    assert "plans go by estimates alone" in told.what
    with season_file(tmp_path) as file:
        use_calibration(file, found.factors)
        assert file.season().drive_factors == found.factors, "the range is kept"
        said = {one.rule: one.what for one in check(file).findings}
        assert "times their estimates" in said[Rule.ROADS_RECORDED]
        assert "follow recorded drives" in said[Rule.ROADS_MISSING]
        assert "100 %" not in said[Rule.ROADS_MISSING]
        assert forget_calibration(file).label == "Plan with drives as they are estimated without roads"


def test_that_the_range_goes_on_to_the_next_season(tmp_path: Path) -> None:
    found = calibrated(PLANNED)
    write_figure(tmp_path / "drives.toml", SEASON, found.factors)
    taken = read_figure(tmp_path / "drives.toml").factors()
    assert found.factors.season is not None
    assert taken.season == found.factors.season
    assert taken.estimates_doubt() == pytest.approx(found.factors.season.doubt)
