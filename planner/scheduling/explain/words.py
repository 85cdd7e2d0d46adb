"""The words of explanations."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

_OUTINGS = {"dusk": "evening", "dawn": "morning", "daylight": "daytime"}


def date_words(day: dt.date) -> str:
    """Return a date as it is said: 'Tue 8 Jun'."""
    return f"{day:%a} {day.day} {day:%b}"


def outing_words(part: str) -> str:
    """Return what a part of the day is called when somebody gives it: 'evening'."""
    return _OUTINGS[part]


def listed(words: Sequence[str]) -> str:
    """Return words in a row: 'a, b and c'."""
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else "".join(words)


def counted(number: int, one: str, more: str) -> str:
    """Return a number with its word: '1 lives', '3 live'."""
    return f"{number} {one if number == 1 else more}"


def sentence(clauses: Sequence[str]) -> str:
    """Return one sentence of clauses that hold together: 'A gives …, and B takes ….'."""
    said = ", and ".join(clauses)
    return f"{said[:1].upper()}{said[1:]}."
