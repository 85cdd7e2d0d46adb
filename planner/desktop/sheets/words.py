"""What is said of sheets on the screen."""

from __future__ import annotations

import re

from PySide6.QtCore import QCoreApplication


def tr(text: str, *values: object) -> str:
    """Return a text in the person's language, with %1, %2 … filled in."""
    said = QCoreApplication.translate("sheets", text)
    return re.sub(r"%(\d)", lambda place: str(values[int(place[1]) - 1]), said) if values else said
