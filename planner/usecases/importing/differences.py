"""What files do to routes and volunteers, one by one and by name: new, changed in what, or as before."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar

from planner.domain.route import Route
from planner.domain.season import Season
from planner.domain.volunteer import Volunteer
from planner.usecases.wording import listed

_T = TypeVar("_T", Route, Volunteer)


class Change(StrEnum):
    """What happens to something that was read."""

    NEW = "new"
    CHANGED = "changed"
    SAME = "as before"
    REFUSED = "waits until the faults are mended"
    """It cannot be taken while there are faults, though it may have none itself."""


@dataclass(frozen=True, slots=True)
class Item:
    """One route or volunteer in a file."""

    code: str
    title: str
    """Code and name."""
    change: Change
    what: str = ""
    """What there is of it where it is new, what differs where it is changed; in words."""


def route_items(before: Season, after: Season | None, codes: Iterable[str]) -> Iterator[Item]:
    """Yield what happens to the routes of those codes; nothing is taken where there is no season afterwards."""
    old = {route.code: route for route in before.routes}
    new = {route.code: route for route in after.routes} if after is not None else {}
    for code in codes:
        route = new.get(code)
        if route is None:
            yield Item(code, code, Change.REFUSED)
        elif code not in old:
            yield Item(code, route.title, Change.NEW, _points_words(route))
        elif old[code] == route:
            yield Item(code, route.title, Change.SAME)
        else:
            yield Item(code, route.title, Change.CHANGED, _differs(_ROUTE_WORDS, old[code], route))


def volunteer_items(before: Season, after: Season | None, codes: Iterable[str]) -> Iterator[Item]:
    """Yield what happens to the volunteers of those codes; nothing is taken where there is no season afterwards."""
    old = {volunteer.code: volunteer for volunteer in before.volunteers}
    new = {volunteer.code: volunteer for volunteer in after.volunteers} if after is not None else {}
    for code in codes:
        volunteer = new.get(code)
        if volunteer is None:
            yield Item(code, code, Change.REFUSED)
            continue
        title = f"{code} {volunteer.name}"
        if code not in old:
            yield Item(code, title, Change.NEW, "" if volunteer.availability else "no dates yet")
        elif old[code] == volunteer:
            yield Item(code, title, Change.SAME)
        else:
            yield Item(code, title, Change.CHANGED, _differs(_VOLUNTEER_WORDS, old[code], volunteer))


_ROUTE_WORDS: Mapping[str, Callable[[Route], object]] = {
    "name": lambda route: route.name,
    "number of points": lambda route: len(route.points),
    "places of points": lambda route: [point.place for point in route.points],
    "notes on points": lambda route: [point.note for point in route.points],
    "how many go": lambda route: route.people,
    "needs": lambda route: route.needs,
    "lead": lambda route: route.lead,
    "area": lambda route: route.area,
}
_VOLUNTEER_WORDS: Mapping[str, Callable[[Volunteer], object]] = {
    "name": lambda one: one.name,
    "home": lambda one: one.home,
    "telephone": lambda one: one.telephone,
    "email": lambda one: one.email,
    "drive limit": lambda one: one.drive_limit_minutes,
    "visits limit": lambda one: one.visits_limit,
    "training": lambda one: one.training,
    "vehicle": lambda one: one.vehicle,
    "dates": lambda one: one.availability,
}


def _points_words(route: Route) -> str:
    count = len(route.points)
    return f"{count} point{'' if count == 1 else 's'}" if count else "no points yet"


def _differs(words: Mapping[str, Callable[[_T], object]], old: _T, new: _T) -> str:
    return listed(word for word, of in words.items() if of(old) != of(new))
