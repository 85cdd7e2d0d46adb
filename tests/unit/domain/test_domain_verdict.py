"""Go, wait or no-go: every kind of limit against every kind of condition."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.conditions import Condition, Conditions, Seen, Share, conditions_at, with_conditions
from planner.domain.errors import RuleError
from planner.domain.measures import Measure, Speed, Temperature
from planner.domain.protocol import Protocol, VisitRule
from planner.domain.verdict import (
    TEMPERATURE_MARGIN_C,
    WIND_MARGIN_KMH,
    Call,
    Verdict,
    quantities_asked,
    verdict,
)
from planner.domain.weather import LimitKind, Quantity, WeatherLimit
from planner.exchange import protocol_names, shipped_protocol
from tests.unit.store.season_strategies import SMALL_PROTOCOL

DAY = dt.date(2027, 6, 4)
WIND = WeatherLimit(Quantity.WIND, LimitKind.BAR, Speed(20, "km/h"))
COLD = WeatherLimit(Quantity.AIR_TEMPERATURE, LimitKind.BAR, None, Temperature(7, "C"))
RAIN = WeatherLimit(Quantity.RAIN, LimitKind.BAR, words="none that you can hear")
LIGHT_WIND = WeatherLimit(Quantity.WIND, LimitKind.BAR, words="light wind only")


def protocol(*limits: WeatherLimit) -> Protocol:
    return replace(SMALL_PROTOCOL, weather=limits, visits=(VisitRule(1), VisitRule(2)))


def judge(limit: WeatherLimit, *known: Condition, visit: int = 1) -> Verdict:
    return verdict(protocol(limit), visit, Conditions(DAY, known=known))


def wind(value: float, unit: str = "km/h") -> Condition:
    return Condition(Quantity.WIND, Speed(value, unit))


def air(value: float, unit: str = "C") -> Condition:
    return Condition(Quantity.AIR_TEMPERATURE, Temperature(value, unit))


@pytest.mark.parametrize(
    ("value", "unit", "call"),
    [
        (0.0, "km/h", Call.GO),
        (18.0, "km/h", Call.GO),
        (18.01, "km/h", Call.WAIT),
        (20.0, "km/h", Call.WAIT),
        (20.01, "km/h", Call.NO_GO),
        (5.0, "m/s", Call.GO),  # 18 km/h
        (5.5, "m/s", Call.WAIT),  # 19.8 km/h
        (5.6, "m/s", Call.NO_GO),  # 20.16 km/h
        (11.0, "mph", Call.GO),  # 17.7 km/h
        (12.0, "mph", Call.WAIT),  # 19.3 km/h
        (13.0, "mph", Call.NO_GO),  # 20.9 km/h
    ],
)
def test_that_wind_is_held_against_its_limit_in_any_unit(value: float, unit: str, call: Call) -> None:
    assert judge(WIND, wind(value, unit)).call is call


@pytest.mark.parametrize(
    ("value", "unit", "call"),
    [
        (9.0, "C", Call.GO),
        (8.0, "C", Call.GO),
        (7.9, "C", Call.WAIT),
        (7.0, "C", Call.WAIT),
        (6.9, "C", Call.NO_GO),
        (46.4, "F", Call.GO),  # 8 degrees Celsius exactly
        (45.0, "F", Call.WAIT),
        (44.0, "F", Call.NO_GO),
    ],
)
def test_that_temperature_is_held_against_its_limit_in_any_unit(value: float, unit: str, call: Call) -> None:
    assert judge(COLD, air(value, unit)).call is call


def test_that_the_limit_itself_in_another_unit_is_not_past_it() -> None:
    limit = WeatherLimit(Quantity.WIND, LimitKind.BAR, Speed(12, "mph"))
    assert judge(limit, wind(12 * 1.609344)).call is Call.WAIT
    assert judge(limit, wind(12 * 1.609344 / 3.6, "m/s")).call is Call.WAIT


@pytest.mark.parametrize(
    ("seen", "call"),
    [(Seen.NONE, Call.GO), (Seen.WITHIN, Call.GO), (Seen.SOME, Call.WAIT), (Seen.BEYOND, Call.NO_GO)],
)
def test_that_a_worded_limit_is_judged_by_what_was_said(seen: Seen, call: Call) -> None:
    (one,) = judge(RAIN, Condition(Quantity.RAIN, seen=seen)).limits
    assert one.call is call
    assert call is Call.GO or "none that you can hear" in one.why


def test_that_a_figure_alone_does_not_answer_a_worded_limit() -> None:
    (one,) = judge(LIGHT_WIND, wind(15)).limits
    assert one.call is Call.WAIT
    assert "15 km/h (Beaufort force 3)" in one.why
    assert "light wind only" in one.why
    assert judge(LIGHT_WIND, Condition(Quantity.WIND, Speed(12, "km/h"), Seen.WITHIN)).call is Call.GO


def test_that_a_share_of_cloud_alone_does_not_answer_a_worded_limit() -> None:
    moon = WeatherLimit(Quantity.CLOUD, LimitKind.BAR, words="no cloud that hides the moon")
    (one,) = judge(moon, Condition(Quantity.CLOUD, Share(40, "%"))).limits
    assert one.call is Call.WAIT
    assert one.why == "cloud is 40 %: judge it by the rule “no cloud that hides the moon”"


def test_that_where_no_figure_was_given_a_judgement_answers_a_bound() -> None:
    assert judge(WIND, Condition(Quantity.WIND, seen=Seen.BEYOND)).call is Call.NO_GO
    assert judge(WIND, Condition(Quantity.WIND, seen=Seen.NONE)).call is Call.GO
    assert judge(WIND, Condition(Quantity.WIND, seen=Seen.SOME)).call is Call.WAIT
    assert judge(WIND, Condition(Quantity.WIND, Speed(30, "km/h"), Seen.WITHIN)).call is Call.NO_GO


def test_that_a_missing_condition_is_wait_and_says_which() -> None:
    said = verdict(protocol(WIND, RAIN), 1, Conditions(DAY, known=(wind(3),)))
    assert said.call is Call.WAIT
    assert [one.why for one in said.reasons] == ["rain is not known"]


def test_that_the_heaviest_call_stands() -> None:
    rules = protocol(WIND, RAIN, COLD)
    known = (wind(25), Condition(Quantity.RAIN, seen=Seen.SOME), air(12))
    said = verdict(rules, 1, Conditions(DAY, known=known))
    assert [one.call for one in said.limits] == [Call.NO_GO, Call.WAIT, Call.GO]
    assert said.call is Call.NO_GO
    assert [one.limit for one in said.reasons] == [WIND]


def test_that_what_is_only_written_down_never_bars() -> None:
    cloud = WeatherLimit(Quantity.CLOUD, LimitKind.RECORD)
    said = judge(cloud, Condition(Quantity.CLOUD, Share(100, "%"), Seen.BEYOND))
    assert said.call is Call.GO
    assert [one.limit for one in said.to_write_down] == [cloud]
    assert "100 %" in said.to_write_down[0].why


def test_that_a_limit_of_one_visit_says_nothing_of_another() -> None:
    late = replace(COLD, visits=(2,))
    assert judge(late, air(1), visit=1).call is Call.GO
    assert judge(late, air(1), visit=2).call is Call.NO_GO


def test_that_a_protocol_without_limits_says_go_and_an_unknown_visit_is_refused() -> None:
    assert verdict(protocol(), 1, Conditions(DAY)).call is Call.GO
    with pytest.raises(RuleError, match="visits 1 to 2"):
        verdict(protocol(), 3, Conditions(DAY))


@pytest.mark.parametrize(
    ("general", "regional", "value", "call"),
    [
        (12, 18, 8, Call.GO),
        (12, 18, 15, Call.WAIT),  # too much, but not in the region
        (12, 18, 19, Call.NO_GO),
        (12, 6, 8, Call.WAIT),  # only too much in the region
        (None, 12, 14, Call.WAIT),
        (None, 12, 8, Call.GO),
        (12, None, 14, Call.NO_GO),
    ],
)
def test_that_where_the_region_decides_it_is_asked_for(
    general: float | None, regional: float | None, value: float, call: Call
) -> None:
    limits = [WeatherLimit(Quantity.WIND, LimitKind.BAR, Speed(general, "mph"))] if general else []
    if regional:
        limits.append(WeatherLimit(Quantity.WIND, LimitKind.BAR, Speed(regional, "mph"), region="prairie"))
    said = verdict(protocol(*limits), 1, Conditions(DAY, known=(wind(value, "mph"),)))
    assert said.call is call
    if call is Call.WAIT:
        assert any("say which region" in one.why for one in said.limits)


@given(st.floats(0, 60), st.floats(0, 60))
def test_that_more_wind_never_lightens_the_call(one: float, other: float) -> None:
    less, more = sorted((one, other))
    assert judge(WIND, wind(less)).call.weight <= judge(WIND, wind(more)).call.weight


@given(st.floats(-20, 40), st.floats(0.0, 60.0))
def test_that_the_call_agrees_with_plain_arithmetic(degrees: float, speed: float) -> None:
    """Plain comparison of the figures, written again from the rule's words."""
    rooms = [(20.0 - speed, WIND_MARGIN_KMH), (degrees - 7.0, TEMPERATURE_MARGIN_C)]
    if any(abs(room) < 1e-6 or abs(room - margin) < 1e-6 for room, margin in rooms):
        return
    said = verdict(protocol(WIND, COLD), 1, Conditions(DAY, known=(wind(speed), air(degrees)))).call
    if any(room < 0 for room, _ in rooms):
        assert said is Call.NO_GO
    elif any(room < margin for room, margin in rooms):
        assert said is Call.WAIT
    else:
        assert said is Call.GO


