"""Map files among the importers: GPX, KML, KMZ and GeoJSON."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from planner.domain.errors import InputError
from planner.exchange.faults import refused
from planner.exchange.importers import HEAD_BYTES, Choices, Head, Reading, SourceKind
from planner.exchange.map_files.drawing import Drawing
from planner.exchange.map_files.drawn_routes import reading_of
from planner.exchange.map_files.geojson import draw_geojson, known_by
from planner.exchange.map_files.gpx import draw_gpx
from planner.exchange.map_files.kml import ZIP_START, draw_kml, is_kmz
from planner.exchange.reads import Track
from planner.exchange.source_text import opened, read_bytes

_TRACK = "a GPX, KML, KMZ or GeoJSON file with a line"


@dataclass(frozen=True, slots=True)
class MapImporter:
    """Reads the routes, points and lines of one format of map files."""

    kind: SourceKind
    words: str
    endings: tuple[str, ...]
    known_by: Callable[[Head], str]
    draw: Callable[[Path], Drawing]

    def recognises(self, head: Head) -> str:
        """Return what a file is known by, in words; empty where it is none of this format."""
        return self.known_by(head)

    def read(self, path: Path, choices: Choices) -> Reading:
        """Read a file; raises InputError where it cannot be read on, else hands its faults over with the offers."""
        return reading_of(self.draw(path), choices)


def _gpx(head: Head) -> str:
    return "XML with the root element <gpx>" if head.root is not None and head.root.name == "gpx" else ""


def _kml(head: Head) -> str:
    if not head.data.startswith(ZIP_START):
        return "XML with the root element <kml>" if head.root is not None and head.root.name == "kml" else ""
    if head.path.suffix.lower() == ".kmz":
        return "an archive whose name ends in .kmz"
    try:
        return "an archive with a KML file in it" if is_kmz(read_bytes(head.path, "an archive"), head.path) else ""
    except InputError:
        return ""  # Whatever it is, the next importer may know it.


def draw_map(path: Path) -> Drawing | None:
    """Return what a map file draws; None where it is no map file.

    Raises:
        InputError: it cannot be read.
    """
    head = _head(path)
    return next((importer.draw(path) for importer in MAP_IMPORTERS if importer.recognises(head)), None)


def read_tracks(path: Path) -> tuple[Track, ...]:
    """Return the lines of a map file: tracks of GPX and KML, lines of KML and GeoJSON, those with two places or more.

    Raises:
        InputError: it cannot be read, is no map file, or has no line.
    """
    drawing = draw_map(path)
    tracks = tuple(track for track in drawing.tracks if len(track.places) > 1) if drawing is not None else ()
    if not tracks:
        found = "a file of another kind" if drawing is None else "no line with two places or more"
        raise refused(path, "", _TRACK, found, "Export the track again, or choose another file.")
    return tracks


def _head(path: Path) -> Head:
    with opened(path, _TRACK) as file:
        return Head(path, file.read(HEAD_BYTES), os.fstat(file.fileno()).st_size)


MAP_IMPORTERS = (
    MapImporter(SourceKind.GPX, "routes (GPX)", (".gpx",), _gpx, draw_gpx),
    MapImporter(SourceKind.KML, "routes (KML)", (".kml", ".kmz"), _kml, draw_kml),
    MapImporter(SourceKind.GEOJSON, "routes (GeoJSON)", (".geojson",), known_by, draw_geojson),
)
