"""The words of the People room, as they are shown: weekdays, parts of the day, loads, uses of a date."""

from __future__ import annotations

import datetime as dt

from PySide6.QtCore import QCoreApplication

from planner.domain.finding import Severity
from planner.domain.window import PartOfDay
from planner.usecases.people.load import LoadWord
from planner.usecases.people.planned_dates import Duty, DutyKind
from planner.usecases.people.usable_dates import CellUse


def said(text: str, *values: object) -> str:
    """Return a translated text with its places %1, %2 … filled in."""
    for number, value in enumerate(values, start=1):
        text = text.replace(f"%{number}", str(value))
    return text


def weekday_names() -> tuple[str, ...]:
    """Return the weekdays in full, Monday first."""
    return (
        QCoreApplication.translate("people", "Monday"),
        QCoreApplication.translate("people", "Tuesday"),
        QCoreApplication.translate("people", "Wednesday"),
        QCoreApplication.translate("people", "Thursday"),
        QCoreApplication.translate("people", "Friday"),
        QCoreApplication.translate("people", "Saturday"),
        QCoreApplication.translate("people", "Sunday"),
    )


def short_weekdays() -> tuple[str, ...]:
    """Return the weekdays in short, Monday first."""
    return (
        QCoreApplication.translate("people", "Mon"),
        QCoreApplication.translate("people", "Tue"),
        QCoreApplication.translate("people", "Wed"),
        QCoreApplication.translate("people", "Thu"),
        QCoreApplication.translate("people", "Fri"),
        QCoreApplication.translate("people", "Sat"),
        QCoreApplication.translate("people", "Sun"),
    )


def brief_weekdays() -> tuple[str, ...]:
    """Return the weekdays in two letters, Monday first: for buttons whose name is said in full."""
    return (
        QCoreApplication.translate("people", "Mo"),
        QCoreApplication.translate("people", "Tu"),
        QCoreApplication.translate("people", "We"),
        QCoreApplication.translate("people", "Th"),
        QCoreApplication.translate("people", "Fr"),
        QCoreApplication.translate("people", "Sa"),
        QCoreApplication.translate("people", "Su"),
    )


def short_month(number: int) -> str:
    """Return a month in short, January is 1."""
    return (
        QCoreApplication.translate("people", "Jan"),
        QCoreApplication.translate("people", "Feb"),
        QCoreApplication.translate("people", "Mar"),
        QCoreApplication.translate("people", "Apr"),
        QCoreApplication.translate("people", "May"),
        QCoreApplication.translate("people", "Jun"),
        QCoreApplication.translate("people", "Jul"),
        QCoreApplication.translate("people", "Aug"),
        QCoreApplication.translate("people", "Sep"),
        QCoreApplication.translate("people", "Oct"),
        QCoreApplication.translate("people", "Nov"),
        QCoreApplication.translate("people", "Dec"),
    )[number - 1]


def day_words(day: dt.date) -> str:
    """Return a date as it is said: Tue 11 May."""
    return f"{short_weekdays()[day.weekday()]} {day.day} {short_month(day.month)}"


def part_name(part: PartOfDay) -> str:
    """Return a part of the day as it is said."""
    return {
        PartOfDay.DAWN: QCoreApplication.translate("people", "morning"),
        PartOfDay.DAYLIGHT: QCoreApplication.translate("people", "daytime"),
        PartOfDay.DUSK: QCoreApplication.translate("people", "evening"),
    }[part]


def severity_word(severity: Severity) -> str:
    """Return a severity in a word."""
    return {
        Severity.BROKEN: QCoreApplication.translate("people", "broken"),
        Severity.TROUBLE: QCoreApplication.translate("people", "trouble"),
        Severity.DOUBT: QCoreApplication.translate("people", "doubt"),
        Severity.NOTE: QCoreApplication.translate("people", "note"),
    }[severity]


def load_word(word: LoadWord) -> str:
    """Return how somebody's load stands, in one word or two."""
    return {
        LoadWord.STAYS: QCoreApplication.translate("people", "at home"),
        LoadWord.IDLE: QCoreApplication.translate("people", "not used"),
        LoadWord.LESS: QCoreApplication.translate("people", "little"),
        LoadWord.FAIR: QCoreApplication.translate("people", "fair"),
        LoadWord.MORE: QCoreApplication.translate("people", "much"),
        LoadWord.FULL: QCoreApplication.translate("people", "full"),
        LoadWord.BEYOND: QCoreApplication.translate("people", "beyond"),
    }[word]


def load_sentence(word: LoadWord) -> str:
    """Return what is meant by it."""
    return {
        LoadWord.STAYS: QCoreApplication.translate("people", "Offers no visits, and has none."),
        LoadWord.IDLE: QCoreApplication.translate("people", "Offers visits and has none."),
        LoadWord.LESS: QCoreApplication.translate("people", "Has at least a visit less than an even share."),
        LoadWord.FAIR: QCoreApplication.translate("people", "Has about an even share."),
        LoadWord.MORE: QCoreApplication.translate("people", "Has at least a visit more than an even share."),
        LoadWord.FULL: QCoreApplication.translate("people", "Has as many visits as were offered."),
        LoadWord.BEYOND: QCoreApplication.translate("people", "Has more visits than were offered."),
    }[word]


def use_sentence(use: CellUse, why: str = "") -> str:
    """Return what a part of a date is good for; ``why`` there is no window, where there is none."""
    if use is CellUse.DARK and why:
        return said(QCoreApplication.translate("people", "no window: %1"), why)
    return {
        CellUse.COUNTS: QCoreApplication.translate("people", "a visit is possible"),
        CellUse.SETUP: QCoreApplication.translate("people", "a set-up is possible"),
        CellUse.DARK: QCoreApplication.translate("people", "no window"),
        CellUse.NO_VISIT: QCoreApplication.translate("people", "in the dates of no visit"),
        CellUse.NO_ROUTE: QCoreApplication.translate("people", "no route within the drive limit"),
    }[use]


def duty_words(duty: Duty) -> str:
    """Return what is planned, in words: 'leads R05 visit 1'."""
    text = {
        (DutyKind.VISIT, True): QCoreApplication.translate("people", "leads %1 visit %2"),
        (DutyKind.VISIT, False): QCoreApplication.translate("people", "second on %1 visit %2"),
        (DutyKind.RESERVE, True): QCoreApplication.translate("people", "reserve date of %1 visit %2"),
        (DutyKind.RESERVE, False): QCoreApplication.translate("people", "reserve date of %1 visit %2"),
        (DutyKind.SETUP, True): QCoreApplication.translate("people", "sets up %1"),
        (DutyKind.SETUP, False): QCoreApplication.translate("people", "sets up %1"),
    }[duty.kind, duty.leads]
    return said(text, duty.key.route, duty.key.number)
