"""Places as links that a telephone opens on its own map."""

from __future__ import annotations

from urllib.parse import quote

from planner.domain.geo import Place
from planner.domain.route import Point, Route

UNCERTAINTY_M = 10
"""How well a telephone, or a mark on a road map, knows where a point is: our own figure."""


def geo_address(place: Place) -> str:
    """Return the place as a plain 'geo' URI (RFC 5870), in degrees to about a metre: what a code on paper holds."""
    return f"geo:{_degrees(place.latitude)},{_degrees(place.longitude)}"


def geo_link(route: Route, point: Point) -> str:
    """Return a 'geo' URI that also sets a pin with the point's name.

    The path is that of RFC 5870, with its uncertainty. The query is no part of the standard: map programs on telephones
    commonly read a label there (``q=latitude,longitude(label)``), and without it many show the ground and no pin. Who
    keeps to the standard reads the path alone.
    """
    where = f"{_degrees(point.place.latitude)},{_degrees(point.place.longitude)}"
    label = quote(f"{route.code} point {point.number}", safe="")
    return f"{geo_address(point.place)};u={UNCERTAINTY_M}?q={where}({label})"


def telephone_link(number: str) -> str:
    """Return a 'tel' URI of a number as somebody wrote it; empty where it holds no digit.

    RFC 3966 asks a number without a plus for its country; telephones dial it as it was typed, which is what is meant.
    """
    digits = "".join(letter for letter in number if letter in "0123456789")
    plus = "+" if number.strip().startswith("+") else ""
    return f"tel:{plus}{digits}" if digits else ""


def _degrees(value: float) -> str:
    """Return at most five decimals, without a sign on nought."""
    return f"{round(value, 5) + 0.0:.5f}"
