"""Gives the one route of a map file the code that a person chose: people name routes in words, and number them here."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from planner.exchange.importers import Choices
from planner.exchange.point_names import is_code
from planner.exchange.reads import PointRow, RouteName


def with_given_code(
    points: Sequence[PointRow], names: Sequence[RouteName], choices: Choices, notes: list[str]
) -> tuple[list[PointRow], list[RouteName]]:
    """Return points and names with the chosen code for the one route they are of; of several routes they stay.

    What served as the code becomes the route's name, where it is no code and the route has no other name.

    Args:
        points: of the file, each with its route.
        names: of its routes.
        choices: what a person decided.
        notes: gathers what was done.
    """
    own = {row.route for row in points} | {one.code for one in names}
    given = choices.route
    if not given or len(own) != 1 or given in own:
        return list(points), list(names)
    (code,) = own
    title = "" if is_code(code) else code
    named = [replace(one, code=given, name=one.name or title) for one in names]
    if title and points and not named:
        named = [RouteName(points[0].origin, given, title)]
    notes.append(f"Route {code} is taken as route {given}, as was chosen.")
    return [replace(row, route=given) for row in points], named
