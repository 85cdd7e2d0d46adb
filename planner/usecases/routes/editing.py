"""Change a route by hand: what it is called and asks for, its points, or the whole of it; each change one step."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from planner.domain.calendar import DateRange
from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.geo import Place
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.domain.protocol import Protocol
from planner.domain.route import Point, Route
from planner.domain.season import Season
from planner.store import Changed, SeasonFile
from planner.usecases.field_follows import follow_route, season_with_route
from planner.usecases.typed_text import one_line
from planner.usecases.wording import listed

MOST_POINTS = 999
"""Largest number of a point, as in the tables that are read."""
_CODE, _NAME, _AREA = "the code of a route", "the name of a route", "the area of a route"
_NOTE = "the note on a point"


@dataclass(frozen=True, slots=True)
class RouteWish:
    """What a route is called and asks for: all but its points."""

    code: str
    name: str
    people: int = 1
    needs: frozenset[str] = frozenset()
    lead: str = ""
    visit_dates: tuple[tuple[int, DateRange], ...] = ()
    area: str = ""

    @classmethod
    def of(cls, route: Route) -> RouteWish:
        """Return what a route is called and asks for as it stands."""
        return cls(route.code, route.name, route.people, route.needs, route.lead, route.visit_dates, route.area)


@dataclass(frozen=True, slots=True)
class RouteChanged:
    """What a change of a route came to."""

    label: str
    """The step as the history shows it."""
    before: Route | None
    """None: the route is new."""
    after: Route | None
    """None: the route is gone."""
    unplanned: tuple[PlannedVisit, ...] = ()
    """Visits that were taken out of the plan with it."""


def add_route(file: SeasonFile, code: str, name: str = "") -> RouteChanged:
    """Add a route without points.

    Raises:
        RuleError: the code is empty, or another route has it, be it in other capitals; or a text has control
            characters.
    """
    season = file.season()
    route = Route(_free_code(season, code), one_line(name, _NAME), ())
    return _put(file, f"New route {route.title}", None, route)


def drop_route(file: SeasonFile, code: str) -> RouteChanged:
    """Take a route out of the season, and its visits out of the plan.

    Raises:
        RuleError: there is no such route.
        ImpossibleError: a visit of it has been made: what was counted there would be on no route.
    """
    season, plan = file.season(), file.plan()
    route, visits = season.route(code), plan.of_route(code)
    made = [visit.key.number for visit in visits if visit.status is Status.DONE]
    if made:
        words = f"visit{'s' if len(made) > 1 else ''} {listed(made)}"
        raise ImpossibleError(f"Route {code} cannot be dropped.", f"Its {words} has been made and belongs to it.")
    planned = f" and {len(visits)} planned visit{'s' if len(visits) > 1 else ''}" if visits else ""
    label = f"Drop route {route.title}{planned}"
    with file.step(label):
        file.save_plan(Plan(tuple(visit for visit in plan if visit.key.route != code)))
        file.save_conditions([one for one in file.conditions() if one.route != code])
        file.save_check_ins([one for one in file.check_ins() if one.route != code])
        left = tuple(one for one in season.routes if one.code != code)
        file.save_season(replace(season_with_route(season, route, None), routes=left))
        follow_route(file, route, None)
    return RouteChanged(label, route, None, visits)


def change_route(file: SeasonFile, code: str, wish: RouteWish) -> RouteChanged:
    """Change what a route is called and asks for; a new code goes into the plan too.

    Raises:
        RuleError: there is no such route, the new code is empty or taken, a text has control characters, the lead is
            no volunteer of the season, or dates of its own lie outside the season or belong to a visit that there is
            not.
    """
    season = file.season()
    before = season.route(code)
    new_code = code if wish.code.strip() == code else _free_code(season, wish.code, own=code)
    if wish.lead:
        season.volunteer(wish.lead)
    after = replace(
        before,
        code=new_code,
        name=one_line(wish.name, _NAME),
        people=wish.people,
        needs=needs_spelt(wish.needs, season.protocol),
        lead=wish.lead,
        visit_dates=_own_dates(season, wish.visit_dates),
        area=one_line(wish.area, _AREA),
    )
    return _put(file, f"Route {before.code}: change {_what_changes(before, after)}", before, after)


def set_area(file: SeasonFile, codes: Collection[str], area: str) -> Changed:
    """Count some routes to an area, all of them as one step.

    Args:
        file: the season, open for writing.
        codes: of the routes.
        area: what the coordinator calls it; empty: to none.

    Raises:
        RuleError: there is no route of one of these codes.
    """
    season, area = file.season(), one_line(area, _AREA)
    wanted = {season.route(code).code for code in codes}
    routes = tuple(replace(one, area=area) if one.code in wanted else one for one in season.routes)
    which = f"Route {listed(sorted(wanted))}" if len(wanted) == 1 else f"{len(wanted)} routes"
    with file.step(f"{which}: {f'area {area}' if area else 'no area'}") as step:
        file.save_season(replace(season, routes=routes))
    return step.changed


def add_point(file: SeasonFile, code: str, place: Place, *, after: int | None = None, note: str = "") -> RouteChanged:
    """Add a point behind another one; those behind it get higher numbers where theirs is taken.

    Args:
        file: the season, open for writing.
        code: the route.
        place: where it stands.
        after: number of the point that it follows; 0: it becomes the first; None: it becomes the last.
        note: how to find it.

    Raises:
        RuleError: there is no such route or point, or another point of the route stands there.
    """
    route = file.season().route(code)
    at = _place_behind(route, after)
    number = route.points[at - 1].number + 1 if at else 1
    new = Point(number, place, one_line(note, _NOTE))
    points = _numbers_rising([*route.points[:at], new, *route.points[at:]], at)
    return set_points(file, code, points, f"new point {points[at].number}")


def change_point(
    file: SeasonFile,
    code: str,
    number: int,
    *,
    new_number: int | None = None,
    place: Place | None = None,
    note: str | None = None,
) -> RouteChanged:
    """Change what is given of a point; None leaves it as it stands. A new number is a new place in the order.

    Raises:
        RuleError: there is no such route or point, another point has the new number or stands at the new place.
    """
    route = file.season().route(code)
    old = route.point(number)
    new = Point(
        number=old.number if new_number is None else new_number,
        place=old.place if place is None else place,
        note=old.note if note is None else one_line(note, _NOTE),
    )
    points = [new if point is old else point for point in route.points]
    if new.number != old.number:
        points.sort(key=lambda point: point.number)
    return set_points(file, code, points, f"{_verb(old, new)} point {number}")


def shift_point(file: SeasonFile, code: str, number: int, by: int) -> RouteChanged:
    """Let a point change places, and numbers, with the one before it (-1) or behind it (1) in the order.

    Raises:
        RuleError: there is no such route or point, or the order ends there.
    """
    route = file.season().route(code)
    at = route.points.index(route.point(number))
    if not 0 <= at + by < len(route.points):
        raise RuleError(f"point {number} is the {'first' if by < 0 else 'last'} of route {code} already")
    points = list(route.points)
    one, other = points[at], points[at + by]
    points[at], points[at + by] = replace(other, number=one.number), replace(one, number=other.number)
    return set_points(file, code, points, f"count point {number} {'earlier' if by < 0 else 'later'}")


def drop_points(file: SeasonFile, code: str, numbers: Collection[int]) -> RouteChanged:
    """Take points off a route; the others keep their numbers, which may be marked on the ground.

    Raises:
        RuleError: there is no such route or point.
    """
    route = file.season().route(code)
    gone = [route.point(number).number for number in sorted(numbers)]
    points = [point for point in route.points if point.number not in numbers]
    return set_points(file, code, points, f"drop point{'s' if len(gone) > 1 else ''} {listed(gone)}")


def set_points(file: SeasonFile, code: str, points: Sequence[Point], label: str) -> RouteChanged:
    """Give a route those points, in that order, as one step named by the label.

    Raises:
        RuleError: there is no such route, a number appears twice or is too high, or two points stand at one place.
    """
    route = file.season().route(code)
    _refuse_one_place(code, points)
    highest = max((point.number for point in points), default=0)
    if highest > MOST_POINTS:
        raise RuleError(f"points are numbered up to {MOST_POINTS}, found {highest}")
    return _put(file, f"Route {code}: {label}", route, replace(route, points=tuple(points)))


def free_route_code(season: Season) -> str:
    """Return a code for the next new route, formed like that of the last one: R25 behind R24."""
    last = season.routes[-1].code if season.routes else ""
    stem = last.rstrip("0123456789")
    digits = last[len(stem) :]
    if not digits:
        stem, digits = stem or "R", "00"
    taken, number = {route.code for route in season.routes}, int(digits)
    while (code := f"{stem}{number:0{len(digits)}d}") in taken or code == f"{stem}{'0' * len(digits)}":
        number += 1
    return code


def needs_spelt(words: frozenset[str], protocol: Protocol) -> frozenset[str]:
    """Return needs as volunteers' abilities are kept, so that the two can be compared.

    Trainings are spelt as the protocol has them, anything else in small letters.
    """
    spelling = {word.casefold(): word for word in protocol.people.lead_training}
    plain = (word.strip().casefold() for word in words)
    return frozenset(spelling.get(word, word) for word in plain if word)


def _put(file: SeasonFile, label: str, before: Route | None, after: Route) -> RouteChanged:
    if before == after:
        return RouteChanged(label, before, after)
    season = file.season()
    others = [after if before is not None and one.code == before.code else one for one in season.routes]
    routes = others if before is not None else [*season.routes, after]
    if before is not None:
        season = season_with_route(season, before, after)
    with file.step(label):
        file.save_season(replace(season, routes=tuple(routes)))
        if before is not None:
            follow_route(file, before, after)
        if before is not None and before.code != after.code:
            _recode(file, before.code, after.code)
    return RouteChanged(label, before, after)


def _recode(file: SeasonFile, old: str, new: str) -> None:
    """Let the plan, and what is known of its evenings, name a route by its new code."""
    visits = (
        replace(visit, key=VisitKey(new, visit.key.number)) if visit.key.route == old else visit
        for visit in file.plan()
    )
    conditions = [replace(one, route=new) if one.route == old else one for one in file.conditions()]
    check_ins = [replace(one, route=new) if one.route == old else one for one in file.check_ins()]
    file.save_plan(Plan(tuple(visits)))
    file.save_conditions(conditions)
    file.save_check_ins(check_ins)


def _free_code(season: Season, code: str, own: str = "") -> str:
    """Return a code that no other route has: commands do not tell small letters from capitals, nor do many disks."""
    code = one_line(code, _CODE)
    if not code:
        raise RuleError("a route needs a code, such as R01")
    others = (route.code for route in season.routes if route.code != own)
    taken = next((other for other in others if other.casefold() == code.casefold()), None)
    if taken is not None:
        raise RuleError(f"route {taken!r} is there already; give each route a code of its own")
    return code


def _own_dates(season: Season, visit_dates: tuple[tuple[int, DateRange], ...]) -> tuple[tuple[int, DateRange], ...]:
    """Return the dates that differ from the season's, after a look whether they can be."""
    own = []
    for number, dates in sorted(dict(visit_dates).items()):
        season.protocol.visit(number)
        if dates.first not in season.dates or dates.last not in season.dates:
            raise RuleError(f"visit {number} ({dates}) must lie inside the season ({season.dates})")
        if dates != season.visits[number - 1]:
            own.append((number, dates))
    return tuple(own)


