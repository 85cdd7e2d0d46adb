"""Rules on the weather of a record: the protocol's limits at the first and at the last count."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planner.domain.conditions import Conditions
from planner.domain.field.record_ground import CountKey, record_finding
from planner.domain.field.visit_record import PointRecord, VisitRecord
from planner.domain.finding import Finding, Rule, Severity
from planner.domain.protocol import Protocol
from planner.domain.verdict import Call, Verdict, verdict


@dataclass(frozen=True, slots=True)
class WeatherHeld:
    """What the weather limits say of a record."""

    findings: tuple[Finding, ...]
    barred: frozenset[CountKey]
    """Counts that were made in weather in which the protocol bars counting."""


def weather_held(record: VisitRecord, sequence: Sequence[PointRecord], protocol: Protocol) -> WeatherHeld:
    """Hold the weather of the first and of the last count against the protocol's limits.

    Between the two nobody wrote it down: a limit passed at one of them bars that count, one passed at both bars all.
    """
    done = [one.key for one in sequence if one.done]
    if not done or not 1 <= record.key.visit <= len(protocol.visits):
        return WeatherHeld((), frozenset())
    first, last = (
        verdict(protocol, record.key.visit, Conditions(record.key.date, known=weather))
        for weather in (record.weather_first, record.weather_last)
    )
    findings = (*_said(record, first, "first", done[0]), *_said(record, last, "last", done[-1]))
    barred = {key for key, found in ((done[0], first), (done[-1], last)) if found.call is Call.NO_GO}
    both = first.call is Call.NO_GO and last.call is Call.NO_GO
    return WeatherHeld((*findings, *_unwritten(record, first, last)), frozenset(done if both else barred))


def _said(record: VisitRecord, found: Verdict, which: str, key: CountKey) -> Iterator[Finding]:
    for one in found.limits:
        if one.condition is None or one.call not in (Call.NO_GO, Call.WAIT):
            continue
        passed = one.call is Call.NO_GO
        todo = "Counts made in such weather do not stand." if passed else "Decide whether the limit was kept."
        yield record_finding(
            record,
            Rule.RECORD_WEATHER,
            Severity.TROUBLE if passed else Severity.NOTE,
            f"At the {which} count: {one.why}.",
            todo,
            point=key[0],
        )


def _unwritten(record: VisitRecord, first: Verdict, last: Verdict) -> Iterator[Finding]:
    for found, weather, which in ((first, record.weather_first, "first"), (last, record.weather_last, "last")):
        names = [one.limit.quantity.value.replace("_", " ") for one in found.limits if one.condition is None]
        if names:
            listed = ", ".join(dict.fromkeys(names))
            missing = listed if weather else f"the weather ({listed})"
            what = f"Not written down at the {which} count: {missing}."
            yield record_finding(record, Rule.RECORD_WEATHER, Severity.NOTE, what, "Ask the team for it.")
