"""Text in tables that a spreadsheet would take for a formula, written so that it is none, and read back as it was."""

from __future__ import annotations

import re

_LIKE_FORMULA = re.compile(r"'*[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20]")
"""What spreadsheets begin formulas with, also in the wide letters of East Asian keyboards: OWASP, CSV injection."""


def guarded(text: str) -> str:
    """Return text for a cell: with an apostrophe before it where a spreadsheet would calculate it.

    Text that begins with apostrophes and such a sign gets one more, so that :func:`unguarded` loses nothing.
    """
    return f"'{text}" if _LIKE_FORMULA.match(text) else text


def unguarded(text: str) -> str:
    """Return the text that :func:`guarded` was given; any other text as it stands."""
    return text[1:] if text.startswith("'") and _LIKE_FORMULA.match(text) else text
