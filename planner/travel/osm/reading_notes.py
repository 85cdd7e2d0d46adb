"""What was read of a road file and what was not understood, in words."""

from __future__ import annotations

from collections.abc import Iterator

from planner.travel.coordinates import Flags
from planner.travel.osm.osm_reading import RoadsRead
from planner.travel.osm.road_pieces import cut_at_border
from planner.travel.osm.turn_bans import TurnCount
from planner.travel.road_arrays import RoadArrays
from planner.travel.road_flags import RoadFlag


def reading_notes(read: RoadsRead, roads: RoadArrays, turns: TurnCount, driven: Flags) -> tuple[str, ...]:
    """Return what a coordinator should know of a road map, a sentence each.

    Args:
        read: what the file says.
        roads: what became of it.
        turns: what became of its turn restrictions.
        driven: whether each way can be driven at all.
    """
    stretches = _counted(roads.edge_count, "stretch", "stretches")
    closed = len(roads.closed_kind_numbers)
    shut = int(read.nodes.shut.sum())
    border = cut_at_border(read, driven)
    seasonal = int(roads.flagged(RoadFlag.SEASONAL).sum())
    return (
        f"{stretches} of road between junctions and ends, {roads.metres.sum() / 1000:.0f} km.",
        *_turn_notes(turns, read.turns.by_hour),
        *_note(closed, "road is", "roads are", "private or closed to cars: never driven."),
        *_note(shut, "gate, barrier or ford cuts its road", "gates, barriers and fords cut their road", "."),
        *_note(
            seasonal,
            "stretch of road may be shut",
            "stretches of road may be shut",
            "at some seasons or hours, which are not looked at: ask before the survey.",
        ),
        *_note(border, "road is", "roads are", "cut at the border of the map."),
    )


def _turn_notes(turns: TurnCount, by_hour: int) -> Iterator[str]:
    yield from _note(turns.kept, "turn restriction is", "turn restrictions are", "kept.")
    yield from _note(by_hour, "turn restriction holds", "turn restrictions hold", "at some hours only: not looked at.")
    yield from _note(
        turns.elsewhere,
        "turn restriction names",
        "turn restrictions name",
        "roads that are not for cars or lie beyond the border: left out.",
    )
    yield from _note(turns.unclear, "turn restriction is", "turn restrictions are", "not understood: left out.")


def _note(count: int, one: str, many: str, rest: str) -> Iterator[str]:
    if count:
        yield f"{_counted(count, one, many)} {rest}".replace(" .", ".")


def _counted(count: int, one: str, many: str) -> str:
    return f"{count} {one if count == 1 else many}"
