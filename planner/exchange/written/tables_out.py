"""Routes and points as the tables that are read in."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from planner.domain.route import Route
from planner.exchange.formula_text import guarded
from planner.exchange.written.letters import degrees, plain


def points_bytes(routes: Iterable[Route]) -> bytes:
    """Return the table of points: route, point, latitude, longitude, note."""
    rows = [
        (
            guarded(plain(route.code)),
            str(point.number),
            degrees(point.place.latitude),
            degrees(point.place.longitude),
            guarded(plain(point.note)),
        )
        for route in routes
        for point in route.points
    ]
    return _table(("route", "point", "latitude", "longitude", "note"), rows)


def routes_bytes(routes: Iterable[Route]) -> bytes:
    """Return the table of routes: route, name, needs, people, area. Who leads them is nobody else's business."""
    rows = [
        (
            guarded(plain(route.code)),
            guarded(plain(route.name)),
            guarded("; ".join(sorted(plain(need) for need in route.needs))),
            str(route.people),
            guarded(plain(route.area)),
        )
        for route in routes
    ]
    return _table(("route", "name", "needs", "people", "area"), rows)


def _table(header: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="\n").writerows([header, *rows])
    return text.getvalue().encode()
