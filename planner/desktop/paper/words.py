"""How papers are spoken of on the screen."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from PySide6.QtCore import QCoreApplication, QLocale

from planner.domain.finding import Severity
from planner.usecases.paper.papers import Papers, PaperState

MARKS = {
    PaperState.WITHDRAW: Severity.BROKEN,
    PaperState.CHANGED: Severity.TROUBLE,
    PaperState.NEVER: Severity.DOUBT,
    PaperState.UNSURE: Severity.NOTE,
    PaperState.BARRED: Severity.NOTE,
    PaperState.CURRENT: None,
    PaperState.DONE: None,
}
"""The shape that stands beside the word of each state."""


def state_word(state: PaperState) -> str:
    """Return a state in a word or two, as the table shows it."""
    return {
        PaperState.WITHDRAW: _tr("call back"),
        PaperState.CHANGED: _tr("changed since"),
        PaperState.NEVER: _tr("never printed"),
        PaperState.UNSURE: _tr("not known"),
        PaperState.BARRED: _tr("not compared"),
        PaperState.CURRENT: _tr("up to date"),
        PaperState.DONE: _tr("all done"),
    }[state]


def state_sentence(state: PaperState) -> str:
    """Return what a state means."""
    return {
        PaperState.WITHDRAW: _tr("They have paper and no outing any more: tell them to throw it away."),
        PaperState.CHANGED: _tr("Their paper says something else than the plan."),
        PaperState.NEVER: _tr("They have an outing and no paper."),
        PaperState.UNSURE: _tr(
            "They have paper, but an earlier version of the program printed it and did not keep what it says."
        ),
        PaperState.BARRED: _tr(
            "Their paper cannot be compared while the plan breaks a rule: first mend that, see the message below."
        ),
        PaperState.CURRENT: _tr("Their paper says what the plan says of all that is still to be done."),
        PaperState.DONE: _tr("All their visits are done: no paper is needed for them any more."),
    }[state]


def standing(papers: Papers) -> str:
    """Return how all papers stand, in one sentence."""
    counts = {state: len(papers.in_state(state)) for state in PaperState}
    said = [words.replace("%1", str(number)) for words, number in _counted(counts) if number]
    if not said:
        return _tr("Nobody has an outing yet, so there is no paper.")
    return f"{'; '.join(said)}."


def day_words(moment: dt.datetime, zone: dt.tzinfo) -> str:
    """Return the date of a moment as the table shows it: '25 Nov 2026'."""
    local = moment.astimezone(zone)
    return f"{local.day} {QLocale().monthName(local.month, QLocale.FormatType.ShortFormat)} {local.year}"


def moment_words(moment: dt.datetime, zone: dt.tzinfo) -> str:
    """Return a moment to the minute: '25 Nov 2026, 17:21'."""
    return f"{day_words(moment, zone)}, {moment.astimezone(zone):%H:%M}"


def _counted(counts: dict[PaperState, int]) -> Iterator[tuple[str, int]]:
    current, withdraw = counts[PaperState.CURRENT], counts[PaperState.WITHDRAW]
    changed, never, unsure = (counts[one] for one in (PaperState.CHANGED, PaperState.NEVER, PaperState.UNSURE))
    yield _tr("%1 papers to call back") if withdraw != 1 else _tr("1 paper to call back"), withdraw
    yield _tr("%1 changed since they were printed") if changed != 1 else _tr("1 changed since it was printed"), changed
    yield _tr("%1 never printed"), never
    yield _tr("%1 of which it is not known"), unsure
    yield _tr("%1 cannot be compared while the plan breaks a rule"), counts[PaperState.BARRED]
    yield _tr("%1 up to date"), current
    yield _tr("%1 needed no more, for all is done"), counts[PaperState.DONE]


def _tr(text: str) -> str:
    return QCoreApplication.translate("PaperWords", text)
