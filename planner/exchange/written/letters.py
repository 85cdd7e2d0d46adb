"""Texts and figures as every written format takes them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from decimal import Decimal

from planner.domain.errors import Fault
from planner.domain.route import Point, Route

CAUTION = "Places of sensitive wildlife: pass them on only to those who must stand there."

_NO_LETTER = re.compile(r"[^\t\n\r -~\u00a0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What XML 1.0 does not take (https://www.w3.org/TR/xml/#charsets), and the control characters that it only advises
against."""


def letter_faults(source: str, routes: Iterable[Route]) -> tuple[Fault, ...]:
    """Return a fault for each text with a letter that no format can carry: control characters, halves of letters.

    Args:
        source: what the routes come from, as the user named it.
        routes: the routes with their points.
    """
    return tuple(
        Fault(source, where, "text without control characters", f"U+{ord(bad[0]):04X}", "Write it anew, then export.")
        for where, text in _texts(routes)
        if (bad := _NO_LETTER.search(text))
    )


def plain(text: str) -> str:
    """Return text with single spaces, as every reader of ours takes it."""
    return " ".join(text.split())


def title(route: Route) -> str:
    """Return code and name of a route, by which it is known when it is read again."""
    return plain(route.title)


def point_name(route: Route, point: Point) -> str:
    """Return the name of a point that says its route and its number: 'R07-03'."""
    return f"{plain(route.code)}-{point.number:02d}"


def degrees(value: float) -> str:
    """Return the shortest decimal figure that reads back as the same number, without a power of ten."""
    return format(Decimal(repr(float(value))), "f")


def _texts(routes: Iterable[Route]) -> Iterator[tuple[str, str]]:
    for route in routes:
        yield f"route {route.code!r}, code", route.code
        yield f"route {route.code!r}, name", route.name
        yield f"route {route.code!r}, needs", " ".join(sorted(route.needs))
        yield f"route {route.code!r}, area", route.area
        for point in route.points:
            yield f"route {route.code!r}, point {point.number}, note", point.note
