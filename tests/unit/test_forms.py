from __future__ import annotations

import copy
import datetime as dt
import json
import tomllib
from collections.abc import Mapping
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from planner.domain.calendar import MonthDay, YearlyRange
from planner.domain.counting import CountRule, Direction, OrderRule, PointRule, Segment, Spacing, SpacingKind
from planner.domain.measures import Length, Temperature
from planner.domain.protocol import Figure, Mark, Protocol, Trigger, VisitRule
from planner.domain.window import Edge, Event, PartOfDay, Pass, Window
from planner.forms import FormError, FormFault, protocol_from_plain, protocol_to_plain
from tests.unit.store.season_strategies import protocols

PROTOCOL = Protocol(
    name="Lantern moths",
    taxon="moths",
    summary="Invented.",
    points=PointRule(1, 5, Spacing(SpacingKind.EXACT, Length(0.5, "mi"))),
    count=CountRule((Segment("listen", 3.0),)),
    windows=(
        Window("dusk", PartOfDay.DUSK, (Pass(Edge(Event.SUNSET, 22.5), Edge(Event.CLOCK, clock=dt.time(1, 0))),)),
    ),
    visits=(
        VisitRule(1, (YearlyRange(MonthDay(5, 15), MonthDay(6, 7), "north", 2027),)),
        VisitRule(2, trigger=Trigger(Temperature(-1.5, "C"), "night air")),
    ),
    order=OrderRule(Direction.EITHER),
    figures=(Figure("count", Mark.OURS, "tried out"),),
)
PLAIN = {
    "name": "Lantern moths",
    "taxon": "moths",
    "summary": "Invented.",
    "points": {"fewest": 1, "most": 5, "spacing": {"kind": "exact", "least": "0.5 mi"}},
    "count": {"segments": [{"name": "listen", "minutes": 3.0}]},
    "windows": [
        {
            "name": "dusk",
            "part": "dusk",
            "passes": [
                {"open": {"event": "sunset", "offset_minutes": 22.5}, "close": {"event": "clock", "clock": "01:00"}}
            ],
        }
    ],
    "visits": [
        {"number": 1, "dates": [{"first": "05-15", "last": "06-07", "region": "north", "year": 2027}]},
        {"number": 2, "trigger": {"at_least": "-1.5 C", "of": "night air"}},
    ],
    "order": {"direction": "either"},
    "figures": [{"key": "count", "mark": "ours", "source": "tried out"}],
}


def changed(path: str, value: object) -> dict[str, Any]:
    """The plain form with one value put in, at dotted keys and list places from 0."""
    plain = copy.deepcopy(PLAIN)
    place: Any = plain
    *way, last = [int(key) if key.isdigit() else key for key in path.split(".")]
    for key in way:
        place = place[key]
    place[last] = value
    return plain


def faults(plain: object) -> tuple[FormFault, ...]:
    with pytest.raises(FormError) as told:
        protocol_from_plain(plain)
    return told.value.faults


def fault(plain: object) -> FormFault:
    (only,) = faults(plain)
    return only


def test_that_a_protocol_is_written_in_plain_words_without_what_equals_its_default() -> None:
    assert protocol_to_plain(PROTOCOL) == PLAIN


def test_that_the_plain_form_reads_back_equal() -> None:
    assert protocol_from_plain(PLAIN) == PROTOCOL


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(protocols())
def test_that_every_protocol_goes_through_json_and_back_unchanged(protocol: Protocol) -> None:
    assert protocol_from_plain(json.loads(json.dumps(protocol_to_plain(protocol)))) == protocol


def test_that_defaults_may_be_spelled_out_and_optional_values_be_nothing() -> None:
    plain = changed("points.spacing.tolerance_percent", 10)
    plain["moon"] = None
    plain["invented"] = False
    assert protocol_from_plain(plain) == PROTOCOL


def test_that_a_time_of_day_may_be_written_the_toml_way() -> None:
    clock = tomllib.loads("clock = 01:00:00")["clock"]
    assert protocol_from_plain(changed("windows.0.passes.0.close.clock", clock)) == PROTOCOL


def test_that_seconds_of_a_clock_time_are_kept() -> None:
    plain = changed("windows.0.passes.0.close.clock", "01:00:30")
    assert protocol_to_plain(protocol_from_plain(plain)) == plain


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [(0.1 + 0.2, "km", "0.30000000000000004 km"), (200, "m", "200 m"), (1e-7, "m", "0.0000001 m"), (1e20, "ft", None)],
)
def test_that_a_length_is_written_with_every_digit(value: float, unit: str, text: str | None) -> None:
    spacing = Spacing(SpacingKind.EXACT, Length(value, unit))
    protocol = Protocol(**{**_fields(PROTOCOL), "points": PointRule(1, 5, spacing)})
    plain = protocol_to_plain(protocol)
    assert plain["points"]["spacing"]["least"] == (text or "1" + "0" * 20 + " ft")
    assert protocol_from_plain(plain) == protocol


def _fields(protocol: Protocol) -> Mapping[str, Any]:
    return {name: getattr(protocol, name) for name in Protocol.__dataclass_fields__}


