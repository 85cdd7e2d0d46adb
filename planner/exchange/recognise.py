"""Says what kind a file is, from what stands in it, and why."""

from __future__ import annotations

import bz2
import codecs
import tomllib
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from xml.sax.handler import ContentHandler
from xml.sax.xmlreader import AttributesNSImpl

from planner.exchange.condition_tables import CONDITIONS
from planner.exchange.faults import refused
from planner.exchange.gpx_elements import parse_safely
from planner.exchange.protocols import MOST_BYTES as MOST_PROTOCOL_BYTES
from planner.exchange.route_tables import POINTS, ROUTES
from planner.exchange.source_text import as_text, opened, read_text
from planner.exchange.tables import Layout, plain_name, sniff
from planner.exchange.volunteer_tables import AVAILABILITY, VOLUNTEERS
from planner.exchange.weather_tables import CHANCES, EVENINGS

HEAD_BYTES = 65_536
_WANTED = (
    "a GPX file; a CSV table of points, routes, volunteers, availability, past evenings, chances of a lost evening"
    " or conditions; an OpenStreetMap extract (.osm, .osm.bz2, .osm.pbf); or a protocol (.toml)"
)

_PROTOCOL_PARTS = ("taxon", "points", "count", "windows", "order", "figures")


class SourceKind(StrEnum):
    """What a file that is handed in can be."""

    GPX = "gpx"
    POINTS = "points"
    ROUTES = "routes"
    VOLUNTEERS = "volunteers"
    AVAILABILITY = "availability"
    EVENINGS = "evenings"
    CHANCES = "chances"
    CONDITIONS = "conditions"
    ROADS = "roads"
    PROTOCOL = "protocol"


LAYOUTS: Mapping[SourceKind, Layout] = {
    SourceKind.POINTS: POINTS,
    SourceKind.ROUTES: ROUTES,
    SourceKind.VOLUNTEERS: VOLUNTEERS,
    SourceKind.AVAILABILITY: AVAILABILITY,
    SourceKind.EVENINGS: EVENINGS,
    SourceKind.CHANCES: CHANCES,
    SourceKind.CONDITIONS: CONDITIONS,
}

_WAY_OUT = (
    "Choose another file, or let the first line of the table name its columns, such as "
    + "; ".join(f"{', '.join(layout.required)} in {layout.name}" for layout in (POINTS, VOLUNTEERS, AVAILABILITY))
    + "."
)
_ROOTS: Mapping[str, SourceKind] = {"gpx": SourceKind.GPX, "osm": SourceKind.ROADS}


@dataclass(frozen=True, slots=True)
class Recognised:
    """The kind of a file, and what it was known by."""

    kind: SourceKind
    reason: str


class _RootFoundError(Exception):
    """Ends the parsing: the first look may hold no more than the beginning of a file."""


class _Root(ContentHandler):
    def __init__(self) -> None:
        super().__init__()
        self.name = ""

    def startElementNS(  # noqa: N802 - as the SAX library has it
        self,
        name: tuple[str | None, str],
        qname: str | None,  # noqa: ARG002 - as the SAX library has it
        attrs: AttributesNSImpl,  # noqa: ARG002 - as the SAX library has it
    ) -> None:
        self.name = name[1]
        raise _RootFoundError


def recognise(path: Path) -> Recognised:
    """Return the kind of a file by its content; a name ending is needed for TOML alone, which has no mark of its own.

    Raises:
        InputError: the file is missing, empty, unreadable, hostile, or none of the kinds known here.
    """
    with opened(path, _WANTED) as file:
        head = file.read(HEAD_BYTES)
    if not head:
        raise refused(path, "", _WANTED, "an empty file", "Export it again, or choose another file.")
    # A 4-byte length, then a header whose first field is its type: https://wiki.openstreetmap.org/wiki/PBF_Format
    if head[4:15] == b"\x0a\x09OSMHeader":
        return Recognised(SourceKind.ROADS, "it begins with the header of an OpenStreetMap PBF file")
    if head.startswith(b"BZh"):
        return _xml(path, _unpacked(path), "packed with bzip2, ")
    if path.suffix.lower() == ".toml":
        return _toml(path)
    if _looks_like_xml(head):
        return _xml(path, head, "")
    return _table(path, _whole_lines(head))


def _toml(path: Path) -> Recognised:
    """A TOML file with parts of a protocol is one; one that cannot be read is left to the protocols' own reader."""
    try:
        keys = list(tomllib.loads(read_text(path, _WANTED, MOST_PROTOCOL_BYTES)))
    except tomllib.TOMLDecodeError:
        return Recognised(SourceKind.PROTOCOL, "its name ends in .toml, as protocols do")
    parts = [key for key in keys if key in _PROTOCOL_PARTS]
    if len(parts) < 2:
        found = f"a TOML file of another kind, with the keys {', '.join(keys[:8]) or 'none'}"
        raise refused(path, "", _WANTED, found, _WAY_OUT)
    return Recognised(SourceKind.PROTOCOL, f"TOML with {', '.join(parts)}, the parts of a protocol")


def _looks_like_xml(head: bytes) -> bool:
    start = head[:200].replace(b"\0", b"").lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n")
    return start.startswith(b"<")


def _xml(path: Path, head: bytes, how: str) -> Recognised:
    root = _Root()
    with suppress(_RootFoundError):
        parse_safely(head, path, root)
    said = f"{how}XML with the root element <{root.name}>"
    if root.name not in _ROOTS:
        raise refused(path, "", _WANTED, said, _WAY_OUT)
    return Recognised(_ROOTS[root.name], said)


def _unpacked(path: Path) -> bytes:
    try:
        with bz2.open(path) as file:
            return file.read(HEAD_BYTES)
    except (OSError, EOFError) as error:
        raise refused(path, "", "a bzip2 file holding OpenStreetMap XML", str(error), "Get it again.") from error


def _whole_lines(head: bytes) -> bytes:
    """Cut a head that the buffer ended to whole lines, so that no letter is cut in two."""
    if len(head) < HEAD_BYTES:
        return head
    end = head.rfind(b"\n") + 1
    if head.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        end += end % 2  # The two bytes of a letter stay together.
    return head[:end] if end else head


def _table(path: Path, head: bytes) -> Recognised:
    text = as_text(head, path, _WANTED)
    scores = {kind: _score(text, layout) for kind, layout in LAYOUTS.items()}
    best = max(scores, key=lambda kind: scores[kind])
    if scores[best] <= 0.5:
        first = text.strip().partition("\n")[0].strip()
        raise refused(path, "line 1", _WANTED, f"a file that begins {first[:60]!r}", _WAY_OUT)
    layout = LAYOUTS[best]
    _, header = sniff(text, layout)
    found = [column for column in layout.columns if plain_name(column) in {plain_name(cell) for cell in header}]
    return Recognised(best, f"its first line has the columns {', '.join(found)} of {layout.name}")


def _score(text: str, layout: Layout) -> float:
    """Return the share of the layout's required columns that the header has, less what it has beside the layout."""
    _, header = sniff(text, layout)
    names = {plain_name(cell) for cell in header}
    required = {plain_name(column) for column in layout.required}
    known = {plain_name(column) for column in layout.columns}
    return len(names & required) / len(required) - len(names - known) / max(len(names), 1) / 2
