"""How a season is spoken of on the screen."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from PySide6.QtCore import QCoreApplication, QLocale

from planner.desktop.room import RoomName
from planner.desktop.rule_rooms import room_of
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.usecases.evening.who_is_out import OutOn
from planner.usecases.season_news import Next, Step


@dataclass(frozen=True, slots=True)
class StepWords:
    """A step to do next, as it is offered."""

    say: str
    """What is so, in a sentence."""
    button: str
    """What pressing the button does; empty where there is nothing to press."""
    room: RoomName
    subject: Subject


def step_words(step: Step) -> StepWords:
    """Return how a step is offered, and where it leads."""
    say, button, room = _SAID[step.what]
    many = _tr(say[1] if step.count == 1 else say[0]).replace("%1", str(step.count))
    words = many.replace("%2", day_words(step.date) if step.date is not None else "")
    subject = step.finding.subject if step.finding is not None else Subject(date=step.date)
    return StepWords(
        words, _tr(button) if button else "", room_of(step.finding.rule) if step.finding else room, subject
    )


def severity_word(severity: Severity) -> str:
    """Return a severity in a word."""
    return {
        Severity.BROKEN: _tr("broken"),
        Severity.TROUBLE: _tr("trouble"),
        Severity.DOUBT: _tr("doubt"),
        Severity.NOTE: _tr("note"),
    }[severity]


def said_of(finding: Finding) -> str:
    """Return what is so and what to do, in the words of the window where those of the finding are of commands."""
    todo = {
        Rule.SEASON_EMPTY: _tr("Drop their files on this window, or choose them."),
        Rule.SEASON_COORDINATOR: _tr("Give it in the form of the season."),
        Rule.ROADS_RECORDED: _tr("The Drives page of the Sheets room shows them before and after."),
    }.get(finding.rule, finding.todo)
    return f"{finding.what} {todo}".rstrip()


def day_words(day: dt.date) -> str:
    """Return a date as it is said: 'Fri 4 Jun'."""
    locale, short = QLocale(), QLocale.FormatType.ShortFormat
    return f"{locale.dayName(day.isoweekday(), short)} {day.day} {locale.monthName(day.month, short)}"


def long_day_words(day: dt.date) -> str:
    """Return a date in full: '4 June 2027'."""
    return f"{day.day} {QLocale().monthName(day.month)} {day.year}"


def out_words(day: dt.date, out: OutOn | None, window: str) -> str:
    """Return what a date holds, in a sentence: who is out, and the light window."""
    counts = [] if out is None else [(out.visits, _VISITS), (out.setups, _SETUPS), (out.reserves, _RESERVES)]
    said = [_tr(words[len(keys) == 1]).replace("%1", str(len(keys))) for keys, words in counts if keys]
    who = ", ".join(said) or _tr("nobody is out")
    return f"{day_words(day)}: {who}. {window}".rstrip()


def clock(minute: float) -> str:
    """Return a minute of the local clock after midnight as '22:04'."""
    whole = round(minute)
    return f"{whole // 60 % 24:02d}:{whole % 60:02d}"


def _tr(text: str) -> str:
    return QCoreApplication.translate("SeasonWords", text)


_VISITS = ("%1 visits", "1 visit")
_SETUPS = ("%1 set-up days", "1 set-up day")
_RESERVES = ("held back for %1 visits", "held back for 1 visit")

_SAID: dict[Next, tuple[tuple[str, str], str, RoomName]] = {
    Next.IMPORT_ROUTES: (
        ("There are no routes yet. Drop their files on this window, or choose them.",) * 2,
        "Bring files in …",
        RoomName.ROUTES,
    ),
    Next.IMPORT_PEOPLE: (
        ("There are no volunteers yet. Drop their files on this window, or choose them.",) * 2,
        "Bring files in …",
        RoomName.PEOPLE,
    ),
    Next.LOOK: (("The season is being looked through …",) * 2, "", RoomName.SEASON),
    Next.MEND: (
        ("The plan breaks %1 rules. Mend them first: nothing is printed before.",
         "The plan breaks a rule. Mend it first: nothing is printed before."),
        "Show the first",
        RoomName.BOARD,
    ),
    Next.TODAY: (
        ("%1 routes have somebody out today.", "One route has somebody out today."),
        "See who is out",
        RoomName.TODAY,
    ),
    Next.PLAN: (
        ("%1 visits wait to be planned.", "1 visit waits to be planned."),
        "Plan the season",
        RoomName.BOARD,
    ),
    Next.TROUBLES: (
        ("%1 troubles would leave visits unfilled. Look at them before the season is planned.",
         "One trouble would leave visits unfilled. Look at it before the season is planned."),
        "Show the first",
        RoomName.ROUTES,
    ),
    Next.FILL: (
        ("%1 visits are unfilled. The board says why, and what would fill them.",
         "1 visit is unfilled. The board says why, and what would fill it."),
        "Go to the board",
        RoomName.BOARD,
    ),
    Next.PRINT: (
        ("%1 volunteers wait for their itineraries.", "1 volunteer waits for an itinerary."),
        "Go to the papers",
        RoomName.PAPER,
    ),
    Next.REPRINT: (
        ("%1 volunteers hold papers that are no longer true.", "1 volunteer holds a paper that is no longer true."),
        "Go to the changed papers",
        RoomName.PAPER,
    ),
    Next.WAIT: (
        ("All is done. The next out: %1 teams on %2.", "All is done. The next out: 1 team on %2."),
        "Show that date",
        RoomName.TODAY,
    ),
    Next.OVER: (("The season is over.",) * 2, "See the board", RoomName.BOARD),
}  # fmt: skip
"""What is said of several and of one, the button, and the room it leads to."""
