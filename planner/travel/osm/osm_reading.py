"""Reads the roads a car may use out of an OpenStreetMap file."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import cast

import numpy as np
import osmium

from planner.travel.coordinates import Ints
from planner.travel.osm.road_nodes import RoadNodes, read_nodes
from planner.travel.osm.road_ways import RoadWays, WayUses
from planner.travel.osm.source_file import check_source, fault, readable
from planner.travel.osm.turn_rules import RELATION_TYPES, TurnRules
from planner.travel.speeds import SpeedTable

ASK = "Ask for an extract with node positions and highway tags."
"""What to do about a file without roads."""


@dataclass(frozen=True, slots=True, eq=False)
class RoadsRead:
    """What an OpenStreetMap file says of roads, not yet cut into edges."""

    ways: RoadWays
    nodes: RoadNodes
    turns: TurnRules
    places: Ints
    """For each of ``ways.refs`` its place in ``nodes``."""


@dataclass(slots=True)
class _Found:
    ways: RoadWays = field(default_factory=RoadWays)
    turns: TurnRules = field(default_factory=TurnRules)


def read_roads(path: Path, speeds: SpeedTable, *, fords_open: bool) -> RoadsRead:
    """Read the roads of a .osm, .osm.bz2 or .osm.pbf file.

    The file is looked through twice, ways and relations first and then the nodes they go through, so their order does
    not matter and a file without roads costs no memory.

    Raises:
        InputError: the file is missing, empty, cut off, of another kind, holds a DOCTYPE or has no roads.
    """
    check_source(path)
    with readable(path) as plain:
        try:
            found = _ways_and_turns(plain, speeds, fords_open=fords_open)
            if not found.ways.driven():
                raise fault(path, "", "roads a car may use", _what_there_is(plain), ASK)
            ids, places = np.unique(np.frombuffer(found.ways.refs, dtype=np.int64), return_inverse=True)
            nodes = read_nodes(plain, ids, fords_open=fords_open)
        # osmium raises RuntimeError and ValueError for damage, and a kind of its own for a bad position.
        except (RuntimeError, ValueError, osmium.InvalidLocationError) as error:
            raise fault(path, "", "a whole OpenStreetMap file", f"'{error}'") from error
    return RoadsRead(found.ways, nodes, found.turns, places.astype(np.int64))


def _ways_and_turns(path: Path, speeds: SpeedTable, *, fords_open: bool) -> _Found:
    found = _Found()
    uses = WayUses(speeds, fords_open=fords_open)
    for entity in _entities(path, speeds):
        if isinstance(entity, osmium.osm.Relation):
            found.turns.add(entity)
            continue
        tags = entity.tags
        refs = [node.ref for node in entity.nodes]
        if len(refs) > 1:
            number = uses.number(tags.get, len(tags))
            found.ways.add(entity.id, refs, number, tags.get("name") or tags.get("ref") or "")
    found.ways.uses = uses.uses
    return found


def _entities(path: Path, speeds: SpeedTable) -> Iterator[osmium.osm.Way | osmium.osm.Relation]:
    ways, relations = osmium.osm.WAY, osmium.osm.RELATION
    roads = osmium.filter.TagFilter(*(("highway", kind) for kind in speeds.classes))
    roads.enable_for(ways)
    turns = osmium.filter.TagFilter(*(("type", kind) for kind in RELATION_TYPES))
    turns.enable_for(relations)
    # The processor keeps its filters alive; a bare iterator of osmium's does not.
    entities = osmium.FileProcessor(str(path), ways | relations).with_filter(roads).with_filter(turns)
    return cast("Iterator[osmium.osm.Way | osmium.osm.Relation]", iter(entities))


def _what_there_is(path: Path) -> str:
    highways = osmium.FileProcessor(str(path), osmium.osm.WAY).with_filter(osmium.filter.KeyFilter("highway"))
    count = sum(1 for _ in highways)
    return f"{count} ways tagged highway, none of them open to a car" if count else "none"
