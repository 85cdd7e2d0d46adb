"""Write down what is seen or forecast of an evening, and hold it against the protocol's weather limits."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence

from planner.domain.conditions import MEASURES, Condition, Conditions, Seen, conditions_at, with_conditions
from planner.domain.errors import Fault, InputError, RuleError
from planner.domain.measures import Measure
from planner.domain.protocol import Protocol
from planner.domain.season import Season
from planner.domain.verdict import Call, LimitCall, Verdict, quantities_asked, verdict
from planner.domain.weather import Quantity
from planner.store import Changed, SeasonFile
from planner.usecases.plan.planning import listed_codes

__all__ = [
    "Call",
    "LimitCall",
    "Verdict",
    "conditions_for",
    "forget_conditions",
    "keep_conditions",
    "quantities_asked",
    "read_conditions",
    "read_measure",
    "unverified_limits",
    "verdict",
]


def read_measure(quantity: Quantity, text: str, usual_unit: str) -> Measure:
    """Return the figure that somebody typed: '12', '12 mph', '7,5 °C'.

    Args:
        quantity: what it is a figure of.
        text: as typed.
        usual_unit: the unit that is meant where none is typed.

    Raises:
        RuleError: it is no figure of that quantity, or the quantity has none.
    """
    kind = MEASURES.get(quantity)
    if kind is None:
        raise RuleError(f"{quantity.value} is told in words, not as a figure")
    plain = text.replace(",", ".").replace("°", " ").replace("º", " ").strip()
    return kind.measured(f"{plain} {usual_unit}" if plain[-1:].isdigit() else plain)


_WORDS = {**{seen.value: seen for seen in Seen}, "no": Seen.NONE, "yes": Seen.SOME}
_MEANING = "Words are none, some (not judged yet), within (it keeps to the protocol's words) and beyond."


def read_conditions(
    typed: Mapping[Quantity, str], usual_units: Mapping[Quantity, str] | None = None
) -> list[Condition]:
    """Return what somebody says of an evening, each quantity as a figure or as a word: '12 km/h', 'none', 'within'.

    Args:
        typed: the texts; an empty one says nothing.
        usual_units: the units that are meant where figures come without one; None: each must have one.

    Raises:
        InputError: with the fault of every text that is neither.
    """
    known, faults = [], []
    for quantity, text in typed.items():
        try:
            known += [_condition(quantity, text, (usual_units or {}).get(quantity, ""))] if text.strip() else []
        except RuleError as error:
            expected = "a figure with its unit, or a word" if quantity in MEASURES else "a word"
            faults.append(Fault(quantity.value.replace("_", " "), "", expected, f"'{text}'", f"{_MEANING} ({error})"))
    if faults:
        raise InputError(*faults)
    return known


def _condition(quantity: Quantity, text: str, usual_unit: str) -> Condition:
    word = " ".join(text.split()).casefold()
    if word in _WORDS:
        return Condition(quantity, seen=_WORDS[word])
    return Condition(quantity, read_measure(quantity, text, usual_unit))


def conditions_for(kept: Iterable[Conditions], date: dt.date, routes: Sequence[str]) -> Conditions:
    """Return what stands for some routes together: what they have in common; no routes: what is said for every one."""
    if not routes:
        return next((one for one in kept if one.date == date and not one.route), Conditions(date))
    each = [conditions_at(kept, date, route).known for route in routes]
    return Conditions(date, routes[0], tuple(one for one in each[0] if all(one in others for others in each)))


def unverified_limits(protocol: Protocol) -> bool:
    """Say whether some of the protocol's weather limits are from memory, so that nobody should rely on them unread."""
    return any(figure.key.partition("[")[0].partition(".")[0] == "weather" for figure in protocol.from_memory)


def keep_conditions(file: SeasonFile, date: dt.date, known: Sequence[Condition], routes: Sequence[str] = ()) -> Changed:
    """Write down conditions of a date, as one step; quantities that are not named stay as they are.

    Args:
        file: the season file.
        date: of the evening.
        known: what is known.
        routes: codes of the routes that they are for; none: every route that has nothing of its own.

    Raises:
        RuleError: nothing is given, the date lies outside the season, or a route is not in it.
    """
    season = file.season()
    _refuse_strange(season, date, routes)
    if not known:
        raise RuleError("there is nothing to write down: give at least one condition")
    given = [Conditions(date, route, tuple(known)) for route in (routes or [""])]
    said = ", ".join(f"{one.quantity.value.replace('_', ' ')} {one.said}" for one in known)
    with file.step(f"Conditions of {_day(date)}{_where(routes)}: {said}") as step:
        file.save_conditions(with_conditions(file.conditions(), given))
    return step.changed


def forget_conditions(file: SeasonFile, date: dt.date, routes: Sequence[str] = ()) -> Changed:
    """Take conditions of a date away, as one step: those of some routes, or all of that date.

    Raises:
        RuleError: the date lies outside the season, or a route is not in it.
    """
    _refuse_strange(file.season(), date, routes)
    kept = [one for one in file.conditions() if one.date != date or (bool(routes) and one.route not in routes)]
    with file.step(f"Take away the conditions of {_day(date)}{_where(routes)}") as step:
        file.save_conditions(kept)
    return step.changed


def _refuse_strange(season: Season, date: dt.date, routes: Sequence[str]) -> None:
    if date not in season.dates:
        raise RuleError(f"{date} lies outside the season ({season.dates})")
    for code in routes:
        season.route(code)


def _where(routes: Sequence[str]) -> str:
    return f" at {listed_codes(list(routes))}" if routes else ""


def _day(day: dt.date) -> str:
    return f"{day:%a} {day.day} {day:%b}"
