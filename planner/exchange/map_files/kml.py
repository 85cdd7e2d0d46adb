"""Routes, points and lines out of a KML file, or out of a KMZ archive that holds one."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path, PurePosixPath
from zipfile import ZipFile

from planner.domain.geo import Place
from planner.exchange.faults import refused
from planner.exchange.map_files.archives import open_archive, read_entry
from planner.exchange.map_files.drawing import Drawing, Mark, MarkString, Words, place_of
from planner.exchange.map_files.gpx import instant_of, track_notes
from planner.exchange.map_files.kml_elements import Container, Geometry, KmlReader, Placemark
from planner.exchange.map_files.point_fields import PointFields, point_fields
from planner.exchange.point_names import POINT_EXAMPLE, begins_with_code, name_behind, point_named, route_named
from planner.exchange.reads import Origin, RouteName, Track
from planner.exchange.safe_xml import one_line, parse_safely
from planner.exchange.source_text import read_bytes

ZIP_START = b"PK\x03\x04"

_WORDS = Words(
    axes=("latitude", "longitude"),
    marks="placemarks",
    wanted=f"placemarks named like {POINT_EXAMPLE}, or numbered ones in a folder named by its route",
    todo=f"Name the placemarks like {POINT_EXAMPLE}, or put numbered ones in a folder such as 'R01 Fernhythe Common'.",
    string="several points in one placemark",
    lines="line(s)",
)
_BLANKS = re.compile(r"\s+")
_PLACE = re.compile(r"\S+")
_MOST_COMMAS = 3
"""A place has at most two; at the third it is known to be none."""
_TAG = re.compile(r"</?[A-Za-z][^<>]*>")


def draw_kml(path: Path) -> Drawing:
    """Return what a KML 2.2 or 2.3 file draws, or the KML file in a KMZ archive.

    A point is of the route that a field 'route' names, or its own name, or the nearest folder whose name begins with
    a code; a folder of any name serves where all its points are numbered. Links to other files are never followed.

    Raises:
        InputError: the file is unreadable, empty, too large, broken, declares a DOCTYPE, is nested too deeply, or is
            no KML; the archive is hostile, encrypted, or holds no KML file.
    """
    data = read_bytes(path, "a KML or KMZ file")
    inside, notes = "", list[str]()
    if data.startswith(ZIP_START):
        archive = open_archive(data, path, "a KMZ file")
        inside, notes = _kml_name(archive, path)
        data = read_entry(archive, inside, path)
    reader = KmlReader(path, inside)
    parse_safely(data, path, reader, inside)
    drawer = _Drawer(Drawing(path, _WORDS, notes=notes))
    drawer.draw(reader)
    return drawer.drawing


def is_kmz(data: bytes, path: Path) -> bool:
    """Whether an archive holds a KML file; raises InputError where it is hostile or broken."""
    archive = open_archive(data, path, "a KMZ file")
    return any(_is_kml(name) for name in archive.namelist())


def _is_kml(name: str) -> bool:
    return name.lower().endswith(".kml")


def _kml_name(archive: ZipFile, path: Path) -> tuple[str, list[str]]:
    """Return the KML file of a KMZ: doc.kml at its top, else the first; and what is said of the others."""
    names = [name for name in archive.namelist() if _is_kml(name)]
    if not names:
        packed = any(PurePosixPath(name).suffix.lower() in {".kmz", ".zip"} for name in archive.namelist())
        found = "archives inside the archive, which are not opened" if packed else "none"
        raise refused(path, "", "a KMZ file with a KML file in it", found, "Unpack it, and bring the KML file in.")
    chosen = next((name for name in names if name.lower() == "doc.kml"), names[0])
    others = len(names) - 1
    return chosen, [f"Of the KML files in the archive {chosen} was read, {others} others not."] if others else []


class _Drawer:
    """Turns placemarks into points, strings of points and lines, folder by folder."""

    def __init__(self, drawing: Drawing) -> None:
        self.drawing = drawing
        self._of_folders: dict[Container, list[Mark]] = {}
        """Points that say nothing of their route, by the folder they lie in."""
        self._routes: dict[str, Container] = {}
        """Folders that named a route, by its code."""

    def draw(self, reader: KmlReader) -> None:
        """Draw everything that was read."""
        notes = self.drawing.notes
        if reader.links:
            notes.append(f"Left out: {reader.links} link(s) to files elsewhere, which are not followed.")
        if reader.areas:
            notes.append(f"Left out: {reader.areas} area(s); only points and lines are read.")
        for placemark in reader.placemarks:
            self._draw_placemark(placemark)
        for folder, marks in self._of_folders.items():
            self._draw_folder(folder, marks)
        for code, folder in self._routes.items():
            self._name_route(folder.where, code, route_named(folder.name, code)[1])

    def _draw_placemark(self, placemark: Placemark) -> None:
        fields = point_fields(placemark.fields, self.drawing.fields)
        points = [one for one in placemark.geometries if not one.is_line]
        lines = [one for one in placemark.geometries if one.is_line]
        self.drawing.tracks += [self._line(placemark.name, one) for one in lines]
        if fields.route and not points:
            name = name_behind(fields.route, fields.name or placemark.name)
            self._name_route(placemark.where, fields.route, name, fields.area)
            self.drawing.of_routes.update(line.where for line in lines)
        if len(points) == 1:
            self._draw_point(placemark, fields, points[0])
        elif points:
            self._draw_points(placemark, fields, points)

    def _name_route(self, where: str, code: str, name: str, area: str = "") -> None:
        self.drawing.names.append(RouteName(Origin(str(self.drawing.path), where), code, name, area))

    def _draw_point(self, placemark: Placemark, fields: PointFields, point: Geometry) -> None:
        latitude, longitude = _one_place(point.coordinates)
        note = fields.note or _plain_text(placemark.description)
        code = fields.route or point_named(placemark.name).code or ""
        mark = Mark(placemark.where, latitude, longitude, placemark.name, note, code, fields.point)
        folder = placemark.within
        home = _named_by_code(folder)
        if not code and home is not None:
            code = route_named(home.name)[0]
            self._routes.setdefault(code, home)
        if code or folder is None:
            self.drawing.marks.append(replace(mark, code=code))
        else:
            self._of_folders.setdefault(folder, []).append(mark)

    def _draw_points(self, placemark: Placemark, fields: PointFields, points: Sequence[Geometry]) -> None:
        """Draw the points of one placemark: a route where its name says of which."""
        if not fields.route and not begins_with_code(placemark.name):
            name = repr(placemark.name[:60])
            self.drawing.notes.append(f"Left out: the {len(points)} points of placemark {name}, no route by its name.")
            return
        marks = tuple(Mark(point.where, *_one_place(point.coordinates)) for point in points)
        name = placemark.name or fields.route
        self.drawing.strings.append(MarkString(placemark.where, name, marks, fields.route))

    def _draw_folder(self, folder: Container, marks: Sequence[Mark]) -> None:
        """A folder of any name is a route where all its points are numbered."""
        if folder.name and all(point_named(mark.name).number is not None for mark in marks):
            self._routes.setdefault(folder.name, folder)
            marks = [replace(mark, code=folder.name) for mark in marks]
        self.drawing.marks += marks

    def _line(self, name: str, line: Geometry) -> Track:
        said = [instant_of(text) for text in line.times]
        places: list[Place] = []
        times: list[float | None] = []
        count = 0
        for count, parts in enumerate(_positions(line), start=1):
            self.drawing.places.add(line.where)
            place = place_of(parts[1], parts[0]) if len(parts) in {2, 3} else None
            if place is not None:
                places.append(place)
                times.append(said[count - 1] if count <= len(said) else None)
        kept = tuple(times) if count == len(said) else ()
        self.drawing.notes += track_notes(name, kept, count - len(places), line.where)
        return Track(Origin(str(self.drawing.path), line.where), name, tuple(places), kept)


def _positions(line: Geometry) -> Iterator[list[str]]:
    """Yield the figures of each place of a line or a track."""
    if line.coords:
        yield from (text.split(None, _MOST_COMMAS) for text in line.coords)
    else:
        yield from (found[0].split(",", _MOST_COMMAS) for found in _PLACE.finditer(_tight(line.coordinates)))


def _tight(coordinates: str) -> str:
    """Only places are parted by spaces, though some programs write spaces round the commas in them too."""
    return _BLANKS.sub(" ", coordinates).replace(" ,", ",").replace(", ", ",").strip()


def _named_by_code(folder: Container | None) -> Container | None:
    """Return the nearest folder whose name begins with the code of a route."""
    while folder is not None and not begins_with_code(folder.name):
        folder = folder.within
    return folder


def _one_place(coordinates: str) -> tuple[str, str]:
    """Return latitude and longitude of a point as written; the whole text and nothing where it is no single place."""
    tight = _tight(coordinates)
    parts = tight.split(",", _MOST_COMMAS) if " " not in tight else []
    return (parts[1], parts[0]) if len(parts) in {2, 3} else (coordinates.strip(), "")


def _plain_text(description: str) -> str:
    """Return a description without its marks: web maps write it in HTML."""
    if _TAG.search(description):
        description = html.unescape(_TAG.sub(" ", description))
    return one_line(description)
