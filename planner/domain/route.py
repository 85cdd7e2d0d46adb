"""A route: a named string of points along roads."""

from __future__ import annotations

from dataclasses import dataclass, field

from planner.domain.calendar import DateRange
from planner.domain.errors import RuleError
from planner.domain.geo import Place


@dataclass(frozen=True, slots=True)
class Point:
    """A stop where a volunteer stands: habitat is estimated, then wildlife counted."""

    number: int
    place: Place
    note: str = ""

    def __post_init__(self) -> None:
        if self.number < 1:
            raise RuleError(f"points are numbered from 1, found {self.number}")


@dataclass(frozen=True, slots=True)
class Route:
    """A named string of points, in their order along the road."""

    code: str
    name: str
    points: tuple[Point, ...]
    people: int = 1
    """How many must go, where this route wants more than the protocol."""
    needs: frozenset[str] = field(default_factory=frozenset)
    """Vehicle or training that this route asks for, in the words of the volunteers' table."""
    lead: str = ""
    """Code of the volunteer who has already agreed to lead all its visits; empty where open."""
    visit_dates: tuple[tuple[int, DateRange], ...] = ()
    """Date ranges of this route's own, where they differ from the season's."""
    area: str = ""
    """The part of the survey that it is counted to, as the coordinator calls it; empty: none is said."""

    def __post_init__(self) -> None:
        if not self.code.strip():
            raise RuleError("a route needs a code")
        if self.people not in (1, 2):
            raise RuleError(f"route {self.code}: people is 1 or 2, found {self.people}")
        numbers = [point.number for point in self.points]
        if len(set(numbers)) != len(numbers):
            twice = sorted({number for number in numbers if numbers.count(number) > 1})
            raise RuleError(f"route {self.code}: point {twice[0]} appears twice; give each point its own number")

    @property
    def title(self) -> str:
        """Code and name, as it is called everywhere."""
        return f"{self.code} {self.name}".strip()

    def point(self, number: int) -> Point:
        """Return the point of that number; raises RuleError if there is none."""
        for point in self.points:
            if point.number == number:
                return point
        raise RuleError(f"route {self.code} has no point {number}")
