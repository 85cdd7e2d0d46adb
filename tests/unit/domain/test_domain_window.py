from __future__ import annotations

import datetime as dt

import pytest

from planner.domain.errors import RuleError
from planner.domain.light import LightWindow, Span
from planner.domain.window import Edge, Event, MoonRule, PartOfDay, Pass, StartRule, Window

SUNSET = Edge(Event.SUNSET)
ONE_AT_NIGHT = Edge(Event.CLOCK, clock=dt.time(1, 0))


def at(hour: int, minute: int = 0) -> dt.datetime:
    return dt.datetime(2027, 5, 1, hour, minute, tzinfo=dt.UTC)


@pytest.mark.parametrize(
    ("edge", "words"),
    [
        (Edge(Event.SUNSET, 22), "sunset + 22 min"),
        (Edge(Event.SUNSET, 0.5), "sunset + 0.5 min"),
        (Edge(Event.SUNRISE, -240), "sunrise − 240 min"),
        (Edge(Event.NAUTICAL_DUSK), "nautical dusk"),
        (ONE_AT_NIGHT, "01:00"),
    ],
)
def test_that_an_edge_is_said_as_a_person_would(edge: Edge, words: str) -> None:
    assert edge.words == words


def test_that_a_clock_time_goes_with_the_clock_event_only() -> None:
    with pytest.raises(RuleError, match="clock time when, and only when"):
        Edge(Event.CLOCK)
    with pytest.raises(RuleError, match="clock time when, and only when"):
        Edge(Event.SUNSET, clock=dt.time(1, 0))


@pytest.mark.parametrize("minutes", [-1441.0, 1441.0, float("nan")])
def test_that_an_offset_stays_within_a_day(minutes: float) -> None:
    with pytest.raises(RuleError, match="within a day"):
        Edge(Event.SUNSET, minutes)
    assert Edge(Event.SUNSET, 1440).offset_minutes == 1440


def test_that_a_pass_is_bounded() -> None:
    with pytest.raises(RuleError, match="needs a closing edge"):
        Pass(SUNSET)
    with pytest.raises(RuleError, match="must be 'start_exactly_at'"):
        Pass(SUNSET, within_minutes=90)
    with pytest.raises(RuleError, match="within_minutes must be above 0"):
        Pass(SUNSET, ONE_AT_NIGHT, within_minutes=0)


@pytest.mark.parametrize(
    ("run", "minutes"),
    [
        (Pass(SUNSET, Edge(Event.SUNSET, 38)), 38.0),
        (Pass(Edge(Event.SUNSET, 22), Edge(Event.SUNSET, 90), within_minutes=30), 30.0),
        (Pass(Edge(Event.SUNSET, 22), Edge(Event.SUNSET, 50), within_minutes=30), 28.0),
        (Pass(SUNSET, start=StartRule.EXACTLY, within_minutes=90), 90.0),
        (Pass(SUNSET, Edge(Event.NAUTICAL_DUSK)), None),
        (Pass(SUNSET, Edge(Event.NAUTICAL_DUSK), within_minutes=60), 60.0),
        # Two clock times may lie either side of midnight, so their difference says nothing.
        (Pass(Edge(Event.CLOCK, clock=dt.time(22, 0)), ONE_AT_NIGHT), None),
    ],
)
def test_that_a_length_is_known_only_where_the_rule_alone_fixes_it(run: Pass, minutes: float | None) -> None:
    assert run.fixed_length_minutes == minutes


def test_that_a_window_has_a_pass_and_belongs_to_dusk_or_dawn() -> None:
    with pytest.raises(RuleError, match="at least one pass"):
        Window("dusk", PartOfDay.DUSK, ())
    with pytest.raises(RuleError, match="found 'daylight'"):
        Window("day", PartOfDay.DAYLIGHT, (Pass(SUNSET, ONE_AT_NIGHT),))


def test_that_a_window_depends_on_the_sky_when_any_of_its_edges_does() -> None:
    fair = Pass(SUNSET, ONE_AT_NIGHT)
    dull = Pass(SUNSET, Edge(Event.SUNSET, 38, overcast_offset_minutes=22))
    open_ended = Pass(SUNSET, start=StartRule.EXACTLY, within_minutes=60)
    assert not Window("dusk", PartOfDay.DUSK, (fair, open_ended)).depends_on_sky
    assert Window("dusk", PartOfDay.DUSK, (fair, dull)).depends_on_sky


@pytest.mark.parametrize("share", [-0.1, 1.1, float("nan")])
def test_that_the_moons_light_is_a_fraction(share: float) -> None:
    with pytest.raises(RuleError, match="fraction from 0 to 1"):
        MoonRule(share)
    assert MoonRule(1.0).least_illuminated == 1.0


def test_that_a_span_is_in_utc_and_closes_after_it_opens() -> None:
    assert Span(at(19), at(19, 38)).minutes == 38
    with pytest.raises(RuleError, match="must close after"):
        Span(at(19), at(19))
    summer = dt.timezone(dt.timedelta(hours=1))
    with pytest.raises(RuleError, match="in UTC"):
        Span(at(19).astimezone(summer), at(20))
    with pytest.raises(RuleError, match="in UTC"):
        Span(at(19), at(20).replace(tzinfo=None))


def test_that_a_light_window_opens_with_its_first_pass_and_closes_with_its_last() -> None:
    window = LightWindow("dusk", dt.date(2027, 5, 1), (Span(at(19), at(20)), Span(at(21), at(22))))
    assert (window.open_utc, window.close_utc) == (at(19), at(22))


def test_that_events_are_said_in_words() -> None:
    assert Event.ASTRONOMICAL_DAWN.words == "astronomical dawn"
