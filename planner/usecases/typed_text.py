"""Texts that somebody typed, as they can stand on paper, in files that go out and on the terminal."""

from __future__ import annotations

from planner.domain.errors import RuleError
from planner.exchange import unkept_letter


def one_line(text: str, what: str) -> str:
    """Return a text with single spaces and no line ends.

    Args:
        text: as it was typed.
        what: it is, such as 'the name of a route', for the message.

    Raises:
        RuleError: it has control characters.
    """
    return " ".join(without_control(text, what).split())


def without_control(text: str, what: str) -> str:
    """Return a text of one or more lines without the blanks round it.

    Raises:
        RuleError: it has control characters other than line ends and tabs.
    """
    bad = unkept_letter(text)
    if bad:
        raise RuleError(f"{what}: no control characters are kept, found {bad}; write it anew")
    return text.strip()
