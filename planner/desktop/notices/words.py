"""How news is spoken of on the screen."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QCoreApplication

from planner.domain.field.telling import News
from planner.domain.finding import Severity
from planner.usecases.sending.news import PersonNews

MARKS = {
    News.CANCELLED: Severity.BROKEN,
    News.CHANGED: Severity.TROUBLE,
    News.NEW: Severity.DOUBT,
    News.SAME: None,
}
"""The shape that stands beside the word; the most urgent first."""


def news_word(news: News) -> str:
    """Return what is new in a word or two, as the table shows it."""
    return {
        News.CANCELLED: _tr("cancelled"),
        News.CHANGED: _tr("changed"),
        News.NEW: _tr("new"),
        News.SAME: _tr("told"),
    }[news]


def news_sentence(news: News) -> str:
    """Return what it means."""
    return {
        News.CANCELLED: _tr("No outing of theirs is left, and they have not been told."),
        News.CHANGED: _tr("What they were told is no longer so."),
        News.NEW: _tr("They have an outing and have not been told of any."),
        News.SAME: _tr("They have been told how things stand."),
    }[news]


def standing(people: Iterable[PersonNews]) -> str:
    """Return how many must be told something, in a sentence."""
    kinds = [one.news for one in people]
    counts = {
        _tr("%1 to be told that no outing is left"): kinds.count(News.CANCELLED),
        _tr("%1 to be told of changes"): kinds.count(News.CHANGED),
        _tr("%1 not told of any outing yet"): kinds.count(News.NEW),
        _tr("%1 told how things stand"): kinds.count(News.SAME),
    }
    said = [words.replace("%1", str(count)) for words, count in counts.items() if count]
    return f"{'; '.join(said)}." if said else _tr("Nobody has an outing yet, so there is nothing to tell.")


def _tr(text: str) -> str:
    return QCoreApplication.translate("NoticesWords", text)