@pytest.mark.parametrize("name", protocol_names())
def test_that_every_shipped_protocol_can_say_go_and_asks_for_what_bars_it(name: str) -> None:
    rules = shipped_protocol(name)
    best: dict[Quantity, Condition] = {
        Quantity.WIND: Condition(Quantity.WIND, Speed(0, "km/h"), Seen.NONE),
        Quantity.AIR_TEMPERATURE: Condition(Quantity.AIR_TEMPERATURE, Temperature(25, "C")),
        Quantity.WATER_TEMPERATURE: Condition(Quantity.WATER_TEMPERATURE, Temperature(25, "C")),
    }
    asked = quantities_asked(rules)
    for rule in rules.visits:
        known = tuple(best[one] if one in best else Condition(one, seen=Seen.NONE) for one in asked)
        assert verdict(rules, rule.number, Conditions(DAY, known=known)).call is Call.GO
        nothing = verdict(rules, rule.number, Conditions(DAY))
        bars = [one for one in nothing.limits if one.limit.kind is LimitKind.BAR]
        assert nothing.call is (Call.WAIT if bars else Call.GO)
        assert {one.limit.quantity for one in bars} <= set(asked)


@pytest.mark.parametrize(
    ("quantity", "measured", "seen", "words"),
    [
        (Quantity.RAIN, None, None, "needs a figure or a word"),
        (Quantity.RAIN, Speed(3, "km/h"), None, "not given as 3 km/h"),
        (Quantity.WIND, Temperature(3, "C"), None, "not given as 3 C"),
        (Quantity.CLOUD, Speed(3, "km/h"), None, "not given as"),
        (Quantity.AIR_TEMPERATURE, None, Seen.NONE, "as within or beyond"),
        (Quantity.WATER_TEMPERATURE, None, Seen.SOME, "as within or beyond"),
    ],
)
def test_that_an_impossible_condition_is_refused(
    quantity: Quantity, measured: Measure | None, seen: Seen | None, words: str
) -> None:
    with pytest.raises(RuleError, match=words):
        Condition(quantity, measured, seen)


