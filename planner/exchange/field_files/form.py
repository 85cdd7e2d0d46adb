"""The tables that are filled in after an outing: their columns, as the protocol of a season asks for them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

from planner.domain.calendar import DateRange
from planner.domain.conditions import Seen
from planner.domain.field.habitat_sheet import Side
from planner.domain.field.visit_record import Stopped
from planner.domain.habitat import HabitatClass, HabitatRule
from planner.domain.season import Season
from planner.domain.weather import Quantity, WeatherLimit

Value: TypeAlias = str | int | float | dt.date | dt.time | None
"""What stands in one cell; None: nothing."""

CLASS = "class "
"""Begins the key of a class's column, before its code."""
FIRST, LAST = "first ", "last "
"""Begin the keys of the weather at the first and at the last count."""
ANIMALS_MOST = 9999


class TableKind(StrEnum):
    """The tables of one fill-in file."""

    HABITAT = "habitat"
    VISITS = "visits"
    COUNTS = "counts"

    @property
    def words(self) -> str:
        """The table in words."""
        return {
            TableKind.HABITAT: "habitat sheets",
            TableKind.VISITS: "visit records",
            TableKind.COUNTS: "counts at the points",
        }[self]


class Holds(StrEnum):
    """What the cells of a column hold."""

    KEY = "key"
    """Which row it is: written by the program, and locked."""
    TEXT = "text"
    PERCENT = "percent"
    SHARE = "share"
    """A percentage that is no part of the sum."""
    ANIMALS = "animals"
    DATE = "date"
    TIME = "time"
    WORD = "word"
    """One of a few words."""
    FIGURE = "figure"
    SUM = "sum"
    REST = "rest"


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table."""

    key: str
    """By which it is known again, however it is headed."""
    heading: str
    holds: Holds
    width: float
    """In letters."""
    words: tuple[str, ...] = ()
    """What a cell may hold, where it is one of a few words or figures."""
    hint: str = ""
    """Shown while a cell of it is chosen."""

    @property
    def computed(self) -> bool:
        """Whether the workbook works it out."""
        return self.holds in (Holds.SUM, Holds.REST)


@dataclass(frozen=True, slots=True)
class FieldForm:
    """What a season's protocol has filled in."""

    season: str
    identity: str
    """Names the season for good."""
    dates: DateRange
    habitat: HabitatRule | None
    weather: tuple[tuple[Quantity, str], ...]
    """What is written down of the weather, in the protocol's order, and its unit; empty where it is told in words."""
    passes: int
    """Most runs over the points in one light window."""

    @classmethod
    def of(cls, season: Season, identity: str) -> FieldForm:
        """Return the form of a season."""
        protocol = season.protocol
        return cls(
            season=season.name,
            identity=identity,
            dates=season.dates,
            habitat=protocol.habitat,
            weather=tuple(_units(protocol.weather).items()),
            passes=max(len(window.passes) for window in protocol.windows),
        )

    @property
    def mark(self) -> str:
        """What stands in every row, so that it is never taken for one of another season."""
        return f"{self.season} #{self.identity[:8]}"

    def columns(self, kind: TableKind) -> tuple[Column, ...]:
        """Return the columns of one table."""
        made = {TableKind.HABITAT: _habitat, TableKind.VISITS: _visits, TableKind.COUNTS: _counts}[kind]
        return tuple(made(self))

    @property
    def sides(self) -> tuple[Side, ...]:
        """What is estimated at each point."""
        if self.habitat is not None and self.habitat.sides_of_road:
            return (Side.LEFT, Side.RIGHT)
        return (Side.CIRCLE,)


@dataclass(frozen=True, slots=True)
class FieldTable:
    """One table, as far as it is filled in."""

    kind: TableKind
    columns: tuple[Column, ...]
    rows: tuple[tuple[Value, ...], ...]
    spare_rows: int = 0
    """Empty rows at the end whose keys may be filled in as well."""


@dataclass(frozen=True, slots=True)
class FillIn:
    """The tables of one volunteer: nobody else's name, home or number is in them."""

    form: FieldForm
    volunteer: str
    """Code."""
    name: str
    tables: tuple[FieldTable, ...]
    cautions: tuple[str, ...] = ()
    """The protocol's own."""


def unread_name(key: str, side: Side) -> str:
    """Return what a cell that could not be read is called on its sheet: the class's code, or the column's key."""
    if not key.startswith(CLASS):
        return key
    code = key.removeprefix(CLASS)
    return code if side is Side.CIRCLE else f"{side.value} {code}"


def _units(limits: Sequence[WeatherLimit]) -> dict[Quantity, str]:
    """Return the unit in which each quantity is written down: that of the first limit on it, else the commonest."""
    units = {limit.quantity: _USUAL_UNITS.get(limit.quantity, "") for limit in limits}
    return units | {limit.quantity: limit.bound.unit for limit in reversed(limits) if limit.bound is not None}


