"""Road speeds of a season's own: one step, undone, felt by every drive; and what the road map holds, in figures."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from planner.domain.errors import RuleError
from planner.domain.road_speeds import RoadSpeeds
from planner.store import SeasonFile
from planner.usecases.roads.road_maps import (
    OWN_SOURCE,
    facts_of,
    reset_road_speeds,
    road_map_facts,
    set_road_speeds,
    without_roads,
)
from planner.usecases.season.opening import road_network
from planner.usecases.season.problem import roads_from_homes, season_problem, season_problem_after

pytestmark = pytest.mark.xdist_group("reedhaven")


def test_that_speeds_are_one_step_undone_and_redone(reedhaven: SeasonFile) -> None:
    changed = set_road_speeds(reedhaven, {"track": 12.0, "tertiary": 40.0})
    assert reedhaven.history()[-1].label == changed.label == "Drive at tertiary 40 km/h, track 12 km/h"
    again = set_road_speeds(reedhaven, {"track": 10.0}, factor=0.8)
    assert again.speeds == RoadSpeeds((("tertiary", 40.0), ("track", 10.0)), 0.8) == reedhaven.season().road_speeds
    assert set_road_speeds(reedhaven, {"track": 10.0}).label == ""
    reedhaven.undo()
    assert reedhaven.season().road_speeds == changed.speeds
    reedhaven.redo()
    assert reset_road_speeds(reedhaven).label == "Drive at the speeds of the table"
    assert reedhaven.season().road_speeds == RoadSpeeds()


def test_that_a_class_that_does_not_exist_and_a_slip_change_nothing(reedhaven: SeasonFile) -> None:
    steps = len(reedhaven.history())
    with pytest.raises(RuleError, match="no road class 'lane'"):
        set_road_speeds(reedhaven, {"lane": 40.0, "track": 10.0})
    for bad in ({"track": 400.0}, {"track": float("nan")}):
        with pytest.raises(RuleError, match="the speed on track"):
            set_road_speeds(reedhaven, bad)
    with pytest.raises(RuleError, match="the factor"):
        set_road_speeds(reedhaven, {}, factor=9.0)
    assert len(reedhaven.history()) == steps


def test_that_half_the_speed_makes_every_drive_on_roads_twice_as_long(reedhaven: SeasonFile) -> None:
    season = reedhaven.season()
    slow = replace(season, road_speeds=RoadSpeeds(factor=0.5))
    network = road_network(reedhaven.path, season.roads)
    assert network is not None
    homes, points = season.volunteers, season.routes[0].points
    places = (
        [(one.home.latitude, one.home.longitude) for one in homes],
        [(p.place.latitude, p.place.longitude) for p in points],
    )
    usual, slowed = (roads_from_homes(one, network) for one in (season, slow))
    assert usual is not None
    assert slowed is not None
    assert slowed.minutes(*places) == pytest.approx(2.0 * usual.minutes(*places))
    assert roads_from_homes(slow, slowed) is slowed
    assert roads_from_homes(season, slowed) is usual


def test_that_new_speeds_make_the_drives_anew_and_leave_the_light(reedhaven: SeasonFile) -> None:
    season = reedhaven.season()
    slow = replace(season, road_speeds=RoadSpeeds((("unclassified", 20.0),)))
    network = road_network(reedhaven.path, season.roads)
    before = season_problem(season, network)
    after = season_problem_after(before, slow, network, same_roads=True)
    fresh = season_problem(slow, network)
    for code, drives in fresh.drives.items():
        np.testing.assert_array_equal(after.drives[code].out.expected, drives.out.expected)
        np.testing.assert_array_equal(after.drives[code].legs.expected, drives.legs.expected)
        assert after.light[code] is before.light[code]
    assert any((fresh.drives[code].out.expected > before.drives[code].out.expected).any() for code in fresh.drives)


def test_that_the_road_map_is_told_class_by_class(reedhaven: SeasonFile) -> None:
    season = reedhaven.season()
    network = road_network(reedhaven.path, season.roads)
    assert network is not None
    set_road_speeds(reedhaven, {"unclassified": 20.0}, factor=0.9)
    facts = road_map_facts(reedhaven)
    assert facts.found
    assert facts.road_map == season.roads
    assert sum(one.km for one in facts.classes) == pytest.approx(float(network.roads.metres.sum()) / 1000)
    by_kind = {one.kind: one for one in facts.classes}
    assert by_kind["unclassified"].source == OWN_SOURCE
    assert by_kind["unclassified"].typical_kmh == pytest.approx(18.0)
    assert by_kind["motorway"].driven_kmh is None
    assert by_kind["track"].source.startswith("assumption")


def test_that_a_road_map_that_is_gone_is_said_and_the_table_still_told(reedhaven: SeasonFile) -> None:
    for path in reedhaven.path.parent.glob("*.npz"):
        path.unlink()
    facts = road_map_facts(reedhaven)
    assert not facts.found
    assert facts.road_map is not None
    assert {one.km for one in facts.classes} == {0.0}


def test_that_one_class_goes_back_to_the_table_and_the_others_stay(reedhaven: SeasonFile) -> None:
    set_road_speeds(reedhaven, {"track": 12.0, "tertiary": 40.0}, factor=0.9)
    assert set_road_speeds(reedhaven, {"track": None}).speeds == RoadSpeeds((("tertiary", 40.0),), 0.9)


def test_that_doing_without_the_road_map_is_one_step_that_can_be_taken_back(reedhaven: SeasonFile) -> None:
    before = reedhaven.season()
    assert without_roads(reedhaven) == reedhaven.history()[-1].label
    assert reedhaven.season() == replace(before, roads=None)
    assert facts_of(reedhaven.season(), None).road_map is None
    assert without_roads(reedhaven) == ""
    reedhaven.undo()
    assert reedhaven.season() == before
    assert road_map_facts(reedhaven).found
