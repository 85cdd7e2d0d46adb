"""Says what kind a file is, from what stands in it, and why."""

from __future__ import annotations

import bz2
import codecs
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from planner.exchange.faults import refused
from planner.exchange.heads import head_of
from planner.exchange.importers import HEAD_BYTES, WANTED, Choices, Head, Importer, SourceKind
from planner.exchange.plan_table import PLAN_COLUMNS
from planner.exchange.plugged_in import importers
from planner.exchange.protocols import MOST_BYTES as MOST_PROTOCOL_BYTES
from planner.exchange.source_text import read_text
from planner.exchange.table_files.route_tables import POINTS
from planner.exchange.table_files.table_fit import head_text
from planner.exchange.table_files.volunteer_tables import AVAILABILITY, VOLUNTEERS
from planner.exchange.table_files.workbooks import is_workbook
from planner.exchange.xml_root import XmlName, root_of

_WAY_OUT = (
    "Choose another file, or let the first line of the table name its columns, such as "
    + "; ".join(f"{', '.join(layout.required)} in {layout.name}" for layout in (POINTS, VOLUNTEERS, AVAILABILITY))
    + "."
)
_PLAN = ",".join(PLAN_COLUMNS).encode()
"""Begins a table that would pass for one of routes, and whoever leads a visit of it for one who has agreed to all."""
_PLAN_STAYS = "Leave it out: a plan is not brought in, it stands in the season it was made in."
_PROTOCOL_PARTS = ("taxon", "points", "count", "windows", "order", "figures")


@dataclass(frozen=True, slots=True)
class Recognised:
    """The kind of a file, and what it was known by."""

    kind: SourceKind
    words: str
    """The kind in words."""
    reason: str
    importer: Importer | None = None
    """What reads it; None for a road map and a protocol, which no importer reads."""


def recognise(path: Path, asked: Sequence[Importer] | None = None, choices: Choices | None = None) -> Recognised:
    """Return the kind of a file by its content; a name ending is needed for TOML alone, which has no mark of its own.

    Plug-ins are asked first, then our own importers from the surest mark to the vaguest; the first yes has it.

    Args:
        path: the file.
        asked: the importers; without them those of :func:`planner.exchange.plugged_in.importers`, which takes a
            moment to look for plug-ins.
        choices: what a person decided about the file.

    Raises:
        InputError: the file is missing, empty, unreadable, hostile, or none of the kinds known here.
    """
    head = head_of(path, choices)
    if head.data.removeprefix(codecs.BOM_UTF8).startswith(_PLAN):
        raise refused(path, "line 1", WANTED, "a plan, as it is written for spreadsheets", _PLAN_STAYS)
    found = _road_map(head)
    if found is None and path.suffix.lower() == ".toml":
        found = _protocol(path)
    return found or _imported(head, importers() if asked is None else asked)


def _road_map(head: Head) -> Recognised | None:
    words = "a road map (OpenStreetMap)"
    # A 4-byte length, then a header whose first field is its type: https://wiki.openstreetmap.org/wiki/PBF_Format
    if head.data[4:15] == b"\x0a\x09OSMHeader":
        return Recognised(SourceKind.ROADS, words, "it begins with the header of an OpenStreetMap PBF file")
    if head.data.startswith(b"BZh"):
        root, how = root_of(_unpacked(head.path), head.path), "packed with bzip2, "
        if root.name != "osm":
            raise refused(head.path, "", WANTED, f"{how}{_xml_words(root)}", _WAY_OUT)
        return Recognised(SourceKind.ROADS, words, f"{how}{_xml_words(root)}")
    if head.data.startswith(b"\x1f\x8b"):
        raise refused(
            head.path, "", WANTED, "a file packed with gzip", "Unpack it (gunzip), and choose what comes out."
        )
    if head.root is not None and head.root.name == "osm":
        return Recognised(SourceKind.ROADS, words, _xml_words(head.root))
    return None


def _protocol(path: Path) -> Recognised:
    """A TOML file with parts of a protocol is one; one that cannot be read is left to the protocols' own reader."""
    known = Recognised(SourceKind.PROTOCOL, "a survey protocol", "its name ends in .toml, as protocols do")
    try:
        keys = list(tomllib.loads(read_text(path, WANTED, MOST_PROTOCOL_BYTES)))
    except tomllib.TOMLDecodeError:
        return known
    parts = [key for key in keys if key in _PROTOCOL_PARTS]
    if len(parts) < 2:
        found = f"a TOML file of another kind, with the keys {', '.join(keys[:8]) or 'none'}"
        raise refused(path, "", WANTED, found, _WAY_OUT)
    return replace(known, reason=f"TOML with {', '.join(parts)}, the parts of a protocol")


def _imported(head: Head, asked: Sequence[Importer]) -> Recognised:
    for importer in asked:
        reason = importer.recognises(head)
        if reason:
            return Recognised(importer.kind, importer.words, reason, importer)
    if head.root is not None:
        raise refused(head.path, "", WANTED, _xml_words(head.root), _WAY_OUT)
    if is_workbook(head.path):
        raise refused(head.path, "", WANTED, "a workbook without a table that is known here", _WAY_OUT)
    first = head_text(head).strip().partition("\n")[0].strip()
    raise refused(head.path, "line 1", WANTED, f"a file that begins {first[:60]!r}", _WAY_OUT)


def _xml_words(root: XmlName) -> str:
    return f"XML with the root element <{root.name}>"


def _unpacked(path: Path) -> bytes:
    try:
        with bz2.open(path) as file:
            return file.read(HEAD_BYTES)
    except (OSError, EOFError) as error:
        raise refused(path, "", "a bzip2 file holding OpenStreetMap XML", str(error), "Get it again.") from error
