"""Programmes to measure planning on: read from compact files, or generated from a seed in the same manner.

A programme is a season without dates or names. The generator's shares and sizes are invented, and set so that lists of
leads, free evenings and workload limits look like those of programmes kept as files.
"""

from __future__ import annotations

import gzip
import json
import math
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from planner.scheduling.engine.instance import (
    GapRule,
    Instance,
    IntArray,
    Room,
    RouteCase,
    SetupCase,
    VisitCase,
    day_range,
)
from planner.scheduling.problem import BoolArray, FloatArray

Near = tuple[IntArray, FloatArray]
"""Volunteers, and their one-way drive minutes."""

_DAYS, _GAP_DAYS, _SETUP_DAYS, _RANGE_DAYS = 56, 10, 7, 20
_STARTS = (0, 4, 8)
_STEP = {2: 18, 3: 13}
"""Days from the beginning of one visit's range to that of the next, by the number of visits."""

_LISTED = 15
"""At most so many leads, and so many seconds, stand for a route: those with the shortest drives."""

_LIMITS, _LIMIT_SHARES = (1, 2, 3, 4, 6), (0.10, 0.28, 0.28, 0.20, 0.14)
_DRIVE_LIMITS, _DRIVE_SHARES = (30, 45, 60, 90), (0.26, 0.36, 0.23, 0.15)
_TRAINED, _EQUIPPED, _NEEDS = 0.85, 0.35, 0.20
"""Shares of volunteers who may lead, of volunteers who have what some routes need, and of those routes."""

_AT_HOME = 0.26
"""Share of volunteers whose weekdays are as free as their weekends."""

_GIVEN = {"home": (0.80, 0.90, 0.90), "weekend": (0.79, 0.885, 0.76), "weekday": (0.345, 0.63, 0.26)}
"""Chance that a day is given at all, then that its evening and that its daylight are."""

_AWAY, _AWAY_DAYS = 0.30, (5, 15)
"""Share of volunteers who take a holiday, and its days."""


@dataclass(frozen=True, slots=True, eq=False)
class RouteLine:
    """One route of a programme."""

    visits: tuple[tuple[int, int, int], ...]
    """First day, last day and people of each."""
    leads: Near
    seconds: Near


@dataclass(frozen=True, slots=True, eq=False)
class Programme:
    """Volunteers and routes of a season; days count from its first."""

    days: int
    gap_days: int
    setup_days_before: int
    limit: IntArray
    """Visits each volunteer takes at most, shape (volunteers,)."""
    twilight: BoolArray
    """Evenings given, shape (volunteers, days)."""
    daylight: BoolArray
    routes: tuple[RouteLine, ...]

    def figures(self) -> dict[str, float]:
        """Return what programmes of one kind have in common, so that they can be compared."""
        leads = [len(route.leads[0]) for route in self.routes]
        drives = np.concatenate([route.leads[1] for route in self.routes]) if self.routes else np.zeros(0)
        asked = sum(people for route in self.routes for _, _, people in route.visits)
        return {
            "volunteers": len(self.limit),
            "visits": sum(len(route.visits) for route in self.routes),
            "leads_a_route": round(float(np.mean(leads or [0])), 2),
            "leads_in_full_share": _share(count == _LISTED for count in leads),
            "drive_minutes_of_a_lead": round(float(np.median(drives)) if len(drives) else 0.0, 1),
            "evenings_a_volunteer": round(float(self.twilight.sum(axis=1).mean()), 1),
            "daylight_days_a_volunteer": round(float(self.daylight.sum(axis=1).mean()), 1),
            "limits_a_person_asked": round(float(self.limit.sum()) / max(asked, 1), 3),
            "routes_for_two_share": _share(r.visits[0][2] == 2 for r in self.routes),
            "routes_of_three_visits_share": _share(len(r.visits) == 3 for r in self.routes),
        }


def _share(holds: Iterable[bool]) -> float:
    every = list(holds)
    return round(sum(every) / max(len(every), 1), 3)


def read_programme(file: Path) -> Programme:
    """Read a programme.

    Args:
        file: gzipped JSON with ``days``, ``gap_days``, ``setup_days_before``, ``volunteers`` (``limit``; ``twilight``
            and ``daylight`` as strings of 0 and 1, a digit a day) and ``routes`` (``visits`` with ``first_day``,
            ``last_day`` and ``people``; ``leads`` and ``seconds`` as pairs of volunteer and one-way drive minutes).
    """
    with gzip.open(file, "rt", encoding="utf-8") as stream:
        given = json.load(stream)
    people = given["volunteers"]
    twilight, daylight = (np.array([[c == "1" for c in one[part]] for one in people]) for part in _PARTS)
    return Programme(
        given["days"],
        given["gap_days"],
        given["setup_days_before"],
        np.array([one["limit"] for one in people], dtype=np.int64),
        twilight,
        daylight,
        tuple(_read_route(one) for one in given["routes"]),
    )


_PARTS = ("twilight", "daylight")


def _read_route(given: dict[str, Any]) -> RouteLine:
    visits = tuple((one["first_day"], one["last_day"], one["people"]) for one in given["visits"])
    tables = [np.array(given[kind], dtype=np.float64).reshape(-1, 2) for kind in ("leads", "seconds")]
    leads, seconds = ((table[:, 0].astype(np.int64), table[:, 1]) for table in tables)
    return RouteLine(visits, leads, seconds)


