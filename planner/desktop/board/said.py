"""The words of the board: dates, visits and statuses as a person reads or hears them."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping

from PySide6.QtCore import QCoreApplication

from planner.desktop.board.lines import Entry, Line, Part
from planner.domain.finding import Severity
from planner.domain.plan import PlannedVisit, Status
from planner.domain.season import Season

_PLACE = re.compile(r"%([1-9])")
_PERSON = re.compile(r"(?<!route )\b(?=\w*\d)(?=\w*[^\W\d])\w+\b(?! visit)")
"""What may be a person's code in a sentence: letters and digits, and not a route's."""

Names = Mapping[str, str]
"""What people are called, by their codes."""


def tr(text: str, *values: object) -> str:
    """Return a text of the board in the language of the window, ``%1`` and so on replaced by values."""
    said = QCoreApplication.translate("board", text)
    return _PLACE.sub(lambda place: str(values[int(place[1]) - 1]), said) if values else said


def day_said(day: dt.date) -> str:
    """Return a date as it is said: 'Fri 14 May'."""
    return f"{day:%a} {day.day} {day:%b}"


def status_said(visit: PlannedVisit) -> str:
    """Return where a visit stands, in a word or two."""
    word = {Status.PLANNED: tr("planned"), Status.CONFIRMED: tr("confirmed"), Status.DONE: tr("done")}[visit.status]
    return tr("%1, pinned", word) if visit.pinned else word


def severity_said(severity: Severity) -> str:
    """Return a severity in a word."""
    return {
        Severity.BROKEN: tr("broken"),
        Severity.TROUBLE: tr("trouble"),
        Severity.DOUBT: tr("doubt"),
        Severity.NOTE: tr("note"),
    }[severity]


def names_of(season: Season) -> Names:
    """Return what the volunteers of a season are called."""
    return {one.code: one.name for one in season.volunteers}


def person_said(code: str, names: Names) -> str:
    """Return a code with the person's name: 'V01 Ada Fenwright'; the code alone where the name is not known."""
    return f"{code} {names.get(code, '')}".rstrip()


def named(sentence: str, names: Names) -> str:
    """Return a sentence of the checks with people's names beside their codes."""
    return _PERSON.sub(lambda code: person_said(code[0], names), sentence)


def entry_said(entry: Entry, names: Names) -> str:
    """Return what stands on a date: 'R01 visit 1, lead V01 Ada Fenwright, planned'."""
    visit = entry.visit
    name = tr("%1 visit %2", visit.key.route, visit.key.number)
    if entry.part is Part.RESERVE:
        return tr("reserve date of %1, %2", name, people_said(visit, names))
    if entry.part is Part.SETUP:
        return tr("set-up day for %1, %2", name, person_said(visit.lead, names))
    return f"{name}, {people_said(visit, names)}, {status_said(visit)}"


def people_said(visit: PlannedVisit, names: Names) -> str:
    """Return who goes, with codes and names."""
    lead = tr("lead %1", person_said(visit.lead, names))
    return f"{lead}, {tr('second %1', person_said(visit.second, names))}" if visit.second else lead


def cell_said(line: Line, day: dt.date, why: str, names: Names) -> str:
    """Return everything that the board shows on one date of one route.

    Args:
        line: the route's line.
        day: the date.
        why: the reason why some route cannot be counted on that date; it is told where this is such a route.
        names: of the people.
    """
    said = [entry_said(entry, names) for entry in line.on(day)]
    marks = dict(line.marks)
    said += [
        tr("%1 on visit %2", severity_said(marks[number]), number)
        for number in dict.fromkeys(entry.visit.key.number for entry in line.on(day))
        if number in marks
    ]
    may = [number for number, dates in enumerate(line.ranges, start=1) if day in dates]
    if not said and may:
        numbers = ", ".join(map(str, may))
        unfilled = set(may) & set(line.unfilled)
        if unfilled:
            said.append(tr("visit %1 may lie here; it is unfilled", numbers))
        else:
            said.append(tr("visit %1 may lie here", numbers))
    if day in line.without:
        said.append(tr("no light window: %1", why) if why else tr("no light window"))
    return "; ".join(said) or tr("nothing here")


def minutes_said(minutes: float) -> str:
    """Return whole minutes with their sign: '+12 min', '−3 min', '0 min'."""
    whole = round(minutes)
    sign = "+" if whole > 0 else "−" if whole < 0 else ""
    return tr("%1 min", f"{sign}{abs(whole)}")