@pytest.mark.parametrize(
    ("place", "value", "path", "expected", "found"),
    [
        ("name", 3, "name", "text in quotes", "3"),
        ("name", None, "name", "text in quotes", "nothing"),
        ("name", {}, "name", "text in quotes", "a table of keys"),
        ("invented", "yes", "invented", "true or false", "'yes'"),
        ("points.fewest", 2.0, "points.fewest", "a whole number", "2.0"),
        ("points.fewest", True, "points.fewest", "a whole number", "true"),
        ("points.fewest", "2", "points.fewest", "a whole number", "'2'"),
        ("count.settle_minutes", "1", "count.settle_minutes", "a number", "'1'"),
        ("count.settle_minutes", False, "count.settle_minutes", "a number", "false"),
        ("count.settle_minutes", float("nan"), "count.settle_minutes", "a finite number", "nan"),
        ("count.settle_minutes", 10**400, "count.settle_minutes", "a finite number", str(10**400)),
        ("visits", "two", "visits", "a list", "'two'"),
        ("visits.0", [], "visits[1]", "a table of keys", "a list"),
        ("order", 1, "order", "a table of keys", "1"),
        ("order.direction", "back", "order.direction", "one of fixed, either, any", "'back'"),
        ("order.direction", 1, "order.direction", "one of fixed, either, any", "1"),
        ("visits.0.dates.0.first", "02-29", "visits[1].dates[1].first", "a day of every year as 'MM-DD'", "'02-29'"),
        ("visits.0.dates.0.first", "May 15", "visits[1].dates[1].first", "a day of every year as", "'May 15'"),
        (
            "visits.0.dates.0.first",
            dt.date(2027, 5, 15),
            "visits[1].dates[1].first",
            "a day of every year as",
            "2027-05-15",
        ),
        ("visits.1.trigger.at_least", "7 km", "visits[2].trigger.at_least", "a temperature such as '7 C'", "'7 km'"),
        ("points.spacing.least", "-1 m", "points.spacing.least", "a length of 0 or more", "'-1 m'"),
        ("points.spacing.least", 800, "points.spacing.least", "a length of 0 or more", "800"),
        ("windows.0.passes.0.close.clock", "25:00", "windows[1].passes[1].close.clock", "as 'HH:MM'", "'25:00'"),
        ("windows.0.passes.0.close.clock", "1 am", "windows[1].passes[1].close.clock", "as 'HH:MM'", "'1 am'"),
        ("windows.0.passes.0.close.clock", "01:00+02:00", "windows[1].passes[1].close.clock", "HH:MM", "'01:00+02:00'"),
        ("windows.0.passes.0.close.clock", 100, "windows[1].passes[1].close.clock", "as 'HH:MM'", "100"),
    ],
)
def test_that_a_value_that_does_not_fit_is_told_with_its_place(
    place: str, value: object, path: str, expected: str, found: str
) -> None:
    told = fault(changed(place, value))
    assert told.path == path
    assert expected in told.expected
    assert told.found == found


@pytest.mark.parametrize(("plain", "found"), [(None, "nothing"), ([], "a list"), ("name", "'name'")])
def test_that_something_that_is_no_table_is_no_protocol(plain: object, found: str) -> None:
    assert fault(plain) == FormFault("", "a table of keys", found)
    assert str(fault(plain)) == f"expected a table of keys, found {found}"


def test_that_a_missing_key_is_told() -> None:
    plain = copy.deepcopy(PLAIN)
    del plain["taxon"]
    assert fault(plain) == FormFault("taxon", "a value", "nothing: the key is missing")


def test_that_an_unknown_key_is_told_with_the_nearest_known_one() -> None:
    told = fault(changed("count.setle_minutes", 1))
    assert told.path == "count.setle_minutes"
    assert told.expected == "one of the keys segments, settle_minutes, noise_extension_minutes"
    assert told.found == "an unknown key; did you mean 'settle_minutes'?"


def test_that_an_unknown_key_like_no_other_is_told_without_a_guess() -> None:
    assert fault(changed("order.zzz", 1)).found == "an unknown key"


@pytest.mark.parametrize(
    ("place", "value", "path", "words"),
    [
        ("points.spacing.kind", "range", "points.spacing", "spacing has 'most' when, and only when"),
        ("count.segments", [], "count", "at least one timed segment"),
        ("windows", [], "", "a protocol needs at least one window"),
        ("visits.1.number", 3, "", "numbers must run 1, 2, 3"),
    ],
)
def test_that_values_that_break_a_rule_together_are_told_at_their_table(
    place: str, value: object, path: str, words: str
) -> None:
    told = fault(changed(place, value))
    assert told.path == path
    assert told.expected == "values that can stand together"
    assert words in told.found


def test_that_all_faults_are_told_at_once_each_with_its_place() -> None:
    plain = changed("windows.0.passes.0.open.event", "dark")
    plain["nam"] = plain.pop("name")
    plain["points"]["fewest"] = "one"
    plain["visits"][1]["trigger"]["at_least"] = "warm"
    plain["count"]["segments"].append({"name": "again", "minutes": -1})
    assert {told.path for told in faults(plain)} == {
        "name",
        "nam",
        "points.fewest",
        "visits[2].trigger.at_least",
        "count.segments[2]",
        "windows[1].passes[1].open.event",
    }
    with pytest.raises(FormError) as told:
        protocol_from_plain(plain)
    assert len(str(told.value).splitlines()) == 6
