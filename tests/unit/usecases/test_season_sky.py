"""The picture of a season: its sun against another library, its bands and marks against the plain values."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
import pytest
from pvlib.solarposition import get_solarposition

from planner.domain.calendar import DateRange
from planner.domain.geo import Place
from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.domain.window import Edge, Event, PartOfDay, Pass, Window
from planner.scheduling import SeasonProblem
from planner.store import SeasonFile
from planner.usecases.evening.who_is_out import OutOn, out_on
from planner.usecases.routes.areas import middle_of
from planner.usecases.season.problem import season_problem
from planner.usecases.season.sky import STEP_MINUTES, SeasonSky, season_sky

pytestmark = pytest.mark.xdist_group("reedhaven")


@pytest.fixture
def problem(reedhaven: SeasonFile) -> SeasonProblem:
    """Return the dawn demo with its light: in the south, over the change to summer time on 3 October 2027."""
    return season_problem(reedhaven.season(), None)


def test_that_the_sun_stands_where_another_library_has_it(problem: SeasonProblem) -> None:
    """The oracle is pvlib's implementation of the NREL solar position algorithm, without refraction."""
    sky = season_sky(problem)
    (panel,) = sky.panels
    place = middle_of(problem.season.routes[0])
    zone = ZoneInfo(problem.season.zone)
    assert panel.altitudes_deg.shape[1] == len(sky.dates) == len(problem.days)
    for n in (0, 5, len(sky.dates) // 2, len(sky.dates) - 1):
        for m in (0, len(panel.altitudes_deg) // 2, len(panel.altitudes_deg) - 1):
            clock = dt.datetime.combine(sky.dates[n], dt.time()) + dt.timedelta(
                minutes=panel.first_minute + m * STEP_MINUTES
            )
            instant = pd.DatetimeIndex([clock.replace(tzinfo=zone)])
            known = get_solarposition(instant, place.latitude, place.longitude)["elevation"].iloc[0]
            assert panel.altitudes_deg[m, n] == pytest.approx(known, abs=0.02)


def test_that_the_band_holds_the_window_of_every_point_by_the_local_clock(problem: SeasonProblem) -> None:
    (panel,) = season_sky(problem).panels
    zone = ZoneInfo(problem.season.zone)
    assert panel.part is PartOfDay.DAWN
    for light in problem.light.values():
        for band, window in zip(panel.bands, light.windows, strict=True):
            for n, day in enumerate(problem.days):
                span = window.passes[0]
                for instant in span.open_utc[n]:
                    local = dt.datetime.fromtimestamp(float(instant), zone)
                    minutes = (local.replace(tzinfo=None) - dt.datetime.combine(day, dt.time())).total_seconds() / 60
                    assert band.opens[n] <= minutes + 1e-6
                    assert minutes - band.opens[n] < 5.0  # all routes lie within some kilometres
    assert panel.first_minute % 60 == panel.last_minute % 60 == 0
    assert panel.first_minute < np.nanmin([band.opens for band in panel.bands])
    assert panel.last_minute > np.nanmax([band.closes for band in panel.bands])


def test_that_the_change_of_the_clocks_shows_as_a_step_of_an_hour(problem: SeasonProblem) -> None:
    (panel,) = season_sky(problem).panels
    opens = panel.bands[0].opens
    change = problem.day_index(dt.date(2027, 10, 3))
    assert opens[change] - opens[change - 1] == pytest.approx(60, abs=4)
    assert abs(opens[change] - opens[change + 1]) < 4


def test_that_evenings_and_mornings_have_a_panel_each_with_their_own_windows(problem: SeasonProblem) -> None:
    protocol = problem.season.protocol
    evening = Window("evening", PartOfDay.DUSK, (Pass(Edge(Event.SUNSET), Edge(Event.NAUTICAL_DUSK)),))
    both = replace(problem.season, protocol=replace(protocol, windows=(*protocol.windows, evening)))
    dusk, dawn = season_sky(season_problem(both, None)).panels
    assert (dusk.part, dawn.part) == (PartOfDay.DUSK, PartOfDay.DAWN)
    assert [band.window for band in dusk.bands] == ["evening"]
    assert {band.window for band in dawn.bands} == {window.name for window in protocol.windows}


def test_that_dates_without_a_window_have_a_hole_in_the_band_and_a_season_without_any_has_no_panel(
    problem: SeasonProblem,
) -> None:
    """At 60 degrees north nautical dusk stops some days before midsummer: the sun stays above -12 degrees."""
    evening = Window("evening", PartOfDay.DUSK, (Pass(Edge(Event.SUNSET), Edge(Event.NAUTICAL_DUSK)),))
    season = problem.season
    point = replace(season.routes[0].points[0], place=Place(60.0, 10.0))
    north = replace(
        season,
        protocol=replace(season.protocol, windows=(evening,)),
        zone="Europe/Oslo",
        routes=(replace(season.routes[0], points=(point,), visit_dates=()),),
    )

    def sky_over(first: dt.date, last: dt.date) -> SeasonSky:
        dates = DateRange(first, last)
        return season_sky(season_problem(replace(north, dates=dates, visits=(dates,) * len(season.visits)), None))

    (panel,) = sky_over(dt.date(2027, 4, 25), dt.date(2027, 6, 20)).panels
    known = np.isfinite(panel.bands[0].opens)
    assert known[0]
    assert not known[-1]
    assert (known == np.isfinite(panel.bands[0].closes)).all()
    assert sky_over(dt.date(2027, 6, 10), dt.date(2027, 6, 20)).panels == ()


def test_that_a_season_without_points_has_its_dates_and_no_panel(problem: SeasonProblem) -> None:
    empty = season_problem(replace(problem.season, routes=()), None)
    sky = season_sky(empty)
    assert sky.panels == ()
    assert len(sky.dates) == len(problem.days)


def test_that_visits_set_ups_and_reserves_are_counted_on_their_dates() -> None:
    first, second, third = (dt.date(2027, 5, day) for day in (10, 11, 12))
    one = PlannedVisit(VisitKey("R1", 1), "V1", second, "dusk", reserve=third, setup=first)
    same_day = PlannedVisit(VisitKey("R2", 1), "V2", second, "dusk", setup=second)
    assert out_on(Plan((one, same_day))) == {
        first: OutOn(setups=(one.key,)),
        second: OutOn(visits=(one.key, same_day.key)),
        third: OutOn(reserves=(one.key,)),
    }
