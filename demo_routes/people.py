"""Invented volunteers: who they are, where they live, and when they can come."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from island import XY


@dataclass(frozen=True, slots=True)
class Dates:
    """A row of availability: days from one date to another, on some weekdays, for some parts of the day."""

    first: date
    last: date
    weekdays: str
    parts: str


@dataclass(frozen=True, slots=True)
class Person:
    """What is invented about a volunteer before the house is found."""

    name: str
    settlement: str
    drive_limit_min: int
    visits_limit: int
    training: str
    vehicle: str
    dates: tuple[Dates, ...]


@dataclass(frozen=True, slots=True)
class Volunteer:
    """A volunteer with a code, a telephone number kept for fiction, and a house."""

    code: str
    person: Person
    telephone: str
    home: XY

    @property
    def email(self) -> str:
        """An address under example.org, which belongs to nobody (RFC 2606)."""
        plain = "".join(letter for letter in self.person.name.lower() if letter.isascii() and letter not in "'-")
        return ".".join(plain.split()) + "@example.org"


def settle(
    people: Sequence[Person], telephones: Sequence[str], houses: Callable[[str], Sequence[XY]]
) -> list[Volunteer]:
    """Give everyone a code, a number and the next free house of their town or village."""
    free = {name: iter(houses(name)) for name in dict.fromkeys(person.settlement for person in people)}
    return [
        Volunteer(f"V{number:02d}", person, telephone, next(free[person.settlement]))
        for number, (person, telephone) in enumerate(zip(people, telephones, strict=True), start=1)
    ]
