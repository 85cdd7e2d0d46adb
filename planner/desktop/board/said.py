"""The words of the board: dates, visits and statuses as a person reads or hears them."""

from __future__ import annotations

import datetime as dt

from PySide6.QtCore import QCoreApplication

from planner.desktop.board.lines import Entry, Line, Part
from planner.domain.finding import Severity
from planner.domain.plan import PlannedVisit, Status


def tr(text: str) -> str:
    """Return a text of the board in the language of the window."""
    return QCoreApplication.translate("board", text)


def day_said(day: dt.date) -> str:
    """Return a date as it is said: 'Fri 14 May'."""
    return f"{day:%a} {day.day} {day:%b}"


def status_said(visit: PlannedVisit) -> str:
    """Return where a visit stands, in a word or two."""
    word = {Status.PLANNED: tr("planned"), Status.CONFIRMED: tr("confirmed"), Status.DONE: tr("done")}[visit.status]
    return tr("{status}, pinned").format(status=word) if visit.pinned else word


def severity_said(severity: Severity) -> str:
    """Return a severity in a word."""
    return {
        Severity.BROKEN: tr("broken"),
        Severity.TROUBLE: tr("trouble"),
        Severity.DOUBT: tr("doubt"),
        Severity.NOTE: tr("note"),
    }[severity]


def entry_said(entry: Entry) -> str:
    """Return what stands on a date: 'R01 visit 1, lead V01, second V27, planned'."""
    visit = entry.visit
    name = tr("{route} visit {number}").format(route=visit.key.route, number=visit.key.number)
    if entry.part is Part.RESERVE:
        return tr("reserve date of {visit}, {people}").format(visit=name, people=people_said(visit))
    if entry.part is Part.SETUP:
        return tr("set-up day for {visit}, {person}").format(visit=name, person=visit.lead)
    return f"{name}, {people_said(visit)}, {status_said(visit)}"


def people_said(visit: PlannedVisit) -> str:
    """Return who goes: 'lead V01, second V27'."""
    lead = tr("lead {code}").format(code=visit.lead)
    return f"{lead}, {tr('second {code}').format(code=visit.second)}" if visit.second else lead


def cell_said(line: Line, day: dt.date, why: str) -> str:
    """Return everything that the board shows on one date of one route.

    Args:
        line: the route's line.
        day: the date.
        why: the reason why some route cannot be counted on that date; it is told where this is such a route.
    """
    said = [entry_said(entry) for entry in line.on(day)]
    marks = dict(line.marks)
    said += [
        tr("{severity} on visit {number}").format(severity=severity_said(marks[number]), number=number)
        for number in dict.fromkeys(entry.visit.key.number for entry in line.on(day))
        if number in marks
    ]
    may = [number for number, dates in enumerate(line.ranges, start=1) if day in dates]
    if not said and may:
        numbers = ", ".join(map(str, may))
        unfilled = set(may) & set(line.unfilled)
        open_words = (
            tr("visit {numbers} may lie here; it is unfilled") if unfilled else tr("visit {numbers} may lie here")
        )
        said.append(open_words.format(numbers=numbers))
    if day in line.without:
        said.append(tr("no light window: {why}").format(why=why) if why else tr("no light window"))
    return "; ".join(said) or tr("nothing here")


def minutes_said(minutes: float) -> str:
    """Return whole minutes with their sign: '+12 min', '−3 min', '0 min'."""
    whole = round(minutes)
    sign = "+" if whole > 0 else "−" if whole < 0 else ""
    return tr("{minutes} min").format(minutes=f"{sign}{abs(whole)}")
