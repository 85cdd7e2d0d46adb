"""Go, wait or no-go: the conditions of an evening held against the protocol's weather limits."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from planner.domain.conditions import Condition, Conditions, Seen
from planner.domain.measures import Speed, Temperature
from planner.domain.protocol import Protocol
from planner.domain.weather import LimitKind, Quantity, WeatherLimit, beaufort_force

WIND_MARGIN_KMH = 2.0
"""A wind that comes this near to its limit is looked at again before anybody drives: our own assumption."""
TEMPERATURE_MARGIN_C = 1.0
"""Likewise for temperatures: our own assumption."""
_SAME = 1e-9
"""Figures that differ by less are one figure in two units."""


class Call(StrEnum):
    """What is said to a team."""

    GO = "go"
    WAIT = "wait"
    NO_GO = "no-go"

    @property
    def weight(self) -> int:
        """How much it holds back; the heaviest of several calls stands."""
        return list(Call).index(self)


@dataclass(frozen=True, slots=True)
class LimitCall:
    """One limit of the protocol, what it is held against, and what comes of it."""

    limit: WeatherLimit
    call: Call | None
    """None: the protocol only wants it written down."""
    condition: Condition | None
    why: str
    """In words, the value included."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What the protocol says of going out in these conditions."""

    call: Call
    limits: tuple[LimitCall, ...]
    """Every limit that holds for the visit, in the protocol's order."""

    @property
    def reasons(self) -> tuple[LimitCall, ...]:
        """The limits that the call comes from."""
        return tuple(one for one in self.limits if one.call is self.call)

    @property
    def to_write_down(self) -> tuple[LimitCall, ...]:
        """What is only written down."""
        return tuple(one for one in self.limits if one.call is None)


def verdict(protocol: Protocol, visit: int, conditions: Conditions) -> Verdict:
    """Return what the protocol's weather limits say of a visit in these conditions.

    No-go: a limit is passed. Wait: a condition is not known, nobody has judged it yet, or it lies within a small
    margin of its limit (:data:`WIND_MARGIN_KMH`, :data:`TEMPERATURE_MARGIN_C`). Go: every limit is kept. A protocol
    without limits that bar a count says go; stopping for weather is then the team's own to judge.

    Where a limit holds in one region only, and the region decides what is said, it is wait: routes do not say in
    which region they lie.

    Args:
        protocol: the survey's rules.
        visit: number of the visit.
        conditions: what is known for its route and date.

    Raises:
        RuleError: the protocol has no visit of that number.
    """
    protocol.visit(visit)
    holds = [limit for limit in protocol.weather if not limit.visits or visit in limit.visits]
    judged = tuple(_by_region([_judged(limit, conditions.of(limit.quantity)) for limit in holds]))
    calls = [one.call for one in judged if one.call is not None]
    return Verdict(max(calls, key=lambda call: call.weight, default=Call.GO), judged)


def _judged(limit: WeatherLimit, condition: Condition | None) -> LimitCall:
    if limit.kind is LimitKind.RECORD:
        value = f" ({condition.said})" if condition is not None else ""
        return LimitCall(limit, None, condition, f"{_name(limit)}{value}: the protocol wants it written down")
    if condition is None:
        return LimitCall(limit, Call.WAIT, None, f"{_name(limit)} is not known")
    if limit.bound is not None and condition.measured is not None:
        return _measured(limit, condition)
    return _worded(limit, condition)


def _measured(limit: WeatherLimit, condition: Condition) -> LimitCall:
    room, margin, unit = _room(limit, condition)
    value = f"{_name(limit)} is {condition.measured}"
    if room < -_SAME:
        return LimitCall(limit, Call.NO_GO, condition, f"{value}, past the limit")
    if room < margin - _SAME:
        return LimitCall(limit, Call.WAIT, condition, f"{value}, within {margin:g} {unit} of the limit")
    return LimitCall(limit, Call.GO, condition, f"{value}, within the limit")


def _room(limit: WeatherLimit, condition: Condition) -> tuple[float, float, str]:
    """Return what is left up to the limit, the margin, and the unit of both."""
    measured = condition.measured
    if isinstance(limit.at_most, Speed) and measured is not None:
        return limit.at_most.base - measured.base, WIND_MARGIN_KMH, "km/h"
    assert isinstance(limit.at_least, Temperature)
    assert measured is not None
    return measured.base - limit.at_least.base, TEMPERATURE_MARGIN_C, "°C"


def _worded(limit: WeatherLimit, condition: Condition) -> LimitCall:
    rule = limit.words or limit.said
    name = _name(limit)
    match condition.seen:
        case Seen.NONE:
            return LimitCall(limit, Call.GO, condition, f"{name}: none")
        case Seen.WITHIN:
            return LimitCall(limit, Call.GO, condition, f"{name} keeps to the rule “{rule}”")
        case Seen.BEYOND:
            return LimitCall(limit, Call.NO_GO, condition, f"{name} does not keep to the rule “{rule}”")
    found = f"is {_figure(condition)}" if condition.measured is not None else "is about"
    return LimitCall(limit, Call.WAIT, condition, f"{name} {found}: judge it by the rule “{rule}”")


def _figure(condition: Condition) -> str:
    if isinstance(condition.measured, Speed):
        return f"{condition.measured} (Beaufort force {beaufort_force(condition.measured)})"
    return str(condition.measured)


def _by_region(judged: Sequence[LimitCall]) -> Iterator[LimitCall]:
    """Yield the limits' calls; a no-go that only holds for a route of some region is wait."""
    for one in judged:
        rivals = [other for other in judged if other.call and other.limit.quantity is one.limit.quantity]
        regional = any(other.limit.region for other in rivals)
        everywhere = any(not other.limit.region for other in rivals)
        certain = not regional or (everywhere and all(other.call is Call.NO_GO for other in rivals))
        yield _asks_region(one) if one.call is Call.NO_GO and not certain else one


def _asks_region(one: LimitCall) -> LimitCall:
    where = f"the limit of {one.limit.region}" if one.limit.region else "a region has another limit"
    return replace(one, call=Call.WAIT, why=f"{one.why}; {where}: say which region the route lies in")


def _name(limit: WeatherLimit) -> str:
    return limit.quantity.value.replace("_", " ")


def quantities_asked(protocol: Protocol) -> tuple[Quantity, ...]:
    """Return what a coordinator has to look at, in the protocol's order; what bars a count first."""
    bars = [limit.quantity for limit in protocol.weather if limit.kind is LimitKind.BAR]
    noted = [limit.quantity for limit in protocol.weather if limit.kind is LimitKind.RECORD]
    return tuple(dict.fromkeys((*bars, *noted)))
