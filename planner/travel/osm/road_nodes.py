"""Where the nodes of roads lie, and which of them are shut: the second look at an OpenStreetMap file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import cast

import numpy as np
import osmium

from planner.travel.coordinates import Flags, Floats, Ints
from planner.travel.osm.access import NODE_KEYS, node_closes
from planner.travel.osm.source_file import content_bound

_PER_DEGREE = 10_000_000
"""OpenStreetMap keeps degrees to seven places."""
_MOST_TABLE_BYTES = 1_000_000_000
_TABLE_BYTES = 16
"""osmium's ``sparse_mmap_array`` keeps id and position of every node of the file, wanted or not."""
_LEAST_NODE_BYTES = {".pbf": 3, ".osm": 30}
"""A node cannot be written in less: three numbers of a byte; ``<node id="1" lat="1" lon="1"/>``."""
_ONE_WAY = b"<osm version='0.6'><way id='1'><nd ref='1'/></way></osm>"


@dataclass(frozen=True, slots=True, eq=False)
class RoadNodes:
    """The nodes that roads go through, by id."""

    ids: Ints
    """In ascending order, each once."""
    latitudes: Floats
    """Degrees; ``nan`` where the file does not say, or says what is no place."""
    longitudes: Floats
    shut: Flags
    """Whether the road is cut there by a barrier or a ford."""

    @property
    def located(self) -> Flags:
        """Whether the file says where each lies."""
        return ~np.isnan(self.latitudes)


def read_nodes(path: Path, ids: Ints, *, fords_open: bool) -> RoadNodes:
    """Find the nodes with the given ids (ascending, each once) in a file, in whatever order it holds them.

    Memory: some 100 bytes for each node asked for; where the file is small enough that it cannot hold more than
    1 GB of positions, osmium keeps them all in a table of its own, which is three times as quick.

    Raises:
        RuntimeError, ValueError, osmium.InvalidLocationError: osmium cannot read the file.
    """
    few = content_bound(path) // _LEAST_NODE_BYTES[path.suffix.lower()] * _TABLE_BYTES <= _MOST_TABLE_BYTES
    # The table takes no ids below 0, which editors give to what is not uploaded yet.
    if few and ids[0] >= 0:
        return _read_by_table(path, ids, fords_open=fords_open)
    return _read_one_by_one(path, ids, fords_open=fords_open)


def _read_by_table(path: Path, ids: Ints, *, fords_open: bool) -> RoadNodes:
    table = osmium.index.create_map("sparse_mmap_array")
    keeper = osmium.NodeLocationsForWays(table)
    keeper.ignore_errors()
    numbers = {node: number for number, node in enumerate(ids.tolist())}
    shut = np.zeros(len(ids), dtype=bool)
    tagged = osmium.filter.KeyFilter("barrier", "ford", "highway")
    for node in _nodes(path, keeper, tagged):
        number = numbers.get(node.id)
        if number is not None:
            shut[number] = node_closes(_tags(node), fords_open=fords_open)
    # The table is put in order when the first way is met, if nodes came out of order.
    one_way = osmium.io.FileBuffer(_ONE_WAY, "osm")
    with osmium.io.Reader(one_way) as reader:
        osmium.apply(reader, keeper)
    places = np.array([_place(table, node) for node in numbers])
    return RoadNodes(ids, places[:, 0].copy(), places[:, 1].copy(), shut)


def _place(table: osmium.index.LocationTable, node: int) -> tuple[float, float]:
    try:
        location = table.get(node)
    except KeyError:
        return np.nan, np.nan
    return _degrees(location)


def _degrees(location: osmium.osm.Location) -> tuple[float, float]:
    if not location.valid():
        return np.nan, np.nan
    return location.y / _PER_DEGREE, location.x / _PER_DEGREE


def _read_one_by_one(path: Path, ids: Ints, *, fords_open: bool) -> RoadNodes:
    numbers = {node: number for number, node in enumerate(ids.tolist())}
    places = np.full((len(ids), 2), np.nan)
    shut = np.zeros(len(ids), dtype=bool)
    for node in _nodes(path):
        number = numbers.get(node.id)
        if number is not None:
            places[number] = _degrees(node.location)
            shut[number] = len(node.tags) > 0 and node_closes(_tags(node), fords_open=fords_open)
    return RoadNodes(ids, places[:, 0].copy(), places[:, 1].copy(), shut)


def _nodes(path: Path, *handlers: object) -> Iterator[osmium.osm.Node]:
    processor = osmium.FileProcessor(str(path), osmium.osm.NODE)
    for handler in handlers:
        processor.with_filter(handler)
    return cast("Iterator[osmium.osm.Node]", iter(processor))


def _tags(node: osmium.osm.Node) -> Mapping[str, str]:
    found = ((key, node.tags.get(key)) for key in NODE_KEYS)
    return {key: value for key, value in found if value is not None}
