"""The tables of volunteers and of the dates they have given."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

from planner.domain.volunteer import WEEKDAYS, Availability, Volunteer
from planner.domain.window import PartOfDay
from planner.exchange.faults import FaultList
from planner.exchange.reads import AvailabilityRead, AvailabilityRow, VolunteerRow, VolunteersRead
from planner.exchange.table_files.cells import Cells
from planner.exchange.table_files.column_words import VOLUNTEER_WORDS
from planner.exchange.table_files.layouts import Layout
from planner.exchange.table_files.places import Places
from planner.exchange.table_files.tables import Row, read_table

VOLUNTEERS = Layout(
    "a table of volunteers",
    ("code", "name", "latitude", "longitude"),
    ("telephone", "email", "drive_limit_min", "visits_limit", "training", "vehicle"),
    VOLUNTEER_WORDS,
    "volunteer",
)
AVAILABILITY = Layout("a table of availability", ("volunteer", "from", "to", "parts"), ("weekdays",))

PERSON_COLUMNS = frozenset(VOLUNTEERS.optional)
"""Columns that speak of people and of nothing else."""
USUAL_DRIVE_LIMIT_MINUTES = 45.0
"""Where the table says nothing: our assumption, no published source."""
USUAL_VISITS_LIMIT = 2
"""Where the table says nothing: our assumption, no published source."""
MOST_VISITS = 999

_FIELDS = {
    "telephone": "telephone",
    "email": "email",
    "drive_limit_min": "drive_limit_minutes",
    "visits_limit": "visits_limit",
    "training": "training",
    "vehicle": "vehicle",
}
"""The columns that a table may lack, and the volunteer's fields they fill."""

_PARTING = re.compile(r"[\s;,]+")
_PARTS = {part.value: part for part in PartOfDay}
_DAYS = {day.casefold(): number for number, day in enumerate(WEEKDAYS)}


def read_volunteers(path: Path) -> VolunteersRead:
    """Read a table of volunteers, one a row; several trainings in a cell are parted by semicolons.

    Raises:
        InputError: with every fault of the file.
    """
    faults = FaultList(path)
    read = volunteers_of(read_table(path, VOLUNTEERS, faults), faults, Places())
    faults.raise_any()
    return read


def volunteers_of(rows: Sequence[Row], faults: FaultList, places: Places) -> VolunteersRead:
    """Return the volunteers of some rows; what is wrong is noted among the faults."""
    volunteers = [volunteer for row in rows if (volunteer := _volunteer(Cells(row, faults, places)))]
    return VolunteersRead(faults.source, tuple(volunteers))


def read_availability(path: Path) -> AvailabilityRead:
    """Read a table of dates: volunteer, from, to, weekdays, parts.

    ``parts`` holds words of daylight, dusk, dawn, or none, which takes dates away; no weekdays means every day.

    Raises:
        InputError: with every fault of the file.
    """
    faults = FaultList(path)
    read = availability_of(read_table(path, AVAILABILITY, faults), faults)
    faults.raise_any()
    return read


def availability_of(rows: Sequence[Row], faults: FaultList) -> AvailabilityRead:
    """Return the dates of some rows; what is wrong is noted among the faults."""
    lines = [line for row in rows if (line := _line(Cells(row, faults)))]
    return AvailabilityRead(faults.source, tuple(lines))


def _volunteer(cells: Cells) -> VolunteerRow | None:
    code = cells.needed("code", "a code of the volunteer's own, such as V01")
    name = cells.needed("name", "the volunteer's name")
    home = cells.place()
    drive = cells.minutes("drive_limit_min", USUAL_DRIVE_LIMIT_MINUTES)
    visits = cells.whole("visits_limit", 0, MOST_VISITS, default=USUAL_VISITS_LIMIT)
    email = cells.text("email")
    if email and not re.fullmatch(r"[^@\s]+@[^@\s]+", email):
        cells.note("email", "an e-mail address", "Correct it or leave the cell empty.")
    if code is None or name is None or home is None or drive is None or visits is None or not cells.sound:
        return None
    volunteer = Volunteer(
        code=code,
        name=name,
        home=home,
        telephone=cells.text("telephone"),
        email=email,
        drive_limit_minutes=drive,
        visits_limit=visits,
        training=cells.words("training"),
        vehicle=cells.text("vehicle").casefold() or "car",
    )
    return VolunteerRow(cells.origin, volunteer, _silent(cells))


def _silent(cells: Cells) -> frozenset[str]:
    return frozenset(field for column, field in _FIELDS.items() if not cells.has(column))


def _line(cells: Cells) -> AvailabilityRow | None:
    code = cells.needed("volunteer", "the code of a volunteer, such as V01")
    dates = cells.dates("from", "to")
    weekdays = _weekdays(cells)
    parts = _parts(cells)
    if code is None or dates is None or weekdays is None or parts is None:
        return None
    return AvailabilityRow(cells.origin, code, Availability(dates, parts, weekdays))


def _weekdays(cells: Cells) -> frozenset[int] | None:
    words = _split(cells.text("weekdays"))
    if all(word in _DAYS for word in words):
        return frozenset(_DAYS[word] for word in words) or frozenset(range(7))
    cells.note("weekdays", f"days of {' '.join(WEEKDAYS)} parted by spaces, or nothing for every day", "Correct it.")
    return None


def _parts(cells: Cells) -> frozenset[PartOfDay] | None:
    words = _split(cells.text("parts"))
    if words == ["none"]:
        return frozenset()
    if words and all(word in _PARTS for word in words):
        return frozenset(_PARTS[word] for word in words)
    cells.note(
        "parts", f"words of {', '.join(_PARTS)}, or none", "Write one or more of them, or 'none' to take dates away."
    )
    return None


def _split(text: str) -> list[str]:
    return [word for word in _PARTING.split(text.casefold()) if word]
