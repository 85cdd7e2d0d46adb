"""The ground of a route: its map, drawn in the page, and the list of its points with their places."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from planner.domain.itinerary import Itinerary, RouteMap
from planner.domain.route import Route
from planner.printing.phone.drawn_map import add_map
from planner.printing.phone.markup import put
from planner.printing.phone.outing_part import Part, add_point
from planner.printing.times import short_date


@dataclass(frozen=True, slots=True)
class Ground:
    """One route and the way along it, with the outings that go that way."""

    name: str
    """Its anchor on the page."""
    parts: tuple[Part, ...]

    @property
    def route(self) -> Route:
        """The route."""
        return self.parts[0].day.route


def grounds_of(parts: Sequence[Part]) -> tuple[Ground, ...]:
    """Return each ground once, in the order of its first outing."""
    shared: dict[tuple[Route, RouteMap, tuple[int, ...]], list[Part]] = {}
    for part in parts:
        shared.setdefault((part.day.route, part.day.map, part.day.outing.missed), []).append(part)
    return tuple(Ground(f"ground{number}", tuple(some)) for number, some in enumerate(shared.values(), start=1))


def add_ground(main: Element, itinerary: Itinerary, ground: Ground) -> None:
    """Add the map and the points."""
    section = put(main, "section", id=ground.name, aria_labelledby=f"{ground.name}-title")
    put(section, "h2", f"{ground.route.title}: map and points", id=f"{ground.name}-title")
    dates = ", ".join(short_date(part.day.outing.date) for part in ground.parts)
    put(section, "p", f"For {dates}.")
    radius = None if itinerary.habitat is None else itinerary.habitat.radius.metres
    add_map(section, ground.parts[0].day, ground.name, radius)
    put(section, "p", "A point's number opens your map program. Coordinates can be held down and copied.")
    rows = put(section, "ol", class_="points", role="list")
    for point in ground.route.points:
        row = put(rows, "li")
        add_point(row, ground.route, point)
        said = put(row, "div")
        put(said, "span", str(point.place), class_="place")
        if point.note:
            put(said, "span", point.note)
