"""Looks a workbook over before any parser sees it: what would swell, lead elsewhere, or fill the memory is refused."""

from __future__ import annotations

import re
import zipfile
import zlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import BinaryIO

from planner.domain.errors import InputError
from planner.exchange.faults import refused
from planner.exchange.importers import HEAD_BYTES
from planner.exchange.source_text import MOST_BYTES
from planner.exchange.xml_root import looks_like_xml, root_of

MOST_UNPACKED_BYTES = 256 * 1024 * 1024
"""What all parts of a workbook may come to; 100,000 rows of points take about 30 MB."""
MOST_PARTS = 2_000
MOST_MARKS = 2_000_000
"""Elements that open or close in all sheets and their texts together: half a million cells."""
MOST_OTHER_MARKS = 150_000
"""The same in each other part, of which the parser makes objects at once: tens of thousands of formats."""
WORKBOOK = "a workbook (XLSX)"
AGAIN = "Save it again, or save the sheet as CSV."
BROKEN = (zipfile.BadZipFile, zlib.error, ValueError, NotImplementedError)

_CUT_DOWN = "Cut it down to the routes of this season."
_LARGE_ROOTS = {"worksheet", "sst"}
"""Roots of sheets and of the texts that their cells share: ECMA-376, published by Ecma International."""
_DOCTYPE = "<!DOCTYPE"
_FORMULAS = ("<f>", "<f ", "<f/", ":f>", ":f ")
_ENCODINGS = ("utf-8", "utf-16-le", "utf-16-be")
"""What XML parsers take without being told."""
_CHUNK_BYTES = 1 << 20
_LOOKED_BACK = 64
"""Bytes of the chunk before that are looked at again, in which a mark may have begun."""
MOST_MERGED = 20_000
"""Cells of a workbook that are merged; a season of 300 routes has some thousands of rows."""
_MERGED = re.compile(rb'<(?:\w{1,20}:)?mergeCell ref="([A-Z]{1,3}[0-9]{1,7}:[A-Z]{1,3}[0-9]{1,7})"')
"""ECMA-376, 18.3.1.55, as spreadsheets write it. Sheets in UTF-16, which none of them writes, are not searched."""


@dataclass(frozen=True, slots=True)
class Looked:
    """What was seen of a workbook before it is parsed."""

    formulas: bool
    """Whether any part may hold one: without the element <f> they need not be read beside the values."""
    merged: Mapping[str, Sequence[str]] = field(default_factory=dict)
    """By the name of a part: the ranges of cells that are one, such as 'B7:B9'."""


def look_over(path: Path, file: BinaryIO) -> Looked:
    """Refuse what is no workbook or no harmless one; return whether it has formulas, and which cells are merged.

    Sizes are those declared, which unpacking keeps.

    Raises:
        InputError: it is broken, cut off, encrypted, too large once unpacked, or a part of it declares a DOCTYPE, has
            more elements than any season, or goes on without any.
    """
    try:
        with zipfile.ZipFile(file) as archive:
            parts = archive.infolist()
            _refuse_large(path, parts)
            formulas, marks, merged = False, 0, dict[str, Sequence[str]]()
            for part in parts:
                if _is_xml(archive, part):
                    seen = _looked_through(path, archive, part)
                    marks += seen.marks if seen.large else 0
                    formulas = formulas or seen.formulas
                    _refuse_marks(path, part.filename, marks if seen.large else seen.marks, large=seen.large)
                    merged |= {part.filename: tuple(seen.merged)} if seen.merged else {}
                    _refuse_merged(path, part.filename, sum(map(len, merged.values())))
    except (*BROKEN, RuntimeError, OSError, EOFError) as error:
        raise refused(path, "", WORKBOOK, f"one that cannot be unpacked: {error}", AGAIN) from error
    file.seek(0)
    return Looked(formulas, merged)


def _refuse_large(path: Path, parts: Sequence[zipfile.ZipInfo]) -> None:
    size, packed = sum(part.file_size for part in parts), sum(part.compress_size for part in parts)
    if len(parts) > MOST_PARTS or size > MOST_UNPACKED_BYTES or packed > MOST_BYTES:
        expected = f"{WORKBOOK} of at most {MOST_UNPACKED_BYTES >> 20} MB unpacked"
        raise refused(path, "", expected, f"{size / 2**20:,.0f} MB in {len(parts)} parts", _CUT_DOWN)


def _refuse_marks(path: Path, name: str, marks: int, *, large: bool) -> None:
    most = MOST_MARKS if large else MOST_OTHER_MARKS
    if marks > most:
        raise refused(path, name, f"at most {most:,} marks of elements", f"{marks:,}", _CUT_DOWN)


def _is_xml(archive: zipfile.ZipFile, part: zipfile.ZipInfo) -> bool:
    """Whatever its name is: the parser goes by links from part to part."""
    if part.filename.endswith((".xml", ".rels")):
        return True
    with archive.open(part) as stream:
        return looks_like_xml(stream.read(_LOOKED_BACK))


@dataclass(slots=True)
class _Seen:
    """What one part holds."""

    large: bool = False
    """Whether it may be large."""
    marks: int = 0
    formulas: bool = False
    merged: dict[str, None] = field(default_factory=dict)
    """Ranges, each once, in their order."""


def _looked_through(path: Path, archive: zipfile.ZipFile, part: zipfile.ZipInfo) -> _Seen:
    made = _Seen()
    for number, (before, chunk) in enumerate(_chunks(archive, part)):
        seen = before + chunk
        if number == 0:
            made.large = _may_be_large(chunk[:HEAD_BYTES], path)
        if _holds(seen, (_DOCTYPE,)):
            todo = "Do not trust this file; save it again."
            raise refused(path, part.filename, "XML without a DOCTYPE", "a DOCTYPE", todo)
        found = chunk.count(b"<")
        if not found and len(chunk) == _CHUNK_BYTES:
            raise refused(path, part.filename, "cells and marks of a few letters", "one of a million and more", AGAIN)
        made.marks += found
        made.formulas = made.formulas or _holds(seen, _FORMULAS)
        made.merged |= dict.fromkeys(ref.decode() for ref in _MERGED.findall(seen))
        _refuse_merged(path, part.filename, len(made.merged))
    return made


def _refuse_merged(path: Path, name: str, count: int) -> None:
    if count > MOST_MERGED:
        raise refused(path, name, f"at most {MOST_MERGED:,} merged cells", "more", "Unmerge them, and save it again.")


def _chunks(archive: zipfile.ZipFile, part: zipfile.ZipInfo) -> Iterator[tuple[bytes, bytes]]:
    """Yield a part chunk by chunk, each with the end of the one before."""
    before = b""
    with archive.open(part) as stream:
        while chunk := stream.read(_CHUNK_BYTES):
            yield before, chunk
            before = chunk[-_LOOKED_BACK:]


def _may_be_large(head: bytes, path: Path) -> bool:
    try:
        return looks_like_xml(head) and root_of(head, path).name in _LARGE_ROOTS
    except InputError:
        return False  # It is looked through all the same, and refused by what comes later.


def _holds(seen: bytes, marks: Sequence[str]) -> bool:
    return any(mark.encode(encoding) in seen for mark in marks for encoding in _ENCODINGS)
