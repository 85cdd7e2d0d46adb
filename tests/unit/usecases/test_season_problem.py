"""The problem handed to the scheduler holds what light and travel say, for every point, person and date."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from planner.domain.light import LightWindow
from planner.domain.route import Route
from planner.exchange import shipped_protocol
from planner.light import event_time, light_window
from planner.store import SeasonFile
from planner.travel import drive_table
from planner.usecases.season.opening import road_network
from planner.usecases.season.problem import season_problem

pytestmark = pytest.mark.xdist_group("reedhaven")


def test_that_every_window_is_the_one_of_its_own_point_and_date(reedhaven: SeasonFile) -> None:
    season = reedhaven.season()
    problem = season_problem(season, None)
    window = season.protocol.windows[0]
    for route in season.routes:
        for offset in (0, 19, len(season.dates) - 1):
            day = list(season.dates)[offset]
            for index, point in enumerate(route.points):
                alone = light_window(window, point.place, day, season.zone)
                assert isinstance(alone, LightWindow)
                held = problem.light[route.code].windows[0].passes[0]
                assert abs(held.open_utc[offset, index] - alone.open_utc.timestamp()) < 1e-3
                assert abs(held.close_utc[offset, index] - alone.close_utc.timestamp()) < 1e-3


def test_that_sunrise_is_that_of_the_first_point_across_the_change_to_summer_time(reedhaven: SeasonFile) -> None:
    season = reedhaven.season()
    problem = season_problem(season, None)
    route = season.routes[0]
    place = route.points[0].place
    for offset, day in enumerate(season.dates):
        expected = event_time("sunrise", day, place.latitude, place.longitude, season.zone)
        assert expected is not None
        assert abs(problem.light[route.code].sunrise_utc[offset] - expected.timestamp()) < 1e-3


def test_that_drives_are_those_of_the_road_map_in_the_order_of_season_and_route(reedhaven: SeasonFile) -> None:
    season = reedhaven.season()
    network = road_network(reedhaven.path, season.roads)
    problem = season_problem(season, network)
    route, volunteer = season.routes[-1], season.volunteers[2]
    home = [(volunteer.home.latitude, volunteer.home.longitude)]
    points = [(point.place.latitude, point.place.longitude) for point in route.points]
    overhead = season.protocol.travel.stop_overhead_minutes
    out = drive_table(home, points, network=network, stop_overhead_minutes=overhead)
    back = drive_table(points, home, network=network, stop_overhead_minutes=overhead)
    held = problem.drives[route.code]
    np.testing.assert_allclose(held.out.cautious[2], out.cautious_minutes[0])
    np.testing.assert_allclose(held.back.expected[:, 2], back.expected_minutes[:, 0])
    assert not held.legs.estimated[~np.eye(len(points), dtype=bool)].any()


def test_that_without_roads_every_drive_is_an_estimate(reedhaven: SeasonFile) -> None:
    problem = season_problem(reedhaven.season(), None)
    assert all(drives.out.estimated.all() for drives in problem.drives.values())


def test_that_a_route_without_points_is_left_out(reedhaven: SeasonFile) -> None:
    season = reedhaven.season()
    bare = replace(season, routes=(Route("X1", "Not walked yet", ()), *season.routes))
    problem = season_problem(bare, None)
    assert [route.code for route in problem.season.routes] == [route.code for route in season.routes]


def test_that_both_skies_are_handed_over_where_the_protocol_asks(reedhaven: SeasonFile) -> None:
    woodcock = shipped_protocol("woodcock_singing_ground")
    season = replace(reedhaven.season(), protocol=woodcock, visits=(reedhaven.season().dates,))
    light = season_problem(season, None).light[season.routes[0].code].windows[0]
    # Opens 22 minutes after sunset, or 15 where more than three quarters of the sky are cloud (Form 3-156).
    np.testing.assert_allclose(light.passes[0].open_utc - light.overcast[0].open_utc, 7 * 60.0, atol=1e-3)
