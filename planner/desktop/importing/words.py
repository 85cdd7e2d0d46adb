"""What is said of files that are brought in."""

from __future__ import annotations

import re
from collections.abc import Sequence

from PySide6.QtCore import QCoreApplication

from planner.domain.errors import Fault
from planner.usecases.import_differences import Change


def tr(text: str, *values: object) -> str:
    """Return a text in the person's language, with %1, %2 … filled in."""
    said = QCoreApplication.translate("importing", text)
    return re.sub(r"%(\d)", lambda place: str(values[int(place[1]) - 1]), said) if values else said


def few(lines: Sequence[str], most: int) -> str:
    """Return the first lines, and how many more there are, so that a window keeps its size."""
    rest = len(lines) - most
    shown = [*lines[:most], *([tr("and %1 more", rest)] if rest > 0 else [])]
    return "\n".join(shown)


def change_words(change: Change) -> str:
    """Return what happens to something, in a word."""
    return {
        Change.NEW: tr("new"),
        Change.CHANGED: tr("changed"),
        Change.SAME: tr("as before"),
        Change.REFUSED: tr("not taken"),
    }[change]


def fault_line(fault: Fault) -> str:
    """Return a fault in a line: of a file as a whole what it is and what to do, of a place what is wrong there."""
    return _capital(f"{fault.found}. {fault.todo}") if not fault.where else _found_words(fault)


def fault_words(fault: Fault) -> str:
    """Return a fault in full, without its file."""
    said = f"{_found_words(fault)}. {fault.todo}"
    return f"{fault.where}: {said}" if fault.where else _capital(said)


def _found_words(fault: Fault) -> str:
    return tr("expected %1, found %2", fault.expected, fault.found)


def _capital(said: str) -> str:
    return f"{said[:1].upper()}{said[1:]}"
