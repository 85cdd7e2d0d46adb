"""Light windows: edges, midnight, clocks, the sky and the moon."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.geo import Place
from planner.domain.light import LightWindow, NoWindow, Span
from planner.domain.window import Edge, Event, MoonRule, PartOfDay, Pass, StartRule, Strength, Window
from planner.light import event_time, light_window, moon_at, moon_holds, sun_line, window_table

LONDON = Place(51.5, -0.13)
EDINBURGH = Place(55.95, -3.19)
TROMSO = Place(69.65, 18.96)
MAY = dt.date(2027, 5, 10)
DUSK = Window(
    "dusk",
    PartOfDay.DUSK,
    (Pass(Edge(Event.SUNSET, 22, overcast_offset_minutes=15), Edge(Event.SUNSET, 60)),),
)
NIGHT = Window("night", PartOfDay.DUSK, (Pass(Edge(Event.SUNSET, 30), Edge(Event.SUNRISE, -15)),))


def clock(hour: int, minute: int = 0) -> Edge:
    return Edge(Event.CLOCK, clock=dt.time(hour, minute))


def window(opening: Edge, closing: Edge | None, part: PartOfDay = PartOfDay.DUSK, **rules: object) -> Window:
    return Window("test", part, (Pass(opening, closing, **rules),))  # type: ignore[arg-type]  # passed on


def found(rule: Window, place: Place, date: dt.date, zone: str, moon: MoonRule | None = None) -> LightWindow:
    result = light_window(rule, place, date, zone, moon)
    assert isinstance(result, LightWindow), result
    return result


def at(event: str, place: Place, date: dt.date, zone: str) -> dt.datetime:
    instant = event_time(event, date, place.latitude, place.longitude, zone)
    assert instant is not None
    return instant


def local(moment: str, zone: str) -> dt.datetime:
    return dt.datetime.fromisoformat(moment).replace(tzinfo=ZoneInfo(zone)).astimezone(dt.UTC)


def minutes(value: float) -> dt.timedelta:
    return dt.timedelta(minutes=value)


def test_that_edges_are_event_plus_offset() -> None:
    result = found(DUSK, LONDON, MAY, "Europe/London")
    sunset = at("sunset", LONDON, MAY, "Europe/London")
    assert result.name == "dusk"
    assert result.date == MAY
    assert result.passes == (Span(sunset + minutes(22), sunset + minutes(60)),)


def test_that_the_overcast_window_stands_beside_the_clear_one() -> None:
    result = found(DUSK, LONDON, MAY, "Europe/London")
    sunset = at("sunset", LONDON, MAY, "Europe/London")
    assert result.overcast == (Span(sunset + minutes(15), sunset + minutes(60)),)
    assert found(NIGHT, LONDON, MAY, "Europe/London").overcast == ()


def test_that_a_night_window_closes_at_the_next_sunrise() -> None:
    result = found(NIGHT, LONDON, MAY, "Europe/London")
    following = at("sunrise", LONDON, MAY + dt.timedelta(days=1), "Europe/London")
    assert result.close_utc == following - minutes(15)
    assert result.date == MAY


def test_that_a_dawn_window_stays_on_its_date() -> None:
    rule = window(Edge(Event.SUNRISE, -30), Edge(Event.SUNRISE, 240), PartOfDay.DAWN)
    sunrise = at("sunrise", LONDON, MAY, "Europe/London")
    assert found(rule, LONDON, MAY, "Europe/London").passes == (Span(sunrise - minutes(30), sunrise + minutes(240)),)


def test_that_offsets_are_added_in_utc_over_a_clock_change() -> None:
    """Four hours before sunrise of 28 March 2027 the British clocks had not changed yet; minutes count."""
    day = dt.date(2027, 3, 28)
    rule = window(Edge(Event.CIVIL_DAWN, -240), Edge(Event.SUNRISE, 0), PartOfDay.DAWN)
    result = found(rule, LONDON, day, "Europe/London")
    assert at("civil_dawn", LONDON, day, "Europe/London") - result.open_utc == minutes(240)


@pytest.mark.parametrize(
    ("opening", "closing", "opens", "closes"),
    [
        (clock(20), clock(23), "2027-05-10 20:00", "2027-05-10 23:00"),
        (clock(22), clock(1), "2027-05-10 22:00", "2027-05-11 01:00"),
        (clock(4), clock(9), "2027-05-10 04:00", "2027-05-10 09:00"),
        (clock(0, 30), clock(2), "2027-05-10 00:30", "2027-05-10 02:00"),
    ],
)
def test_that_clock_edges_are_local_and_a_morning_close_follows_an_evening_opening(
    opening: Edge, closing: Edge, opens: str, closes: str
) -> None:
    result = found(window(opening, closing), LONDON, MAY, "Europe/London")
    assert result.open_utc == local(opens, "Europe/London")
    assert result.close_utc == local(closes, "Europe/London")


def test_that_a_window_from_dusk_to_a_clock_time_closes_next_morning() -> None:
    rule = window(Edge(Event.SUNSET, 30), clock(1))
    result = found(rule, LONDON, MAY, "Europe/London")
    assert result.close_utc == local("2027-05-11 01:00", "Europe/London")


def test_that_a_window_that_would_open_after_its_closing_hour_does_not_exist() -> None:
    """At Nome the sun of midsummer sets at about 01:48 by the clock, after the hour at which counts must end."""
    rule = window(Edge(Event.SUNSET, 30), clock(1))
    result = light_window(rule, Place(64.5, -165.4), dt.date(2027, 6, 21), "America/Nome")
    assert result == NoWindow(
        "test", dt.date(2027, 6, 21), "the window closes before it opens: sunset + 30 min to 01:00"
    )


@pytest.mark.parametrize(
    ("day", "hour", "utc"),
    [
        (dt.date(2027, 3, 27), clock(1, 30), "2027-03-28T01:30"),
        (dt.date(2027, 10, 30), clock(1, 30), "2027-10-31T00:30"),
    ],
)
def test_that_a_clock_time_in_a_gap_moves_forward_and_a_double_one_is_the_first(
    day: dt.date, hour: Edge, utc: str
) -> None:
    """British clocks of 2027: 01:00 to 02:00 on 28 March, 02:00 to 01:00 on 31 October."""
    result = found(window(Edge(Event.SUNSET), hour), LONDON, day, "Europe/London")
    assert result.close_utc == dt.datetime.fromisoformat(utc).replace(tzinfo=dt.UTC)


def test_that_a_window_whose_dusk_falls_after_midnight_keeps_its_evening() -> None:
    rule = window(Edge(Event.NAUTICAL_DUSK), Edge(Event.NAUTICAL_DUSK, 30))
    zone = ZoneInfo("Europe/London")
    days = [dt.date(2027, 5, 1) + dt.timedelta(days=i) for i in range(92)]
    table = window_table(rule, [EDINBURGH], days, zone)
    results = [table.at(0, i) for i in range(len(days))]
    late = [w for w in results if isinstance(w, LightWindow) and w.open_utc.astimezone(zone).date() != w.date]
    assert late
    assert all(w.open_utc.astimezone(zone).date() == w.date + dt.timedelta(days=1) for w in late)


def test_that_a_pass_may_be_bounded_by_minutes_from_its_start() -> None:
    bare = window(Edge(Event.SUNSET, 22), None, start=StartRule.EXACTLY, within_minutes=38)
    both = window(Edge(Event.SUNSET), Edge(Event.SUNSET, 90), start=StartRule.EXACTLY, within_minutes=38)
    late = window(Edge(Event.SUNSET), Edge(Event.SUNSET, 20), start=StartRule.EXACTLY, within_minutes=38)
    loose = window(Edge(Event.SUNSET), Edge(Event.SUNSET, 90), within_minutes=38)
    lengths = [found(rule, LONDON, MAY, "Europe/London").passes[0].minutes for rule in (bare, both, late, loose)]
    assert lengths == pytest.approx([38.0, 38.0, 20.0, 90.0])


def test_that_two_passes_of_a_night_are_in_their_order() -> None:
    rule = Window(
        "out and back",
        PartOfDay.DUSK,
        (
            Pass(Edge(Event.SUNSET, -30), Edge(Event.SUNSET, 30)),
            Pass(Edge(Event.SUNSET, 30), clock(1)),
            Pass(clock(2), Edge(Event.SUNRISE)),
        ),
    )
    result = found(rule, LONDON, MAY, "Europe/London")
    first, second, third = result.passes
    assert first.close_utc == second.open_utc < second.close_utc < third.open_utc < third.close_utc
    assert third.open_utc == local("2027-05-11 02:00", "Europe/London")
    assert result.close_utc == third.close_utc


@pytest.mark.parametrize(
    ("day", "event", "reason", "grazing"),
    [
        ("2027-06-21", Event.SUNSET, "the sun does not sink 50 minutes of arc below the horizon", False),
        ("2027-12-21", Event.SUNSET, "the sun stays more than 50 minutes of arc below the horizon", False),
    ],
)
def test_that_a_date_without_the_event_has_no_window_and_says_why(
    day: str, event: Event, reason: str, grazing: bool
) -> None:
    rule = window(Edge(event), Edge(event, 60))
    result = light_window(rule, TROMSO, dt.date.fromisoformat(day), "Europe/Oslo")
    assert result == NoWindow("test", dt.date.fromisoformat(day), f"no {event.words}: {reason}", grazing)


def test_that_a_date_that_the_zone_skips_has_no_window() -> None:
    """Samoa had no 30 December 2011 (IANA time zone database)."""
    skipped = dt.date(2011, 12, 30)
    for rule in (DUSK, window(clock(20), clock(23))):
        result = light_window(rule, Place(-13.83, -171.77), skipped, "Pacific/Apia")
        assert result == NoWindow(rule.name, skipped, "the time zone skips this date")


def test_that_a_grazing_sun_gives_no_window_and_is_marked() -> None:
    rule = window(Edge(Event.SUNSET), Edge(Event.NAUTICAL_DUSK))
    result = light_window(rule, Place(54.564, 0.0), dt.date(2027, 6, 21), "Europe/London")
    assert isinstance(result, NoWindow)
    assert result.grazing
    assert result.reason.startswith("no certain nautical dusk")


def test_that_the_closing_event_is_looked_for_on_the_date_of_the_closing() -> None:
    """Around the first midnight sun at Tromsø the sun still sets on a date but does not rise on the next."""
    days = [dt.date(2027, 5, 1) + dt.timedelta(days=i) for i in range(31)]
    table = window_table(NIGHT, [TROMSO], days, "Europe/Oslo")
    results = [table.at(0, i) for i in range(len(days))]
    barred = [result for result in results if isinstance(result, NoWindow)]
    assert any("sunrise" in result.reason for result in barred) or any("sunset" in result.reason for result in barred)
    for day, result in zip(days, results, strict=True):
        sunset = event_time("sunset", day, TROMSO.latitude, TROMSO.longitude, "Europe/Oslo")
        sunrise = event_time("sunrise", day + dt.timedelta(days=1), TROMSO.latitude, TROMSO.longitude, "Europe/Oslo")
        if sunset is None or sunrise is None:
            assert isinstance(result, NoWindow)


FULL = dt.date(2027, 5, 20)
"""The full moon of 20 May 2027, 10:59 UTC (skyfield, DE421)."""


def test_that_a_required_moon_bars_the_dark_nights() -> None:
    rule = MoonRule(least_illuminated=0.5)
    days = [FULL + dt.timedelta(days=i) for i in range(-15, 15)]
    table = window_table(DUSK, [LONDON], days, "Europe/London", rule)
    free = window_table(DUSK, [LONDON], days, "Europe/London")
    for i, day in enumerate(days):
        span = free.at(0, i)
        assert isinstance(span, LightWindow)
        holds = moon_holds(rule, LONDON.latitude, LONDON.longitude, span.open_utc, span.close_utc)
        assert table.exists[0, i] == holds, day
        assert table.moon_holds[0, i] == holds
    reasons = {result.reason for result in (table.at(0, i) for i in range(30)) if isinstance(result, NoWindow)}
    assert reasons == {
        "the moon is less than 50% lit",
        "the moon is below the horizon for some or all of the window",
    }
    assert 0 < int(table.exists.sum()) < 15
    assert np.isnan(table.opens_s[0][~table.exists]).all()


def test_that_a_preferred_moon_bars_nothing_but_is_said() -> None:
    wish = MoonRule(least_illuminated=0.5, strength=Strength.PREFERRED)
    days = [FULL + dt.timedelta(days=i) for i in range(-15, 15)]
    table = window_table(DUSK, [LONDON], days, "Europe/London", wish)
    must = window_table(DUSK, [LONDON], days, "Europe/London", MoonRule(least_illuminated=0.5))
    assert table.exists.all()
    assert (table.moon_holds == must.exists).all()


def test_that_a_moon_rule_may_leave_the_altitude_free() -> None:
    lit_only = MoonRule(least_illuminated=0.5, above_horizon=False)
    day = FULL + dt.timedelta(days=4)
    assert isinstance(light_window(DUSK, LONDON, day, "Europe/London", lit_only), LightWindow)
    assert isinstance(light_window(DUSK, LONDON, day, "Europe/London", MoonRule(0.5)), NoWindow)


def test_that_a_moon_down_in_the_middle_of_a_night_is_seen() -> None:
    """At 64 north in spring a young moon that has set is up again before the sun is."""
    rule = MoonRule(least_illuminated=0.0)
    days = [dt.date(2027, 3, 1) + dt.timedelta(days=i) for i in range(30)]
    place = Place(64.0, 18.96)
    must = window_table(NIGHT, [place], days, "Europe/Stockholm", rule)
    free = window_table(NIGHT, [place], days, "Europe/Stockholm")
    up_at_ends = 0
    for i in range(len(days)):
        span = free.at(0, i)
        assert isinstance(span, LightWindow)
        holds = moon_holds(rule, place.latitude, place.longitude, span.open_utc, span.close_utc)
        assert must.exists[0, i] == holds, days[i]
        ends = [moon_at(place.latitude, place.longitude, end) for end in (span.open_utc, span.close_utc)]
        up_at_ends += all(state.altitude_deg > 0.0 for state in ends)
    assert 0 < int(must.exists.sum()) < up_at_ends


def test_that_a_window_that_only_an_overcast_sky_closes_too_early_does_not_exist() -> None:
    rule = window(Edge(Event.SUNSET, 22, overcast_offset_minutes=70), Edge(Event.SUNSET, 60))
    result = light_window(rule, LONDON, MAY, "Europe/London")
    assert isinstance(result, NoWindow)
    assert result.reason == "the window closes before it opens: sunset + 22 min to sunset + 60 min"


def test_that_a_moon_rule_over_no_window_at_all_is_quiet() -> None:
    result = light_window(DUSK, TROMSO, dt.date(2027, 6, 21), "Europe/Oslo", MoonRule(0.5))
    assert isinstance(result, NoWindow)
    assert result.reason.startswith("no sunset")


places = st.builds(Place, st.floats(-66.0, 66.0), st.floats(-180.0, 180.0))
edges = st.one_of(
    st.builds(Edge, st.sampled_from([event for event in Event if event is not Event.CLOCK]), st.integers(-120, 120)),
    st.builds(lambda time: Edge(Event.CLOCK, clock=time.replace(second=0, microsecond=0)), st.times()),
)


@given(edges, edges, places, st.dates(dt.date(2020, 1, 1), dt.date(2035, 12, 31)))
@settings(max_examples=60, deadline=None)
def test_that_a_window_opens_near_its_date_and_closes_within_two_days(
    opening: Edge, closing: Edge, place: Place, date: dt.date
) -> None:
    zone = dt.timezone(dt.timedelta(hours=round(place.longitude / 15.0)))
    result = light_window(window(opening, closing), place, date, zone)
    if isinstance(result, NoWindow):
        assert result.reason
        return
    assert result.date == date
    midday = dt.datetime.combine(date, dt.time(12), tzinfo=zone)
    assert abs(result.open_utc - midday) <= dt.timedelta(hours=16)
    assert result.open_utc < result.close_utc < midday + dt.timedelta(hours=40)


@given(st.lists(places, min_size=1, max_size=3), st.dates(dt.date(2020, 1, 1), dt.date(2035, 12, 1)))
@settings(max_examples=20, deadline=None)
def test_that_a_table_holds_what_single_questions_answer(where: list[Place], date: dt.date) -> None:
    days = [date + dt.timedelta(days=i) for i in (0, 9, 10)]
    for rule in (DUSK, NIGHT):
        table = window_table(rule, where, days, "Europe/London")
        for p, place in enumerate(where):
            for d, day in enumerate(days):
                single, of_table = light_window(rule, place, day, "Europe/London"), table.at(p, d)
                assert type(single) is type(of_table)
                if isinstance(single, LightWindow) and isinstance(of_table, LightWindow):
                    assert abs(single.open_utc - of_table.open_utc) <= dt.timedelta(microseconds=10)
                    assert abs(single.close_utc - of_table.close_utc) <= dt.timedelta(microseconds=10)


def test_that_the_suns_line_holds_the_events_of_its_date() -> None:
    line = sun_line(LONDON, MAY, "Europe/London")
    assert line.sunrise_utc == at("sunrise", LONDON, MAY, "Europe/London")
    assert line.sunset_utc == at("sunset", LONDON, MAY, "Europe/London")
    assert line.civil_dawn_utc == at("civil_dawn", LONDON, MAY, "Europe/London")
    assert line.civil_dusk_utc == at("civil_dusk", LONDON, MAY, "Europe/London")
    assert line.nautical_dawn_utc == at("nautical_dawn", LONDON, MAY, "Europe/London")
    assert line.nautical_dusk_utc == at("nautical_dusk", LONDON, MAY, "Europe/London")
    assert sun_line(TROMSO, dt.date(2027, 6, 21), "Europe/Oslo").sunset_utc is None
