"""Reads the roads a car may use out of an OpenStreetMap file."""

from __future__ import annotations

import itertools
from array import array
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import cast

import osmium

from planner.travel.access import node_closes, open_directions
from planner.travel.maxspeed import limit_kmh
from planner.travel.source_file import check_source, fault
from planner.travel.speeds import SpeedTable

_FIRST_CUT_ID = -(1 << 62)
"""Ids below every id of OpenStreetMap and of editors, for the two sides of a closed gate."""

_ASK = "Ask for an extract with nodes before ways, node positions and highway tags."


@dataclass(slots=True)
class RoadPieces:
    """Ways cut into pieces at closed gates and at the border of the extract, flat for numpy.

    Piece p runs over the points ``starts[p]`` to ``starts[p + 1] - 1``.
    """

    refs: array[int] = field(default_factory=lambda: array("q"))
    """Node id of each point; points with the same id are the same node."""
    latitudes: array[float] = field(default_factory=lambda: array("d"))
    longitudes: array[float] = field(default_factory=lambda: array("d"))
    starts: array[int] = field(default_factory=lambda: array("q", [0]))
    forward_kmh: array[float] = field(default_factory=lambda: array("d"))
    """Speed in the direction of the points; 0 where closed."""
    backward_kmh: array[float] = field(default_factory=lambda: array("d"))
    kinds: list[str] = field(default_factory=list)
    """Highway class of each piece."""
    names: list[str] = field(default_factory=list)
    """Name, else road number, else empty."""

    def __len__(self) -> int:
        return len(self.kinds)

    def add(
        self, points: list[tuple[int, float, float]], speeds_kmh: tuple[float, float], label: tuple[str, str]
    ) -> None:
        """Append one piece.

        Args:
            points: (node id, latitude, longitude), two or more.
            speeds_kmh: forward and backward, 0 where closed.
            label: highway class and name.
        """
        for ref, latitude, longitude in points:
            self.refs.append(ref)
            self.latitudes.append(latitude)
            self.longitudes.append(longitude)
        self.starts.append(len(self.refs))
        self.forward_kmh.append(speeds_kmh[0])
        self.backward_kmh.append(speeds_kmh[1])
        self.kinds.append(label[0])
        self.names.append(label[1])


def read_pieces(path: Path, speeds: SpeedTable, *, fords_open: bool) -> RoadPieces:
    """Read the drivable roads of a .osm, .osm.bz2 or .osm.pbf file.

    Raises:
        InputError: the file is missing, empty, cut off, of another kind, holds a DOCTYPE or has no roads.
    """
    check_source(path)
    reader = _WayReader(speeds, fords_open=fords_open)
    try:
        for entity in _entities(path):
            reader.take(entity)
    # osmium raises RuntimeError and ValueError for damage, and a kind of its own for a bad position.
    except (RuntimeError, ValueError, osmium.InvalidLocationError) as error:
        raise fault(path, "", "a whole OpenStreetMap file", f"'{error}'") from error
    if not len(reader.pieces):
        raise fault(path, "", "roads a car may use", reader.what_was_found(), _ASK)
    return reader.pieces


def _entities(path: Path) -> Iterator[osmium.osm.Node | osmium.osm.Way]:
    processor = osmium.FileProcessor(str(path), osmium.osm.NODE | osmium.osm.WAY).with_locations()
    entities = processor.with_filter(osmium.filter.KeyFilter("highway", "barrier", "ford"))
    return cast("Iterator[osmium.osm.Node | osmium.osm.Way]", iter(entities))


class _WayReader:
    """Takes nodes and ways as they come and keeps what can be driven."""

    def __init__(self, speeds: SpeedTable, *, fords_open: bool) -> None:
        self.pieces = RoadPieces()
        self._speeds = speeds
        self._fords_open = fords_open
        self._closed_nodes: set[int] = set()
        self._cut_ids = itertools.count(_FIRST_CUT_ID)
        self._highways = self._drivable = 0

    def take(self, entity: osmium.osm.Node | osmium.osm.Way) -> None:
        tags = {tag.k: tag.v for tag in entity.tags}
        if isinstance(entity, osmium.osm.Node):
            if node_closes(tags, fords_open=self._fords_open):
                self._closed_nodes.add(entity.id)
            return
        self._highways += "highway" in tags
        speeds_kmh = self._drive_speeds(tags)
        if any(speeds_kmh):
            self._drivable += 1
            label = tags["highway"], tags.get("name") or tags.get("ref", "")
            for points in self._points(entity):
                self.pieces.add(points, speeds_kmh, label)

    def what_was_found(self) -> str:
        if self._drivable:
            return f"{self._drivable} roads whose nodes have no position"
        return f"{self._highways} ways tagged highway, none of them open to a car" if self._highways else "none"

    def _drive_speeds(self, tags: Mapping[str, str]) -> tuple[float, float]:
        kind = tags.get("highway", "")
        if kind not in self._speeds.classes:
            return 0.0, 0.0
        cap = self._speeds.cap_kmh(tags)
        forward, backward = (
            self._speeds.speed_kmh(kind, limit_kmh(tags, direction, self._speeds), cap) if is_open else 0.0
            for direction, is_open in zip(
                ("forward", "backward"), open_directions(tags, fords_open=self._fords_open), strict=True
            )
        )
        return forward, backward

    def _points(self, way: osmium.osm.Way) -> Iterator[list[tuple[int, float, float]]]:
        """Yield the way's runs of located nodes, each side of a closed node ending in a node of its own."""
        run: list[tuple[int, float, float]] = []
        for node in way.nodes:
            location = node.location
            if not location.valid():
                if len(run) > 1:
                    yield run
                run = []
                continue
            latitude, longitude = location.lat, location.lon
            if node.ref in self._closed_nodes:
                if run:
                    run.append((next(self._cut_ids), latitude, longitude))
                if len(run) > 1:
                    yield run
                run = [(next(self._cut_ids), latitude, longitude)]
            elif not run or run[-1][0] != node.ref:
                run.append((node.ref, latitude, longitude))
        if len(run) > 1:
            yield run
