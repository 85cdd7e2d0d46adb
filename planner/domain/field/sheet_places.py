"""Where a season wants habitat sheets: its routes, the visits that have habitat estimated, their points."""

from __future__ import annotations

from planner.domain.field.habitat_sheet import SheetKey
from planner.domain.protocol import Protocol
from planner.domain.season import Season


def habitat_visits(protocol: Protocol) -> tuple[int, ...]:
    """Return the numbers of the visits that have habitat estimated; what is done on the set-up day is visit 1's."""
    if protocol.habitat is None:
        return ()
    on_setup = protocol.setup is not None and protocol.setup.habitat
    return tuple(visit.number for visit in protocol.visits if visit.habitat or (visit.number == 1 and on_setup))


def strange_words(season: Season, key: SheetKey) -> str:
    """Return which of a sheet's route, visit and point the season does not have; empty where it has all."""
    route = next((one for one in season.routes if one.code == key.route), None)
    if route is None:
        return f"there is no route {key.route!r}"
    if key.visit > len(season.protocol.visits):
        return f"there is no visit {key.visit}"
    if key.visit not in habitat_visits(season.protocol):
        return f"no habitat is estimated on visit {key.visit}"
    if all(point.number != key.point for point in route.points):
        return f"route {key.route} has no point {key.point}"
    return ""