def generate(routes: int, tight: float, seed: int, volunteers: int | None = None) -> Programme:
    """Make up a programme: volunteers round towns, weekends freer than weekdays, holidays.

    Args:
        routes: how many.
        tight: workload limits are multiplied by it, and rounded; everybody keeps at least one visit.
        seed: the same seed gives the same programme.
        volunteers: how many; None: 1.2 for each route.
    """
    rng = np.random.default_rng(seed)
    count = round(1.2 * routes) if volunteers is None else volunteers
    limit = np.maximum(np.round(rng.choice(_LIMITS, size=count, p=_LIMIT_SHARES) * tight), 1).astype(np.int64)
    twilight, daylight = _given_days(rng, count)
    lines = _Neighbourhood.settle(rng, routes, count).routes(rng)
    return Programme(_DAYS, _GAP_DAYS, _SETUP_DAYS, limit, twilight, daylight, lines)


def _given_days(rng: np.random.Generator, count: int) -> tuple[BoolArray, BoolArray]:
    """Return the evenings and the daylight days that volunteers give."""
    at_home = rng.random(count) < _AT_HOME
    weekend = np.arange(_DAYS) % 7 >= 5
    kinds = np.where(at_home[:, None], 0, np.where(weekend[None, :], 1, 2))
    day, evening, light = np.moveaxis(np.array(list(_GIVEN.values()))[kinds], -1, 0)
    begins = rng.integers(0, _DAYS, size=count)
    lasts = np.where(rng.random(count) < _AWAY, rng.integers(*_AWAY_DAYS, size=count), 0)
    since = np.arange(_DAYS)[None, :] - begins[:, None]
    given = (rng.random(kinds.shape) < day) & ~((since >= 0) & (since < lasts[:, None]))
    return given & (rng.random(kinds.shape) < evening), given & (rng.random(kinds.shape) < light)


@dataclass(frozen=True, slots=True, eq=False)
class _Neighbourhood:
    """Where people live and where routes lie, in minutes of driving as the crow flies."""

    homes: FloatArray
    starts: FloatArray
    reach: FloatArray
    may_lead: BoolArray
    equipped: BoolArray

    @classmethod
    def settle(cls, rng: np.random.Generator, routes: int, volunteers: int) -> _Neighbourhood:
        """Lay out towns of unequal size, homes round them, and routes over all the land."""
        side = 33.0 * math.sqrt(max(routes, 1))
        towns = rng.random((max(3, routes // 16), 2)) * side
        shares = rng.random(len(towns)) + 0.25
        around = rng.choice(len(towns), size=volunteers, p=shares / shares.sum())
        homes = towns[around] + rng.normal(0.0, 10.0, size=(volunteers, 2))
        return cls(
            homes,
            np.clip(towns[rng.choice(len(towns), size=routes)] + rng.normal(0.0, 36.0, size=(routes, 2)), 0.0, side),
            rng.choice(_DRIVE_LIMITS, size=volunteers, p=_DRIVE_SHARES).astype(np.float64),
            rng.random(volunteers) < _TRAINED,
            rng.random(volunteers) < _EQUIPPED,
        )

    def routes(self, rng: np.random.Generator) -> tuple[RouteLine, ...]:
        """Return the routes with those who may lead and second them."""
        return tuple(self._route(rng, start) for start in self.starts)

    def _route(self, rng: np.random.Generator, start: npt.NDArray[np.float64]) -> RouteLine:
        three, two, needs = rng.random(3) < (0.15, 0.20, _NEEDS)
        visits, people, first = 3 if three else 2, 2 if two else 1, int(rng.choice(_STARTS))
        begins = [first + _STEP[visits] * number for number in range(visits)]
        minutes = np.round(3.0 + np.hypot(*(self.homes - start).T))
        near = minutes <= self.reach
        leads = near & self.may_lead & (self.equipped if needs else True)
        return RouteLine(
            tuple((begin, begin + _RANGE_DAYS - 1, people) for begin in begins),
            _nearest(minutes, leads),
            _nearest(minutes, near if two else np.zeros_like(near)),
        )


def _nearest(minutes: FloatArray, able: BoolArray) -> Near:
    found = np.flatnonzero(able)
    found = found[np.argsort(minutes[found], kind="stable")][:_LISTED]
    return found, minutes[found]


def instance_of(programme: Programme) -> Instance:
    """Return a programme as the search takes it."""
    count = len(programme.limit)
    room = Room(np.zeros((count, programme.days), dtype=np.bool_), programme.limit, np.zeros(count, dtype=np.int64))
    return Instance(programme.days, tuple(_route_case(programme, route) for route in programme.routes), room)


def read_instance(file: Path) -> Instance:
    """Read a programme as the search takes it."""
    return instance_of(read_programme(file))


def _route_case(programme: Programme, route: RouteLine) -> RouteCase:
    (leads, lead_drive), (seconds, second_drive) = route.leads, route.seconds
    daylight = programme.daylight[leads]
    return RouteCase(
        leads=leads,
        lead_drive=lead_drive,
        seconds=seconds,
        second_drive=second_drive,
        pairs=leads[:, None] != seconds[None, :],
        visits=tuple(_visit_case(programme, route, visit) for visit in route.visits),
        setup=SetupCase(programme.setup_days_before, daylight, daylight[None]),
    )


def _visit_case(programme: Programme, route: RouteLine, visit: tuple[int, int, int]) -> VisitCase:
    first, last, people = visit
    inside = day_range(first, last, programme.days)
    lead_days, second_days = (programme.twilight[who][None] & inside for who in (route.leads[0], route.seconds[0]))
    gap = GapRule(programme.gap_days, None, programme.gap_days)
    return VisitCase(people, first, lead_days, second_days, inside, inside, gap)