def _what_changes(before: Route, after: Route) -> str:
    pairs = {
        "the code": (before.code, after.code),
        "the name": (before.name, after.name),
        "how many go": (before.people, after.people),
        "its needs": (before.needs, after.needs),
        "the lead": (before.lead, after.lead),
        "its dates": (before.visit_dates, after.visit_dates),
        "the area": (before.area, after.area),
    }
    return listed(words for words, (old, new) in pairs.items() if old != new) or "nothing"


def _place_behind(route: Route, after: int | None) -> int:
    """Return the place in the route's order behind a point; see :func:`add_point` for what ``after`` means."""
    if after is None:
        return len(route.points)
    return route.points.index(route.point(after)) + 1 if after else 0


def _numbers_rising(points: Sequence[Point], at: int) -> list[Point]:
    """Raise the numbers behind a new point as far as it takes to keep each its own."""
    taken = {point.number for point in points[:at]}
    numbered = list(points[:at])
    for point in points[at:]:
        number = point.number
        while number in taken:
            number += 1
        taken.add(number)
        numbered.append(replace(point, number=number))
    return numbered


def _verb(old: Point, new: Point) -> str:
    if old.place != new.place:
        return "move"
    return "renumber" if old.number != new.number else "note on"


def _refuse_one_place(code: str, points: Sequence[Point]) -> None:
    seen: dict[Place, int] = {}
    for point in points:
        first = seen.setdefault(point.place, point.number)
        if first != point.number:
            raise RuleError(
                f"route {code}: points {first} and {point.number} would stand at one place, {point.place};"
                " give each a place of its own"
            )
