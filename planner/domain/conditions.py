"""Conditions of an evening, seen or forecast: what the protocol's weather limits are held against."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import ClassVar

from planner.domain.errors import RuleError
from planner.domain.measures import Measure, Speed, Temperature
from planner.domain.weather import Quantity


class Share(Measure):
    """A share of the whole in percent: of the sky that is under cloud."""

    __slots__ = ()
    FACTORS: ClassVar[dict[str, tuple[float, float]]] = {"%": (1.0, 0.0)}

    def __post_init__(self) -> None:
        Measure.__post_init__(self)
        if not 0.0 <= self.value <= 100.0:
            raise RuleError(f"a share runs from 0 to 100 %, found {self}")


class Seen(StrEnum):
    """What somebody says of a condition that is judged by the protocol's words."""

    NONE = "none"
    """There is nothing of it."""
    SOME = "some"
    """There is some of it, and nobody has held it against the words yet."""
    WITHIN = "within"
    """It keeps to the words."""
    BEYOND = "beyond"
    """It does not."""


MEASURES: dict[Quantity, type[Measure]] = {
    Quantity.WIND: Speed,
    Quantity.AIR_TEMPERATURE: Temperature,
    Quantity.WATER_TEMPERATURE: Temperature,
    Quantity.CLOUD: Share,
}
"""What is measured, and in what; everything else is told in words."""

_ALWAYS_THERE = frozenset({Quantity.AIR_TEMPERATURE, Quantity.WATER_TEMPERATURE})


@dataclass(frozen=True, slots=True)
class Condition:
    """One quantity of an evening: a figure, a word, or both."""

    quantity: Quantity
    measured: Measure | None = None
    seen: Seen | None = None

    def __post_init__(self) -> None:
        name = self.quantity.value.replace("_", " ")
        if self.measured is None and self.seen is None:
            raise RuleError(f"{name} needs a figure or a word")
        kind = MEASURES.get(self.quantity)
        if self.measured is not None and (kind is None or type(self.measured) is not kind):
            raise RuleError(f"{name} is not given as {self.measured}")
        if self.quantity in _ALWAYS_THERE and self.seen in (Seen.NONE, Seen.SOME):
            raise RuleError(f"{name} is given as a figure, or as within or beyond the limit, found {self.seen}")

    @property
    def said(self) -> str:
        """The condition in words, without its name: '12 km/h', 'none'."""
        parts = [str(self.measured) if self.measured is not None else "", self.seen.value if self.seen else ""]
        return ", ".join(part for part in parts if part)


@dataclass(frozen=True, slots=True)
class Conditions:
    """What is known of one date: for every route, or for one."""

    date: dt.date
    route: str = ""
    """Code of the route that they are for; empty: every route, where its own say nothing else."""
    known: tuple[Condition, ...] = ()

    def __post_init__(self) -> None:
        quantities = [condition.quantity for condition in self.known]
        if len(set(quantities)) != len(quantities):
            raise RuleError("conditions name a quantity twice")
        object.__setattr__(self, "known", tuple(sorted(self.known, key=lambda one: one.quantity)))

    def of(self, quantity: Quantity) -> Condition | None:
        """Return what is known of one quantity; None: nothing."""
        return next((one for one in self.known if one.quantity is quantity), None)

    def over(self, others: Conditions) -> Conditions:
        """Return these, filled up with what only the others know."""
        own = {one.quantity for one in self.known}
        more = (one for one in others.known if one.quantity not in own)
        return Conditions(self.date, self.route, (*self.known, *more))


def conditions_at(kept: Iterable[Conditions], date: dt.date, route: str) -> Conditions:
    """Return what is known for one route on one date: its own, then what is said for every route."""
    own, general = Conditions(date, route), Conditions(date)
    for one in kept:
        if one.date == date and one.route == route:
            own = one
        elif one.date == date and not one.route:
            general = one
    return own.over(general)


def with_conditions(kept: Iterable[Conditions], given: Iterable[Conditions]) -> tuple[Conditions, ...]:
    """Return what is kept with new conditions in it: quantity by quantity, the new figure stands.

    What is said for every route does not undo what a route has of its own.
    """
    found = {(one.date, one.route): one for one in kept}
    for one in given:
        key = one.date, one.route
        found[key] = one.over(found[key]) if key in found else one
    return tuple(found[key] for key in sorted(found) if found[key].known)
