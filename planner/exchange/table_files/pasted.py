"""Points out of lines of text as people paste them: no headings, but the coordinates can be told from the rest."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from planner.domain.geo import Place
from planner.exchange.faults import FaultList, refused
from planner.exchange.importers import Choices, Doubt, Head, Offer, Reading, SourceKind, Understanding
from planner.exchange.letters import LETTERS_WANTED, unkept_letter
from planner.exchange.point_names import is_code, point_named
from planner.exchange.reads import Origin, PointRow, RoutesRead
from planner.exchange.source_text import MOST_BYTES, read_text
from planner.exchange.table_files.grids import MOST_ROWS, begun_grids, text_grid, too_many_rows
from planner.exchange.table_files.places import Places
from planner.exchange.table_files.route_tables import MOST_POINTS
from planner.exchange.table_files.table_fit import LAYOUTS, fit_of, head_text
from planner.exchange.table_files.table_importers import TABLE_IMPORTERS, TableImporter
from planner.exchange.table_files.table_understanding import swap_offers
from planner.exchange.table_files.workbooks import is_workbook

_LINE = "a line such as 'R01 1 51.5047 -1.2731 by the gate'"
_FIGURE = r"[0-9]{1,2}(?:[.,][0-9]+)?"
_WHOLE = r"[0-9]{1,3}(?:[.,][0-9]+)?"
_SIGNED = rf"{_WHOLE}\s*[°º:](?:\s*{_FIGURE}(?:\s*['′’:]\s*{_FIGURE})?\s*(?:''|[\"″”'′’])?)?"
_BEHIND = rf"(?:{_WHOLE}|{_SIGNED}\s*)"
"""An angle with a letter behind it: close behind, where no sign tells where the angle ends."""
_ANGLE = rf"(?:{_SIGNED}|{_WHOLE})"
_PAIRS = tuple(
    re.compile(pattern, re.IGNORECASE)
    for pattern in (
        rf"(?<![\w.]){_BEHIND}[NS][\s,;]*{_BEHIND}[EW](?!\w)",
        rf"(?<!\w)[NS]\s*{_ANGLE}[\s,;]+[EW]\s*{_ANGLE}(?![\w.°'′]|,[0-9])",
        r"(?<![\w.+-])[-+−]?[0-9]{1,3}\.[0-9]+(?:\s*[,;]\s*|\s+)[-+−]?[0-9]{1,3}\.[0-9]+(?![\w.]|,[0-9])",
        r"(?<![\w.,+-])[-+−]?[0-9]{1,3},[0-9]+(?:\s*;\s*|\s+)[-+−]?[0-9]{1,3},[0-9]+(?![\w.]|,[0-9])",
    )
)
"""Two coordinates in a line, in the ways that nothing else in it can be taken for: with letters, or with fractions."""
_METRES = re.compile(
    r"(?<!\w)[0-9]{1,2}\s?[A-Z][\s,;]+[0-9]{6}(?:[.,][0-9]+)?\s*m?E?[\s,;]+[0-9]{5,8}(?:[.,][0-9]+)?\s*m?N?(?!\w)",
    re.IGNORECASE,
)
_LONGEST = 400
"""Letters of a line that are looked through for coordinates."""
_PARTING = " \t,;:|-–"


@dataclass(frozen=True, slots=True)
class _Line:
    """One line, taken apart."""

    where: str
    before: str
    """What stands before the coordinates: route and number, or a name."""
    pair: str
    """Empty where none, or several, were found."""
    note: str


@dataclass(frozen=True, slots=True)
class LinesImporter:
    """Reads a text of lines without headings; the last to be asked, for it knows a file by its first line alone."""

    kind: SourceKind = SourceKind.POINTS
    words: str = "points of routes"
    endings: tuple[str, ...] = (".txt",)

    def recognises(self, head: Head) -> str:
        """Return what it is known by: coordinates in its first line."""
        if head.root is not None or is_workbook(head.path):
            return ""
        first = next(_lines(head_text(head)), None)
        return "its first line has coordinates in it" if first is not None and first.pair else ""

    def read(self, path: Path, choices: Choices) -> Reading:
        """Read the lines; raises InputError where the file cannot be read at all."""
        return read_lines(read_text(path, "lines of points", encoding=choices.encoding), str(path), choices)


def pasted_rows(text: str, source: str, choices: Choices) -> tuple[str, Reading]:
    """Read text that was pasted, and return what it was known by.

    A first line that heads columns, as a spreadsheet gives them, makes it a table; else each line is a point.

    Raises:
        InputError: it is empty, or longer than any season.
    """
    if not text.strip():
        raise refused(source, "", f"a table, or {_LINE}", "nothing", "Copy the rows and paste them again.")
    if len(text) > MOST_BYTES:
        raise refused(source, "", f"at most {MOST_BYTES >> 20} million letters", "more", "Import it as a file.")
    text = text.removeprefix("\ufeff")
    importer = _table_importer(text, source, choices)
    if importer is None:
        return "its lines have coordinates in them", read_lines(text, source, choices)
    fit = fit_of(tuple(begun_grids(text, source)), importer.layout, choices)
    reading = importer.read_grid(text_grid(text, source, fit.grid.delimiter), fit, choices)
    return f"its first line heads the columns of {importer.layout.name}", reading


def read_lines(text: str, source: str, choices: Choices) -> Reading:
    """Read lines of points: route and number, or a name that says both; coordinates; a note."""
    faults = FaultList(source)
    places = Places(choices)
    order: Counter[str] = Counter()
    points: list[PointRow] = []
    numberless = routeless = 0
    for line in _lines(text):
        if len(points) > MOST_ROWS:
            faults.take([too_many_rows(source, line.where)])
            break
        code, number = _named(line.before)
        code = code or choices.route
        order[code] += 1
        number = order[code] if choices.number_by_order else number
        routeless += bool(line.pair) and not code
        numberless += bool(line.pair) and number is None
        row = _point(line, (code, number), source, places, faults)
        if row is not None:
            points.append(row)
    understood = _understanding(places, choices, routeless=routeless, numberless=numberless)
    if not points and not len(faults):
        faults.add("", _LINE, "nothing", "Copy the rows and paste them again.")
    return Reading(None if len(faults) else RoutesRead(source, tuple(points)), understood, faults.all)


def _table_importer(text: str, source: str, choices: Choices) -> TableImporter | None:
    grids = tuple(begun_grids(text, source))
    fits = {one.kind: fit_of(grids, LAYOUTS[one.kind], choices) for one in TABLE_IMPORTERS}
    best = max(TABLE_IMPORTERS, key=lambda one: fits[one.kind].value)
    return best if fits[best.kind].value > 0.5 else None


def _lines(text: str) -> Iterator[_Line]:
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip():
            continue
        found = _coordinates(line[:_LONGEST])
        where = f"line {number}"
        if found is None:
            yield _Line(where, line.strip(), "", "")
        else:
            before, after = line[: found.start()].strip(_PARTING), line[found.end() :].strip(_PARTING)
            yield _Line(where, " ".join(before.split()), " ".join(found[0].split()), " ".join(after.split()))


def _coordinates(line: str) -> re.Match[str] | None:
    """Return the one pair of coordinates in a line; None where there is none, or more than one could be meant."""
    for pattern in (_METRES, *_PAIRS):
        found = list(pattern.finditer(line))
        if found:
            return found[0] if len(found) == 1 else None
    return None


def _named(before: str) -> tuple[str, int | None]:
    """Return the code of the route, empty where none is said, and the number."""
    words = [word for word in re.split(r"[\s,;|]+", before) if word]
    if len(words) > 1 and is_code(words[0]):
        return words[0], point_named(" ".join(words[1:]), words[0]).number
    said = point_named(before)
    return said.code or "", said.number


def _point(
    line: _Line, named: tuple[str, int | None], source: str, places: Places, faults: FaultList
) -> PointRow | None:
    code, number = named
    if not line.pair:
        todo = "Give each line one pair of coordinates, with decimals or with letters N, S, E, W."
        faults.add(line.where, _LINE, repr(line.before[:60]), todo)
        return None
    place = places.of(line.where, {"place": line.pair})
    if not isinstance(place, Place):
        for refusal in place:
            faults.add(line.where, refusal.error.expected, refusal.error.found, refusal.todo)
        return None
    if not code or number is None or not 1 <= number <= MOST_POINTS:
        expected = f"the code of a route and the number of the point, 1 to {MOST_POINTS}, before the coordinates"
        found = repr(line.before[:60]) if line.before else "nothing"
        faults.add(line.where, expected, found, "Write them there, or say which route it is and number by order.")
        return None
    bad = unkept_letter(code + line.note)
    if bad:
        faults.add(line.where, LETTERS_WANTED, bad, "Write the line anew.")
        return None
    return PointRow(Origin(source, line.where), code, number, place, line.note)


def _understanding(places: Places, choices: Choices, *, routeless: int, numberless: int) -> Understanding:
    ways = places.ways.most_common()
    doubts = [Doubt("", f"coordinates are written in several ways: {', '.join(way for way, _ in ways)}")]
    return Understanding(
        coordinates=" and ".join(way for way, _ in ways),
        doubts=tuple(doubts) if len(ways) > 1 else (),
        offers=(*_order_offer(choices, numberless), *swap_offers(places)),
        lacks=frozenset({"route"} if routeless else ()),
    )


def _order_offer(choices: Choices, numberless: int) -> Iterator[Offer]:
    if numberless and not choices.number_by_order:
        yield Offer("Number the points of each route as they stand", replace(choices, number_by_order=True))
