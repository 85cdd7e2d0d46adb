"""What the evening's states are called on the screen, and the mark that stands beside each word."""

from __future__ import annotations

import datetime as dt

from PySide6.QtCore import QCoreApplication, QDate, QLocale

from planner.domain.check_in import Stage, Whereabouts
from planner.domain.conditions import Seen
from planner.domain.finding import Severity
from planner.domain.verdict import Call
from planner.domain.weather import Quantity, WeatherLimit
from planner.usecases.evening.outings import EveningOuting


def _tr(text: str) -> str:
    return QCoreApplication.translate("today", text)


def call_word(call: Call) -> str:
    """Return go, wait or no-go."""
    return {Call.GO: _tr("Go"), Call.WAIT: _tr("Wait"), Call.NO_GO: _tr("No-go")}[call]


def call_mark(call: Call) -> Severity | None:
    """Return the mark of a call: a tick, a diamond, a barred disc."""
    return {Call.GO: None, Call.WAIT: Severity.DOUBT, Call.NO_GO: Severity.BROKEN}[call]


def whereabouts_word(where: Whereabouts) -> str:
    """Return where somebody is taken to be."""
    return {
        Whereabouts.OVERDUE: _tr("OVERDUE"),
        Whereabouts.UNHEARD: _tr("not heard of"),
        Whereabouts.AT_HOME: _tr("not left yet"),
        Whereabouts.ON_THE_WAY: _tr("on the way"),
        Whereabouts.THERE: _tr("on the route"),
        Whereabouts.SAFE: _tr("safe home"),
        Whereabouts.DONE: _tr("done"),
        Whereabouts.NOT_KEPT: _tr("no check-in kept"),
    }[where]


def whereabouts_mark(where: Whereabouts) -> Severity | None:
    """Return the mark of a state; None: the tick of those safe home, and of what is done."""
    return {
        Whereabouts.OVERDUE: Severity.BROKEN,
        Whereabouts.UNHEARD: Severity.DOUBT,
        Whereabouts.SAFE: None,
        Whereabouts.DONE: None,
    }.get(where, Severity.NOTE)


def stage_word(stage: Stage) -> str:
    """Return what somebody rings in with."""
    return {Stage.LEFT: _tr("Left home"), Stage.ARRIVED: _tr("Arrived"), Stage.HOME: _tr("Safe home")}[stage]


def seen_word(seen: Seen) -> str:
    """Return a judgement as it is chosen from a list."""
    return {
        Seen.NONE: _tr("none"),
        Seen.SOME: _tr("some; not judged yet"),
        Seen.WITHIN: _tr("keeps to the rule"),
        Seen.BEYOND: _tr("does not keep to it"),
    }[seen]


def quantity_word(quantity: Quantity) -> str:
    """Return the name of what is judged on the evening."""
    return {
        Quantity.WIND: _tr("Wind"),
        Quantity.RAIN: _tr("Rain"),
        Quantity.FOG: _tr("Fog"),
        Quantity.SNOW: _tr("Snow"),
        Quantity.CLOUD: _tr("Cloud"),
        Quantity.AIR_TEMPERATURE: _tr("Air temperature"),
        Quantity.WATER_TEMPERATURE: _tr("Water temperature"),
        Quantity.NOISE: _tr("Noise"),
    }[quantity]


def short_limit(limit: WeatherLimit) -> str:
    """Return a limit without its name: 'at most 19 km/h', or the protocol's words where it has no figure."""
    where = f" ({limit.region})" if limit.region else ""
    if limit.at_most is not None:
        return _tr("at most %1").replace("%1", str(limit.at_most)) + where
    if limit.at_least is not None:
        return _tr("at least %1").replace("%1", str(limit.at_least)) + where
    return (limit.words or _tr("write it down")) + where


def what_word(outing: EveningOuting) -> str:
    """Return what an outing is for."""
    if not outing.counts:
        return _tr("set-up for visit %1").replace("%1", str(outing.key.number))
    words = _tr("set-up and visit %1") if outing.setup else _tr("visit %1")
    return words.replace("%1", str(outing.key.number))


def clock(moment: dt.datetime | None, zone: dt.tzinfo) -> str:
    """Return a moment's time of day in the season's zone; a dash where there is none."""
    return f"{moment.astimezone(zone):%H:%M}" if moment is not None else "–"


def short_day(day: dt.date) -> str:
    """Return a date as it is said beside others: 'Fri 4 Jun'."""
    return QLocale().toString(QDate(day.year, day.month, day.day), _tr("ddd d MMM"))


def long_day(day: dt.date) -> str:
    """Return a date as a heading says it: 'Friday 4 June 2027'."""
    return QLocale().toString(QDate(day.year, day.month, day.day), _tr("dddd d MMMM yyyy"))
