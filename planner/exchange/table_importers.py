"""Tables whose columns are named as this program names them, among the importers."""

from __future__ import annotations

import codecs
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from planner.exchange.condition_tables import CONDITIONS, read_conditions
from planner.exchange.importers import HEAD_BYTES, WANTED, Choices, Head, Reading, SourceKind
from planner.exchange.reads import AnyRead
from planner.exchange.route_tables import POINTS, ROUTES, read_points, read_routes
from planner.exchange.source_text import as_text
from planner.exchange.tables import Layout, plain_name, sniff
from planner.exchange.volunteer_tables import AVAILABILITY, VOLUNTEERS, read_availability, read_volunteers
from planner.exchange.weather_tables import CHANCES, EVENINGS, read_chances, read_evenings

LAYOUTS: Mapping[SourceKind, Layout] = {
    SourceKind.POINTS: POINTS,
    SourceKind.ROUTES: ROUTES,
    SourceKind.VOLUNTEERS: VOLUNTEERS,
    SourceKind.AVAILABILITY: AVAILABILITY,
    SourceKind.EVENINGS: EVENINGS,
    SourceKind.CHANCES: CHANCES,
    SourceKind.CONDITIONS: CONDITIONS,
}


@dataclass(frozen=True, slots=True)
class TableImporter:
    """Reads a table of one layout."""

    kind: SourceKind
    words: str
    reader: Callable[[Path], AnyRead]
    endings: tuple[str, ...] = (".csv", ".tsv", ".txt")

    def recognises(self, head: Head) -> str:
        """Return what the table is known by: no other layout has more of the columns in its first line."""
        if head.root is not None:
            return ""
        text = head_text(head)
        scores = {kind: _score(text, layout) for kind, layout in LAYOUTS.items()}
        if max(scores, key=lambda kind: scores[kind]) is not self.kind or scores[self.kind] <= 0.5:
            return ""
        layout = LAYOUTS[self.kind]
        header = {plain_name(cell) for cell in sniff(text, layout)[1]}
        found = [column for column in layout.columns if plain_name(column) in header]
        return f"its first line has the columns {', '.join(found)} of {layout.name}"

    def read(self, path: Path, choices: Choices) -> Reading:  # noqa: ARG002 - none of the choices bears on it
        """Read the table; raises InputError with every fault of it."""
        return Reading(self.reader(path))


TABLE_IMPORTERS = (
    TableImporter(SourceKind.POINTS, "points of routes", read_points),
    TableImporter(SourceKind.ROUTES, "routes", read_routes),
    TableImporter(SourceKind.VOLUNTEERS, "volunteers", read_volunteers),
    TableImporter(SourceKind.AVAILABILITY, "volunteers' dates", read_availability),
    TableImporter(SourceKind.EVENINGS, "past evenings", read_evenings),
    TableImporter(SourceKind.CHANCES, "chances of a lost evening", read_chances),
    TableImporter(SourceKind.CONDITIONS, "conditions of evenings", read_conditions),
)


def head_text(head: Head) -> str:
    """Return the whole lines of a beginning as text; raises InputError where it is none."""
    return as_text(_whole_lines(head.data), head.path, WANTED)


def _whole_lines(head: bytes) -> bytes:
    """Cut a head that the buffer ended to whole lines, so that no letter is cut in two."""
    if len(head) < HEAD_BYTES:
        return head
    end = head.rfind(b"\n") + 1
    if head.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        end += end % 2  # The two bytes of a letter stay together.
    return head[:end] if end else head


def _score(text: str, layout: Layout) -> float:
    """Return the share of the layout's required columns that the header has, less what it has beside the layout."""
    _, header = sniff(text, layout)
    names = {plain_name(cell) for cell in header}
    required = {plain_name(column) for column in layout.required}
    known = {plain_name(column) for column in layout.columns}
    return len(names & required) / len(required) - len(names - known) / max(len(names), 1) / 2
