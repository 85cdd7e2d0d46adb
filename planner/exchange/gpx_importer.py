"""GPX files among the importers."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from planner.exchange.gpx import read_gpx
from planner.exchange.importers import Choices, Head, Reading, SourceKind, Understanding


@dataclass(frozen=True, slots=True)
class GpxImporter:
    """Reads the routes and waypoints of a GPX file."""

    kind: SourceKind = SourceKind.GPX
    words: str = "routes (GPX)"
    endings: tuple[str, ...] = (".gpx",)

    def recognises(self, head: Head) -> str:
        """Return what a GPX file is known by: its root element."""
        return "XML with the root element <gpx>" if head.root is not None and head.root.name == "gpx" else ""

    def read(self, path: Path, choices: Choices) -> Reading:  # noqa: ARG002 - none of the choices bears on it
        """Read the file; raises InputError with every fault of it."""
        return Reading(read_gpx(path), Understanding(coordinates="decimal degrees"))
