"""What the Reports room says."""

from __future__ import annotations

import datetime as dt
import re

from PySide6.QtCore import QCoreApplication, QLocale

from planner.desktop.units import Units
from planner.domain.reports.hours import DistanceSource
from planner.domain.reports.progress import VisitStanding, VisitState


def tr(text: str, *values: object) -> str:
    """Return a text in the person's language, with %1, %2 … filled in."""
    said = QCoreApplication.translate("reports", text)
    return re.sub(r"%(\d)", lambda place: str(values[int(place[1]) - 1]), said) if values else said


def state_words(state: VisitState) -> str:
    """Return where a visit stands."""
    return {
        VisitState.UNFILLED: tr("nobody planned"),
        VisitState.PLANNED: tr("planned"),
        VisitState.CONFIRMED: tr("confirmed"),
        VisitState.UNRECORDED: tr("date passed, no finished record"),
        VisitState.PARTLY: tr("partly done"),
        VisitState.DONE: tr("done"),
    }[state]


def standing_words(one: VisitStanding) -> str:
    """Return where a visit stands; of one whose draft waits, what the draft lacks."""
    if not one.draft_lacks:
        return tr("date passed, no record") if one.state is VisitState.UNRECORDED else state_words(one.state)
    return tr("date passed, draft waits; it lacks: %1", one.draft_lacks)


def source_words(source: DistanceSource) -> str:
    """Return where kilometres come from."""
    return {
        DistanceSource.RECORDED: tr("the car's counter"),
        DistanceSource.ROADS: tr("the road map"),
        DistanceSource.ESTIMATE: tr("an estimate"),
    }[source]


def day_words(day: dt.date | None) -> str:
    """Return 'Fri 4 Jun'; nothing for no date."""
    if day is None:
        return ""
    locale = QLocale()
    weekday = locale.dayName(day.isoweekday(), QLocale.FormatType.ShortFormat)
    return f"{weekday} {day.day} {locale.monthName(day.month, QLocale.FormatType.ShortFormat)}"


def month_words(month: dt.date) -> str:
    """Return 'May 2027'."""
    return f"{QLocale().monthName(month.month)} {month.year}"


def km_words(km: float, units: Units) -> str:
    """Return a distance in the person's units."""
    return units.length(km * 1000.0)
