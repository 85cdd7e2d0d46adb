"""The elements of a KML file that matter here, each with its line, read without trusting the file."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from planner.exchange.safe_xml import ElementReader, one_line
from planner.exchange.source_text import MOST_BYTES

GX = "http://www.google.com/kml/ext/2.2"
"""Namespace of tracks in KML 2.2; KML 2.3 took them in."""
NAMESPACES = frozenset(
    {
        "",
        *(f"http://www.opengis.net/kml/{version}" for version in ("2.2", "2.3")),
        *(f"http://earth.google.com/kml/{version}" for version in ("2.0", "2.1", "2.2")),
    }
)
"""The standard's own (OGC 07-147r2 and 12-007r2), and those of files older than it."""

_CONTAINERS = {"Document", "Folder"}
_HOLDERS = {"kml", *_CONTAINERS}
_PLACES = {"Placemark", "Point", "LineString", "Track", "coord", "when"}


@dataclass(slots=True, eq=False)
class Container:
    """A folder, or the document itself."""

    where: str
    within: Container | None
    name: str = ""


@dataclass(slots=True)
class Geometry:
    """A point or a line: its coordinates as they are written, and the times of a track."""

    where: str
    is_line: bool
    coordinates: str = ""
    coords: list[str] = field(default_factory=list)
    """Of a track: one text a place."""
    times: list[str] = field(default_factory=list)


@dataclass(slots=True)
class Placemark:
    """Something with a name that lies somewhere."""

    where: str
    within: Container | None
    name: str = ""
    description: str = ""
    fields: dict[str, str] = field(default_factory=dict)
    """Its extended data, by name."""
    geometries: list[Geometry] = field(default_factory=list)


class KmlReader(ElementReader):
    """Gathers placemarks with their folders; of what is not read it keeps the number."""

    def __init__(self, path: Path, inside: str = "") -> None:
        super().__init__(path, inside)
        self.placemarks: list[Placemark] = []
        self.links = 0
        """Files on the network that the file names; they are never followed."""
        self.areas = 0
        self._namespace = ""
        self._container: Container | None = None
        self._placemark: Placemark | None = None
        self._geometry: Geometry | None = None
        self._key = ""

    def checked_root(self, namespace: str, name: str, values: dict[str, str]) -> None:  # noqa: ARG002 - KML has no version beside its namespace
        """Refuse what is not KML."""
        self._namespace = namespace
        if name != "kml" or namespace not in NAMESPACES:
            found = f"<{name}> of {namespace}" if namespace else f"<{name}>"
            raise self.refused("the root element <kml>", found, "Choose a KML file.")

    def knows(self, namespace: str, name: str) -> bool:  # noqa: ARG002 - the namespaces hold all of them
        """Whether an element is of the file's own KML, or a track of the older extension."""
        return namespace in {self._namespace, GX}

    def began(self, name: str, parent: str, values: dict[str, str]) -> None:
        """Take in an element that opens."""
        if name in _PLACES:
            self.places.add(self.where)
        if parent in _HOLDERS:
            self._began_feature(name)
        elif self._placemark is not None:
            self._began_inside(name, parent, values, self._placemark)
        if name == "coordinates" and parent in {"Point", "LineString"}:
            self.gather(MOST_BYTES)
        elif (parent, name) in _GATHERED:
            self.gather()

    def ended(self, name: str, text: str | None) -> None:
        """Take in an element that closes."""
        parent = self.open[-1] if self.open else ""
        if text is not None:
            self._take_text(name, parent, text)
        elif name in _CONTAINERS and parent in _HOLDERS and self._container is not None:
            self._container = self._container.within
        elif name == "Placemark" and parent in _HOLDERS:
            self._placemark = None
        elif name in {"Point", "LineString", "Track"}:
            self._geometry = None

    def _began_feature(self, name: str) -> None:
        if name in _CONTAINERS:
            self._container = Container(f"{self.where}, <{name}>", self._container)
        elif name == "Placemark":
            self._placemark = Placemark(f"{self.where}, <Placemark>", self._container)
            self.placemarks.append(self._placemark)
        elif name == "NetworkLink":
            self.links += 1

    def _began_inside(self, name: str, parent: str, values: dict[str, str], placemark: Placemark) -> None:
        if name in {"Point", "LineString", "Track"}:
            self._geometry = Geometry(f"{self.where}, <{name}>", name != "Point")
            placemark.geometries.append(self._geometry)
        elif name == "Polygon":
            self.areas += 1
        elif (parent, name) in {("ExtendedData", "Data"), ("SchemaData", "SimpleData")}:
            self._key = values.get("name", "")

    def _take_text(self, name: str, parent: str, text: str) -> None:
        geometry, placemark = self._geometry, self._placemark
        match name:
            case "coordinates" if geometry is not None:
                geometry.coordinates += text
            case "coord" if geometry is not None:
                geometry.coords.append(text)
            case "when" if geometry is not None:
                geometry.times.append(text.strip())
            case "value" | "SimpleData" if placemark is not None:
                placemark.fields.setdefault(self._key, one_line(text))
            case "name" if parent in _CONTAINERS and self._container is not None:
                self._container.name = self._container.name or one_line(text)
            case "name" if placemark is not None:
                placemark.name = placemark.name or one_line(text)
            case "description" if placemark is not None:
                placemark.description = placemark.description or text


_GATHERED = {
    *((parent, "name") for parent in ("Document", "Folder", "Placemark")),
    ("Placemark", "description"),
    ("Track", "when"),
    ("Track", "coord"),
    ("Data", "value"),
    ("SchemaData", "SimpleData"),
}