@pytest.mark.parametrize("value", [-1.0, 100.5])
def test_that_a_share_lies_between_nothing_and_all(value: float) -> None:
    with pytest.raises(RuleError, match="0 to 100"):
        Share(value, "%")


def test_that_a_route_has_its_own_and_for_the_rest_what_is_said_for_all() -> None:
    everywhere = Conditions(DAY, known=(wind(10), Condition(Quantity.RAIN, seen=Seen.NONE)))
    own = Conditions(DAY, "R1", (wind(25),))
    other_day = Conditions(DAY + dt.timedelta(days=1), "R1", (wind(99),))
    kept = (everywhere, own, other_day)
    at = conditions_at(kept, DAY, "R1")
    assert at.of(Quantity.WIND) == wind(25)
    assert at.of(Quantity.RAIN) == Condition(Quantity.RAIN, seen=Seen.NONE)
    assert conditions_at(kept, DAY, "R2") == replace(everywhere, route="R2")
    assert conditions_at((), DAY, "R2") == Conditions(DAY, "R2")


def test_that_new_conditions_replace_quantity_by_quantity() -> None:
    kept = (Conditions(DAY, known=(wind(10), air(9))),)
    (after,) = with_conditions(kept, [Conditions(DAY, known=(wind(12),))])
    assert after == Conditions(DAY, known=(wind(12), air(9)))
    assert with_conditions(kept, [Conditions(DAY, "R1", (wind(3),))]) == (*kept, Conditions(DAY, "R1", (wind(3),)))
    with pytest.raises(RuleError, match="twice"):
        Conditions(DAY, known=(wind(1), wind(2)))
