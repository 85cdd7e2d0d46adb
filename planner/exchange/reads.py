"""What the readers hand over: plain rows, each of which knows where it stood."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TypeAlias

from planner.domain.conditions import Condition
from planner.domain.geo import Place
from planner.domain.volunteer import Availability, Volunteer
from planner.exchange.table_files.grids import Grid


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a row stood."""

    source: str
    """The file, as the user named it."""
    where: str
    """Line, or line and element."""

    def __str__(self) -> str:
        """File and place in it."""
        return f"{self.source}, {self.where}"


@dataclass(frozen=True, slots=True)
class PointRow:
    """One point of one route."""

    origin: Origin
    route: str
    """Code of the route."""
    number: int
    place: Place
    note: str = ""


@dataclass(frozen=True, slots=True)
class RouteName:
    """A route's name, where a file of points carries one, and its area, where it says that too."""

    origin: Origin
    code: str
    name: str
    area: str = ""


@dataclass(frozen=True, slots=True)
class Track:
    """A line that somebody went or drew."""

    origin: Origin
    name: str
    places: tuple[Place, ...]
    times: tuple[float | None, ...] = ()
    """When somebody was at each place, seconds since 1970 (UTC); None: that cannot be read; empty: it is not said."""


@dataclass(frozen=True, slots=True)
class RouteRow:
    """What a table says of a route. None: the table has no such column, and what the season knows stays."""

    origin: Origin
    code: str
    name: str
    needs: frozenset[str] | None = None
    people: int | None = None
    lead: str | None = None
    area: str | None = None


@dataclass(frozen=True, slots=True)
class VolunteerRow:
    """One volunteer, without dates."""

    origin: Origin
    volunteer: Volunteer
    silent: frozenset[str] = frozenset()
    """Fields of the volunteer that the table has no column for: there the season's own value stays."""


@dataclass(frozen=True, slots=True)
class AvailabilityRow:
    """One line of a volunteer's dates."""

    origin: Origin
    volunteer: str
    """Code of the volunteer."""
    line: Availability


@dataclass(frozen=True, slots=True)
class RoutesRead:
    """Routes, points, or both, from one file."""

    source: str
    points: tuple[PointRow, ...] = ()
    routes: tuple[RouteRow, ...] = ()
    names: tuple[RouteName, ...] = ()
    tracks: tuple[Track, ...] = ()
    """Lines of the file; they are no part of the season, but points can be laid out along them."""
    notes: tuple[str, ...] = ()
    """What was read in a way the user should know of, or left out."""


@dataclass(frozen=True, slots=True)
class VolunteersRead:
    """Volunteers from one file."""

    source: str
    volunteers: tuple[VolunteerRow, ...]


@dataclass(frozen=True, slots=True)
class AvailabilityRead:
    """Dates of volunteers from one file."""

    source: str
    rows: tuple[AvailabilityRow, ...]


@dataclass(frozen=True, slots=True)
class EveningRow:
    """One past evening."""

    origin: Origin
    date: dt.date
    lost: bool
    """Whether weather took it."""


@dataclass(frozen=True, slots=True)
class EveningsRead:
    """Past evenings from one file."""

    source: str
    rows: tuple[EveningRow, ...]


@dataclass(frozen=True, slots=True)
class ChanceRow:
    """The chance of a lost evening in one half-month."""

    origin: Origin
    half_month: int
    """0 to 23."""
    chance: float
    """0 to 1."""
    persistence: float | None = None
    """0 to 1; None: the row says nothing of it."""


@dataclass(frozen=True, slots=True)
class ChancesRead:
    """Chances of lost evenings from one file."""

    source: str
    rows: tuple[ChanceRow, ...]


@dataclass(frozen=True, slots=True)
class ConditionsRow:
    """What one row says of an evening."""

    origin: Origin
    date: dt.date
    route: str
    """Code of the route; empty: every route."""
    known: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class ConditionsRead:
    """Conditions of evenings from one file."""

    source: str
    rows: tuple[ConditionsRow, ...]


@dataclass(frozen=True, slots=True)
class FieldRead:
    """Filled-in habitat sheets and visit records from one file, as tables: what they mean hangs on the season."""

    source: str
    tables: tuple[Grid, ...]


Read: TypeAlias = RoutesRead | VolunteersRead | AvailabilityRead | EveningsRead | ChancesRead
"""Whatever :func:`planner.exchange.merge.merge` takes."""
AnyRead: TypeAlias = Read | ConditionsRead | FieldRead
"""Whatever one file can hold."""
