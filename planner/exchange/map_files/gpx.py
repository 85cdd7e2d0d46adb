"""Routes, waypoints and tracks out of a GPX file."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from pathlib import Path

from planner.domain.geo import Place
from planner.exchange.importers import Choices
from planner.exchange.map_files.drawing import Drawing, Mark, MarkString, Words, place_of
from planner.exchange.map_files.drawn_routes import reading_of, routes_or_faults
from planner.exchange.point_names import POINT_EXAMPLE
from planner.exchange.reads import Origin, RoutesRead, Track
from planner.exchange.safe_xml import ElementReader, one_line, parse_safely
from planner.exchange.source_text import read_bytes

VERSIONS = ("1.0", "1.1")
"""GPX versions; the schemas are at https://www.topografix.com/GPX/1/0 and /1/1."""

_NAMESPACES = {"", *(f"http://www.topografix.com/GPX/{version.replace('.', '/')}" for version in VERSIONS)}
_WORDS = Words(
    axes=("lat", "lon"),
    marks="waypoints",
    wanted=f"routes <rte>, or waypoints <wpt> named like {POINT_EXAMPLE}",
    todo=f"Save the points as a route, or name the waypoints like {POINT_EXAMPLE}.",
    string="a route with points <rtept>",
    lines="track(s)",
)
_TEXTS = {"name", "desc", "cmt", "type"}
_PLACES = {"wpt", "rte", "rtept", "trk", "trkpt"}


def read_gpx(path: Path) -> RoutesRead:
    """Read the routes of a GPX 1.0 or 1.1 file, as :func:`planner.exchange.drawn_routes.reading_of` tells.

    A ``<rte>`` is a string of points, a ``<wpt>`` a point that stands alone: of a route where its name says so
    ('R07-03'), or its type gives the code and its name the number. Tracks are not read as points: they say where
    somebody went, not where the points are.

    Raises:
        InputError: with every fault of the file.
    """
    return routes_or_faults(reading_of(draw_gpx(path), Choices()))


def draw_gpx(path: Path) -> Drawing:
    """Return what a GPX file draws, unjudged. Elements of other namespaces are passed over.

    Raises:
        InputError: the file is unreadable, empty, too large, not well-formed (cut off, say), declares a DOCTYPE, is
            nested too deeply, or is no GPX of these versions.
    """
    reader = _GpxReader(path)
    parse_safely(read_bytes(path, "a GPX file"), path, reader)
    return reader.drawing


@dataclass(slots=True)
class _Point:
    where: str
    values: dict[str, str]
    texts: dict[str, str] = field(default_factory=dict)

    def mark(self) -> Mark:
        note = self.texts.get("desc") or self.texts.get("cmt") or ""
        name, hint = self.texts.get("name", ""), self.texts.get("type", "")
        return Mark(self.where, self.values.get("lat", ""), self.values.get("lon", ""), name, note, hint=hint)


@dataclass(slots=True)
class _Line:
    """A route or a track that is open."""

    where: str
    texts: dict[str, str] = field(default_factory=dict)
    marks: list[Mark] = field(default_factory=list)
    places: list[Place] = field(default_factory=list)
    times: list[float | None] = field(default_factory=list)
    wrong: int = 0
    """Points that are no places."""
    first_wrong: str = ""
    """Where the first of them stands."""


class _GpxReader(ElementReader):
    """Gathers routes, waypoints and tracks of the root's namespace."""

    def __init__(self, path: Path) -> None:
        super().__init__(path)
        self.drawing = Drawing(path, _WORDS)
        self._namespace = ""
        self._line: _Line | None = None
        self._point: _Point | None = None
        self._time = ""

    def checked_root(self, namespace: str, name: str, values: dict[str, str]) -> None:
        self._namespace = namespace
        if name != "gpx" or namespace not in _NAMESPACES:
            found = f"<{name}> of {namespace}" if namespace else f"<{name}>"
            raise self.refused("the root element <gpx>", found, "Choose a GPX file.")
        version = values.get("version", "")
        if version not in VERSIONS:
            found = f"version {version!r}" if version else "no version"
            raise self.refused("GPX version 1.0 or 1.1", found, "Export it again as GPX 1.1.")

    def knows(self, namespace: str, name: str) -> bool:  # noqa: ARG002 - one namespace holds all of them
        return namespace == self._namespace

    def began(self, name: str, parent: str, values: dict[str, str]) -> None:
        if name in _PLACES:
            self.places.add(self.where)
        match parent, name:
            case "gpx", "rte" | "trk":
                self._line = _Line(f"{self.where}, <{name}>")
            case ("rte", "rtept") | ("gpx", "wpt") | ("trkseg", "trkpt"):
                self._point, self._time = _Point(f"{self.where}, <{name}>", values), ""
            case "rte" | "rtept" | "wpt" | "trk", text if text in _TEXTS:
                self.gather()
            case "trkpt", "time":
                self.gather()

    def ended(self, name: str, text: str | None) -> None:
        owner = self._point or self._line
        if text is not None and name == "time":
            self._time = text.strip()
        elif text is not None and owner is not None:
            owner.texts.setdefault(name, one_line(text))
        elif name in {"wpt", "rtept", "trkpt"} and self._point is not None:
            self._end_point(name, self._point)
            self._point = None
        elif name in {"rte", "trk"} and self._line is not None and len(self.open) == 1:
            self._end_line(name, self._line)
            self._line = None

    def _end_point(self, name: str, point: _Point) -> None:
        if name == "wpt":
            self.drawing.marks.append(point.mark())
        elif name == "rtept" and self._line is not None:
            self._line.marks.append(point.mark())
        elif self._line is not None:
            place = place_of(point.values.get("lat", ""), point.values.get("lon", ""))
            if place is None:
                self._line.wrong += 1
                self._line.first_wrong = self._line.first_wrong or point.where
            else:
                self._line.places.append(place)
                self._line.times.append(instant_of(self._time))

    def _end_line(self, name: str, line: _Line) -> None:
        title = line.texts.get("name", "")
        if name == "rte":
            code = line.texts.get("type", "") if title else ""
            self.drawing.strings.append(MarkString(line.where, title, tuple(line.marks), code))
            return
        times = tuple(line.times) if any(time is not None for time in line.times) else ()
        self.drawing.tracks.append(Track(Origin(str(self.path), line.where), title, tuple(line.places), times))
        self.drawing.notes += track_notes(title, times, line.wrong, line.first_wrong)


def instant_of(text: str) -> float | None:
    """Return seconds since 1970 of an ISO 8601 time, UTC where it names no zone; None where it is none."""
    try:
        moment = dt.datetime.fromisoformat(text)
        return (moment if moment.tzinfo else moment.replace(tzinfo=dt.UTC)).timestamp()
    except (ValueError, OverflowError):
        return None


def track_notes(title: str, times: tuple[float | None, ...], wrong: int, where: str) -> list[str]:
    """Return what is said of a track whose points are partly no places, or have no times.

    Args:
        title: the track's name.
        times: of its places; empty where no point has one.
        wrong: how many of its points are no places.
        where: where the first of those stands.
    """
    name = f"Track {title!r}" if title else "A track without a name"
    notes = []
    if wrong:
        notes.append(f"{name}: {wrong} points that are no places were passed over, the first on {where}.")
    without = sum(time is None for time in times)
    if without:
        notes.append(f"{name}: {without} of {len(times)} points have no time that can be read.")
    return notes