_USUAL_UNITS = {
    Quantity.WIND: "km/h",
    Quantity.CLOUD: "%",
    Quantity.AIR_TEMPERATURE: "C",
    Quantity.WATER_TEMPERATURE: "C",
}


def steps(rule: HabitatRule) -> tuple[str, ...]:
    """Return the percentages that the protocol knows."""
    return tuple(str(step) for step in range(0, 101, rule.step_percent))


def class_column(one: HabitatClass, rule: HabitatRule) -> Column:
    """Return the column of a class."""
    hint = one.hint + (" Say in the note what it is." if one.needs_note else "")
    heading = one.name if one.code.casefold() == one.name.casefold() else f"{one.code}\n{one.name}"
    return Column(f"{CLASS}{one.code}", heading, Holds.PERCENT, 9, steps(rule), hint.strip())


def _keys(*, point: bool) -> Iterator[Column]:
    yield Column("season", "season", Holds.KEY, 14)
    yield Column("route", "route", Holds.KEY, 8)
    yield Column("visit", "visit", Holds.KEY, 6)
    if point:
        yield Column("point", "point", Holds.KEY, 6)


def _habitat(form: FieldForm) -> Iterator[Column]:
    rule = form.habitat
    if rule is None:
        return
    yield from _keys(point=True)
    if rule.sides_of_road:
        yield Column("side", "side of\nthe road", Holds.KEY, 8)
    yield Column("date", "date", Holds.DATE, 11, hint="Change it where it was another day.")
    yield Column("observer", "observer", Holds.TEXT, 9, hint="Who estimated: the code that stands here is yours.")
    yield from (class_column(one, rule) for one in rule.classes)
    yield Column("sum", "sum", Holds.SUM, 7)
    yield Column("rest", "still to\ngive", Holds.REST, 12)
    if rule.grazed_share:
        hint = "How much of the ground is grazed, in percent: 0 where nothing is."
        yield Column("grazed", "grazed\n%", Holds.SHARE, 8, hint=hint)
    if rule.livestock:
        hint = (
            "Domestic animals alone: cattle, sheep, ponies. Wild ones are never counted here. 0 where there are none."
        )
        yield Column("livestock", "livestock\n(domestic)", Holds.ANIMALS, 10, hint=hint)
    yield Column("species", "other species\nof concern", Holds.TEXT, 18)
    yield Column("note", "note", Holds.TEXT, 30, hint="What 'other' is, and whatever else matters.")


def _visits(form: FieldForm) -> Iterator[Column]:
    yield from _keys(point=False)
    yield Column("date", "evening or\nmorning of", Holds.DATE, 11, hint="The date of the evening, also after midnight.")
    yield Column("team", "who went, if\nnot as planned", Holds.TEXT, 14, hint="Codes, the lead first: V07, V12.")
    yield Column("left", "left\nhome", Holds.TIME, 8)
    yield from _weather(form.weather, FIRST, "at the first count")
    yield from _weather(form.weather, LAST, "at the last count")
    hint = "Leave empty where all points were counted."
    yield Column("stopped", "stopped early\nbecause of", Holds.WORD, 13, tuple(one.value for one in Stopped), hint)
    yield Column("home", "home\nagain", Holds.TIME, 8)
    yield Column("driver", "whose\nkm", Holds.TEXT, 8, hint="Who drove these: the code that stands here is yours.")
    yield Column("km", "driven, km", Holds.FIGURE, 8, hint="Your own, from home to home, by the car's counter.")
    yield Column("note", "note", Holds.TEXT, 34)


def _weather(weather: Sequence[tuple[Quantity, str]], when: str, words: str) -> Iterator[Column]:
    for quantity, unit in weather:
        name = quantity.value.replace("_", " ") + (f", {unit}" if unit else "")
        hint = f"In {unit}, or with another unit behind the figure." if unit else _WORDED
        seen = () if unit else tuple(one.value for one in Seen)
        holds = Holds.TEXT if unit else Holds.WORD
        yield Column(f"{when}{quantity.value}", f"{name}\n{words}", holds, 12, seen, hint)


_WORDED = "none: nothing of it; within: it keeps to the protocol's words; beyond: it does not; some: not judged."


def _counts(form: FieldForm) -> Iterator[Column]:
    yield from _keys(point=True)
    if form.passes > 1:
        yield Column("pass", "run", Holds.KEY, 6)
    hint = "Only where it was not the evening on the sheet 'Visits'."
    yield Column("date", "another\nevening", Holds.DATE, 11, hint=hint)
    clock = "By the clock, such as 21:40. After midnight simply 00:12: it belongs to the same evening."
    yield Column("arrived", "arrived", Holds.TIME, 9, hint=clock)
    yield Column("began", "count\nbegan", Holds.TIME, 9, hint=clock)
    yield Column("ended", "count\nended", Holds.TIME, 9, hint=clock)
    yield Column("done", "counted to\nthe end", Holds.WORD, 10, ("yes", "no"))
    yield Column("note", "note", Holds.TEXT, 34)
