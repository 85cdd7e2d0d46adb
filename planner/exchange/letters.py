"""Letters that no text of a season may hold, and those that make it read as something else."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator

LETTERS_WANTED = "text without control characters"
_NONE = {"Cc", "Cs"}
"""Unicode's categories of control characters and of halves of letters."""
_UNSEEN = "Cf"
"""Unicode's category of letters that are not seen themselves: blanks without width, and turns of the direction in
which the others are shown (Unicode Standard Annex 9, published by Unicode)."""


def unkept_letter(text: str) -> str:
    """Return the first letter of a text that cannot be kept, shown or printed, such as U+0007; empty without one.

    Blanks of every kind may stand: readers make single spaces of them.
    """
    if text.isprintable():
        return ""
    return _first(one for one in text if unicodedata.category(one) in _NONE and not one.isspace())


def unseen_letter(text: str) -> str:
    """Return the first letter of a text that is not seen, such as U+200B; empty where there is none."""
    return "" if text.isprintable() else _first(one for one in text if unicodedata.category(one) == _UNSEEN)


def _first(letters: Iterator[str]) -> str:
    bad = next(letters, "")
    return f"U+{ord(bad):04X}" if bad else ""
