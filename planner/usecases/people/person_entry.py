"""What a person types about a volunteer, read field by field; every fault is told with its field."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, replace
from enum import StrEnum

from planner.domain.errors import Fault, InputError, RuleError
from planner.domain.season import Season
from planner.domain.volunteer import Volunteer
from planner.exchange import CoordinateError, parse_pair
from planner.exchange.table_files.volunteer_tables import MOST_VISITS, USUAL_DRIVE_LIMIT_MINUTES, USUAL_VISITS_LIMIT


class PersonField(StrEnum):
    """The fields of a volunteer that can be typed."""

    CODE = "code"
    NAME = "name"
    TELEPHONE = "telephone"
    EMAIL = "email"
    HOME = "home"
    DRIVE_LIMIT = "drive_limit"
    VISITS_LIMIT = "visits_limit"
    TRAINING = "training"
    VEHICLE = "vehicle"

    @property
    def words(self) -> str:
        """The field as it is said."""
        return self.value.replace("_", " ")


@dataclass(frozen=True, slots=True)
class PersonEntry:
    """A volunteer as typed: one text for each field, named as in :class:`PersonField`."""

    code: str = ""
    name: str = ""
    telephone: str = ""
    email: str = ""
    home: str = ""
    """Latitude and longitude, in any form that can be read in one way only."""
    drive_limit: str = f"{USUAL_DRIVE_LIMIT_MINUTES:g}"
    """Minutes one way."""
    visits_limit: str = f"{USUAL_VISITS_LIMIT}"
    training: str = ""
    """Several are parted by semicolons."""
    vehicle: str = "car"

    @classmethod
    def of(cls, person: Volunteer) -> PersonEntry:
        """Return a volunteer as it would be typed."""
        return cls(
            code=person.code,
            name=person.name,
            telephone=person.telephone,
            email=person.email,
            home=str(person.home),
            drive_limit=f"{person.drive_limit_minutes:g}",
            visits_limit=f"{person.visits_limit}",
            training="; ".join(sorted(person.training)),
            vehicle=person.vehicle,
        )

    def with_text(self, field: PersonField, text: str) -> PersonEntry:
        """Return the entry with one field typed anew."""
        return replace(self, **{field.value: text})


def free_code(season: Season) -> str:
    """Return a code that no volunteer has yet, in the manner of those there are: V35 after V34."""
    stems = [re.fullmatch(r"(\D*)(\d+)", one.code) for one in season.volunteers]
    numbered = [(match[1], match[2]) for match in stems if match]
    stem, width = (numbered[-1][0], len(numbered[-1][1])) if numbered else ("V", 2)
    number = max((int(digits) for letters, digits in numbered if letters == stem), default=0) + 1
    return f"{stem}{number:0{width}d}"


def read_entry(season: Season, entry: PersonEntry, before: Volunteer | None = None) -> Volunteer:
    """Return the volunteer that was typed.

    Args:
        season: where the code must be free.
        entry: the texts.
        before: the volunteer that is changed, whose dates are kept and whose home is kept to the last figure where
            its text stands as it was; None for somebody new.

    Raises:
        InputError: with the fault of every field that cannot be taken; ``where`` holds the field.
    """
    values: dict[str, object] = {}
    faults: list[Fault] = []
    for field in PersonField:
        try:
            values[_ATTRIBUTES.get(field, field.value)] = _READERS[field](getattr(entry, field.value).strip())
        except _RefusedError as refused:
            faults.append(_fault(field, refused))
    taken = {one.code for one in season.volunteers if before is None or one.code != before.code}
    if values.get("code") in taken:
        twice = _RefusedError("a code that nobody has yet", f"'{entry.code.strip()}'", "Choose another.")
        faults.append(_fault(PersonField.CODE, twice))
    if faults:
        raise InputError(*faults)
    if before is not None and entry.home.strip() == str(before.home):
        values["home"] = before.home
    availability = before.availability if before is not None else ()
    return Volunteer(**values, availability=availability)  # type: ignore[arg-type]  # each reader gives its field's type


def changed_fields(before: Volunteer, after: Volunteer) -> tuple[str, ...]:
    """Return the names of the fields in which two volunteers differ, as they are said."""
    words = {attribute: field.words for field, attribute in _ATTRIBUTES.items()}
    return tuple(
        words.get(one.name, one.name)
        for one in fields(Volunteer)
        if getattr(before, one.name) != getattr(after, one.name)
    )


class _RefusedError(RuleError):
    def __init__(self, expected: str, found: str, todo: str) -> None:
        self.expected, self.found, self.todo = expected, found, todo
        super().__init__(f"expected {expected}, found {found}. {todo}")


def _fault(field: PersonField, refused: _RefusedError) -> Fault:
    return Fault("volunteer", field.value, refused.expected, refused.found, refused.todo)


def _needed(what: str) -> Callable[[str], str]:
    def read(text: str) -> str:
        if not text:
            raise _RefusedError(what, "nothing", "Fill in the field.")
        return text

    return read


def _plain(text: str) -> str:
    return text


def _email(text: str) -> str:
    if text and not re.fullmatch(r"[^@\s]+@[^@\s]+", text):
        raise _RefusedError("an e-mail address", f"'{text}'", "Correct it or leave it empty.")
    return text


def _home(text: str) -> object:
    try:
        return parse_pair(text)
    except CoordinateError as error:
        todo = "Correct it." if text else "Fill in the field."
        raise _RefusedError(error.expected, error.found if text else "nothing", todo) from error


def _minutes(text: str) -> float:
    plain = text.replace(",", ".")
    value = float(plain) if re.fullmatch(r"\d+(\.\d+)?", plain) else math.nan
    if not value > 0:
        raise _RefusedError("minutes above 0", f"'{text}'" if text else "nothing", "Write a number alone, such as 45.")
    return value


def _visits(text: str) -> int:
    if not (re.fullmatch(r"[0-9]{1,9}", text) and int(text) <= MOST_VISITS):
        found = f"'{text}'" if text else "nothing"
        raise _RefusedError(f"a whole number from 0 to {MOST_VISITS}", found, "Write 0 for somebody who stays at home.")
    return int(text)


def _training(text: str) -> frozenset[str]:
    return frozenset(word for part in text.split(";") if (word := part.strip().casefold()))


def _vehicle(text: str) -> str:
    return text.casefold() or "car"


_ATTRIBUTES = {PersonField.DRIVE_LIMIT: "drive_limit_minutes"}
_READERS: Mapping[PersonField, Callable[[str], object]] = {
    PersonField.CODE: _needed("a code of the volunteer's own, such as V01"),
    PersonField.NAME: _needed("the volunteer's name"),
    PersonField.TELEPHONE: _plain,
    PersonField.EMAIL: _email,
    PersonField.HOME: _home,
    PersonField.DRIVE_LIMIT: _minutes,
    PersonField.VISITS_LIMIT: _visits,
    PersonField.TRAINING: _training,
    PersonField.VEHICLE: _vehicle,
}
