"""Take a layout into the season: a new route, or new points of a route that is there, as one step."""

from __future__ import annotations

from dataclasses import replace

from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.plan import Status
from planner.domain.route import Point, Route
from planner.exchange import unkept_letter
from planner.store import SeasonFile
from planner.usecases.laying_out.request import Laid
from planner.usecases.naming import route_of_code
from planner.usecases.routes.editing import RouteChanged
from planner.usecases.wording import listed


def accept_layout(file: SeasonFile, code: str, name: str, laid: Laid) -> RouteChanged:
    """Take the points of a layout as those of a route, as one step.

    Args:
        file: the season, open for writing.
        code: of a new route, or of one that is there and gets these points instead of its own.
        name: of the route; empty: one that is there keeps its name.
        laid: the proposal.

    Raises:
        RuleError: the code is empty, or it or the name has control characters.
        ImpossibleError: the layout has no points, or a visit of the route has been made at its points as they stand.
    """
    code, name = code.strip(), name.strip()
    if not code:
        raise RuleError("a route needs a code, such as R01")
    bad = unkept_letter(code + name)
    if bad:
        raise RuleError(f"the code and the name of a route have no control characters, found {bad}")
    if not laid.points:
        raise ImpossibleError("There are no points to take.", laid.why_fewer)
    season, plan = file.season(), file.plan()
    before = route_of_code(season, code)
    code = before.code if before is not None else code
    made = [visit.key.number for visit in plan.of_route(code) if visit.status is Status.DONE]
    if made:
        raise ImpossibleError(
            f"The points of route {code} cannot be replaced.",
            f"Visit {listed(made)} has been made at the points as they stand: lay out a new route.",
        )
    points = tuple(Point(point.number, point.place) for point in laid.points)
    base = before or Route(code, "", ())
    after = replace(base, name=name or base.name, points=points)
    if after == before:
        return RouteChanged("Nothing changes", before, after)
    routes = [after if route.code == code else route for route in season.routes]
    label = f"Lay out {len(points)} point{'s' if len(points) > 1 else ''} of route {after.title}"
    with file.step(label):
        file.save_season(replace(season, routes=tuple(routes if before is not None else [*routes, after])))
    return RouteChanged(label, before, after)
