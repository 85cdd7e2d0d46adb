"""The ground of a route: its map, drawn in the page, and the list of its points with their places."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from planner.domain.itinerary import DayPlan, Itinerary
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
    def day(self) -> DayPlan:
        """The outing whose map is drawn: one with counts, where there is any."""
        return next((part.day for part in self.parts if part.day.outing.order), self.parts[0].day)


def grounds_of(parts: Sequence[Part]) -> tuple[Ground, ...]:
    """Return each ground once, in the order of its first outing; a set-up day shares the first of its route."""
    shared: dict[tuple[str, tuple[int, ...]], list[Part]] = {}
    orders = {part.day.route.code: part.day.outing.order for part in reversed(parts) if part.day.outing.order}
    for part in parts:
        code = part.day.route.code
        shared.setdefault((code, part.day.outing.order or orders.get(code, ())), []).append(part)
    return tuple(Ground(f"ground{number}", tuple(some)) for number, some in enumerate(shared.values(), start=1))


def add_ground(main: Element, itinerary: Itinerary, ground: Ground) -> None:
    """Add the map and the points."""
    section = put(main, "section", id=ground.name, aria_labelledby=f"{ground.name}-title")
    day = ground.day
    put(section, "h2", f"{day.route.title}: map and points", id=f"{ground.name}-title")
    dates = ", ".join(short_date(part.day.outing.date) for part in ground.parts)
    put(section, "p", f"For {dates}.")
    radius = None if itinerary.habitat is None else itinerary.habitat.radius.metres
    add_map(section, day, ground.name, radius)
    put(section, "p", "A point's number opens your map program. Coordinates can be held down and copied.")
    rows = put(section, "ol", class_="points", role="list")
    for point in day.route.points:
        row = put(rows, "li")
        add_point(row, day.route, point)
        said = put(row, "div")
        put(said, "span", str(point.place), class_="place")
        if point.note:
            put(said, "span", point.note)
