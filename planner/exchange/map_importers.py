"""Map files among the importers: GPX, KML, KMZ and GeoJSON."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from planner.exchange.drawing import Drawing
from planner.exchange.drawn_routes import reading_of
from planner.exchange.gpx import draw_gpx
from planner.exchange.importers import Choices, Head, Reading, SourceKind


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


MAP_IMPORTERS = (MapImporter(SourceKind.GPX, "routes (GPX)", (".gpx",), _gpx, draw_gpx),)
