"""The protocol of everything that reads a file in, and what a reading says of the file besides its rows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property
from pathlib import Path
from typing import Protocol

from planner.domain.errors import Fault
from planner.exchange.reads import AnyRead
from planner.exchange.xml_root import XmlName, looks_like_xml, root_of

HEAD_BYTES = 65_536
"""How much of a file is looked at before it is known what it is."""
WANTED = (
    "a GPX file; a KML, KMZ or GeoJSON file; a table (CSV or XLSX) of points, routes, volunteers, availability, past"
    " evenings, chances of a lost evening or conditions; filled-in habitat sheets and visit records; an OpenStreetMap"
    " extract (.osm, .osm.bz2, .osm.pbf); or a protocol (.toml)"
)
"""What may be handed in, in words."""


class SourceKind(StrEnum):
    """What a file that is handed in can be."""

    GPX = "gpx"
    KML = "kml"
    GEOJSON = "geojson"
    POINTS = "points"
    ROUTES = "routes"
    VOLUNTEERS = "volunteers"
    AVAILABILITY = "availability"
    EVENINGS = "evenings"
    CHANCES = "chances"
    CONDITIONS = "conditions"
    FIELD = "field"
    """Habitat sheets and visit records that were filled in."""
    ROADS = "roads"
    PROTOCOL = "protocol"
    OTHER = "other"
    """Of an importer that is plugged in, where none of the others says it."""


@dataclass(frozen=True, slots=True)
class Choices:
    """What a person decided about one file; as it is made, nothing is decided."""

    swap: bool = False
    """Latitude and longitude of the whole file change places."""
    swap_at: frozenset[str] = frozenset()
    """Rows whose latitude and longitude change places, by :attr:`planner.exchange.reads.Origin.where`."""
    leave_out: frozenset[str] = frozenset()
    """Rows of a table that are left out, by where they stand: 'row 14'."""
    columns: Mapping[str, str] = field(default_factory=dict)
    """Headings of columns by what they hold: ``{"latitude": "Y"}``; an empty heading: no column holds it."""
    utm_zone: str = ""
    """Zone of the UTM coordinates, with N or S behind it for the hemisphere: 30N."""
    route: str = ""
    """Code of the route that points without one belong to; of a map file with one route the code that it gets."""
    number_by_order: bool = False
    """Points without a number are numbered as they stand."""
    stops: bool = False
    """The stops of a track are the points."""
    sheet: str = ""
    """Name of the sheet of a workbook."""
    encoding: str = ""
    """How the letters of a text are coded, where the file is not in UTF-8 or UTF-16."""

    def swaps(self, where: str) -> bool:
        """Whether latitude and longitude change places in the row that stands there."""
        return self.swap or where in self.swap_at


@dataclass(frozen=True, eq=False)
class Head:
    """The beginning of a file, by which importers know their own."""

    path: Path
    data: bytes
    """The first :data:`HEAD_BYTES` at most."""
    size: int
    """Of the whole file, in bytes."""
    choices: Choices = field(default_factory=Choices)
    """What a person decided about the file."""

    @cached_property
    def root(self) -> XmlName | None:
        """The root element, where the file is XML.

        Raises:
            InputError: it is XML that is broken, or declares a DOCTYPE.
        """
        return root_of(self.data, self.path) if looks_like_xml(self.data) else None


@dataclass(frozen=True, slots=True)
class ColumnUse:
    """One column of a table, or one field of another file, and what it was taken for."""

    column: str
    """As the file names it."""
    meaning: str
    """What it holds, such as latitude; empty: it is not used."""
    example: str = ""
    """What stands in it first; empty where nothing does, or the file is no table."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """Something that was read in a way a person should look at; it does not stand in the way."""

    where: str
    """Line, row or element; empty: the whole file."""
    what: str


@dataclass(frozen=True, slots=True)
class Offer:
    """A choice that would mend a file or make more of it, for a person to take."""

    words: str
    """What would be done: 'Swap latitude and longitude of the whole file'."""
    choices: Choices
    """To read the file with; holds also what was chosen before."""


@dataclass(frozen=True, slots=True)
class Understanding:
    """How a file was understood."""

    columns: tuple[ColumnUse, ...] = ()
    coordinates: str = ""
    """How places are written, in words: 'UTM metres, zone 30N'; empty where there are none."""
    zone: str = ""
    """Time zone in which the places lie; empty where it was not looked up."""
    doubts: tuple[Doubt, ...] = ()
    offers: tuple[Offer, ...] = ()
    lacks: frozenset[str] = frozenset()
    """Choices, by their names in :class:`Choices`, without which the file cannot be read and which no offer can make:
    a route's code, a UTM zone."""
    metres: tuple[str, str] = ("", "")
    """The first easting and northing, where the UTM zone lacks, by which it may be told; else both empty."""
    meanings: tuple[str, ...] = ()
    """What a column of such a table may hold, for a person to choose from; empty where the file is no table."""


@dataclass(frozen=True, slots=True)
class Reading:
    """What came of reading a file."""

    read: AnyRead | None
    """None: there are faults."""
    understood: Understanding = field(default_factory=Understanding)
    """Also where there are faults: an offer may be the way out of them."""
    faults: tuple[Fault, ...] = ()


class Importer(Protocol):
    """Reads one kind of file. A plug-in names a class of such under the entry point group ``dimpsy.importers``."""

    @property
    def kind(self) -> SourceKind:
        """What kind it reads."""

    @property
    def words(self) -> str:
        """The kind in words: 'routes (GPX)'."""

    @property
    def endings(self) -> tuple[str, ...]:
        """Endings of names, in small letters, that are taken from a folder: ('.gpx',)."""

    def recognises(self, head: Head) -> str:
        """Return what a file is known by, in words; empty where it is none of this kind."""

    def read(self, path: Path, choices: Choices) -> Reading:
        """Read a file as a person chose; raises InputError, or returns the faults, where it cannot be taken."""
