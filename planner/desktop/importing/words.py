"""What is said of files that are brought in."""

from __future__ import annotations

import re
from collections.abc import Sequence

from PySide6.QtCore import QCoreApplication

from planner.domain.errors import Fault
from planner.exchange import Choices
from planner.usecases.importing.differences import Change

_LONGEST_WORD = 44
"""Letters of a word that is shown whole."""


def tr(text: str, *values: object) -> str:
    """Return a text in the person's language, with %1, %2 … filled in."""
    said = QCoreApplication.translate("importing", text)
    return re.sub(r"%(\d)", lambda place: str(values[int(place[1]) - 1]), said) if values else said


def few(lines: Sequence[str], most: int) -> str:
    """Return the first lines, and how many more there are, so that a window keeps its size."""
    rest = len(lines) - most
    shown = [*lines[:most], *([tr("and %1 more", rest)] if rest > 0 else [])]
    return "\n".join(shown)


def cut(text: str) -> str:
    """Return a text without words so long that no line has room for them: they come out of hostile files alone."""
    return re.sub(rf"\S{{{_LONGEST_WORD},}}", lambda found: f"{found[0][: _LONGEST_WORD - 1]}…", text)


def change_words(change: Change, count: int = 1) -> str:
    """Return what happens to one thing, or to so many, in few words."""
    waits = tr("waits until the faults are mended") if count == 1 else tr("wait until the faults are mended")
    return {
        Change.NEW: tr("new"),
        Change.CHANGED: tr("changed"),
        Change.SAME: tr("as before"),
        Change.REFUSED: waits,
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


def meaning_words(meaning: str) -> str:
    """Return what a column holds, in words; a meaning that has none here is said as it is named."""
    if not meaning:
        return tr("not used")
    return {
        "route": tr("code of the route"),
        "point": tr("number of the point"),
        "latitude": tr("latitude"),
        "longitude": tr("longitude"),
        "place": tr("both coordinates"),
        "easting": tr("easting, metres"),
        "northing": tr("northing, metres"),
        "utm_zone": tr("UTM zone"),
        "label": tr("name of the point"),
        "note": tr("note"),
        "code": tr("code"),
        "name": tr("name"),
        "telephone": tr("telephone"),
        "email": tr("e-mail"),
        "drive_limit_min": tr("drive limit, minutes"),
        "visits_limit": tr("most visits"),
        "training": tr("training"),
        "vehicle": tr("vehicle"),
        "needs": tr("what the route needs"),
        "people": tr("people needed"),
        "lead": tr("lead"),
        "area": tr("area"),
        "volunteer": tr("code of the volunteer"),
        "from": tr("first date"),
        "to": tr("last date"),
        "parts": tr("parts of the day"),
        "weekdays": tr("weekdays"),
    }.get(meaning, meaning.replace("_", " "))


def choices_words(choices: Choices) -> list[str]:
    """Return what a person decided about a file, each decision in words."""
    said = []
    if choices.swap:
        said.append(tr("latitude and longitude are swapped"))
    if choices.swap_at:
        said.append(tr("latitude and longitude are swapped in rows: %1", len(choices.swap_at)))
    if choices.leave_out:
        said.append(tr("rows left out: %1", len(choices.leave_out)))
    for meaning, heading in choices.columns.items():
        if heading:
            said.append(tr("the column %1 holds: %2", heading, meaning_words(meaning)))
        else:
            said.append(tr("no column holds: %1", meaning_words(meaning)))
    if choices.stops:
        said.append(tr("the stops of the track are its points"))
    if choices.number_by_order:
        said.append(tr("points are numbered as they stand"))
    for words, value in (
        (tr("route %1"), choices.route),
        (tr("UTM zone %1"), choices.utm_zone),
        (tr("sheet %1"), choices.sheet),
        (tr("letters coded as %1"), choices.encoding),
    ):
        if value:
            said.append(words.replace("%1", value))
    return said
