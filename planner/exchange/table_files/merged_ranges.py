"""Merged cells of a workbook: which of them reach into which row, and what stands in them."""

from __future__ import annotations

import zipfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import BinaryIO

from planner.exchange.faults import refused
from planner.exchange.table_files.grids import GridRow, Merged

_WORKBOOK = "xl/workbook.xml"
_MOST_COLUMNS = 256
"""That are read of a sheet; so many merged cells can reach into one row, for they never overlap."""


def ranges_by_sheet(file: BinaryIO, by_part: Mapping[str, Sequence[str]]) -> Mapping[str, Sequence[str]]:
    """Return the merged ranges of a workbook by the names of its sheets.

    Args:
        file: the workbook, which was looked over.
        by_part: the ranges by the names of the parts that its sheets lie in.
    """
    if not by_part:
        return {}
    from openpyxl.reader.workbook import WorkbookParser  # noqa: PLC0415 - takes 0.2 s, for those alone who have one

    file.seek(0)
    with zipfile.ZipFile(file) as archive:
        parser = WorkbookParser(archive, _WORKBOOK, keep_links=False)
        parser.parse()
        return {sheet.name: by_part.get(relation.target, ()) for sheet, relation in parser.find_sheets()}


class MergedRanges:
    """The merged cells of one sheet, asked for row by row from the top."""

    def __init__(self, path: Path, sheet: str, ranges: Sequence[str]) -> None:
        self._path = path
        self._sheet = sheet
        self._waiting = sorted(
            (_bounds(name) for name in ranges), key=lambda one: (one.rows, one.positions), reverse=True
        )
        self._open: list[Merged] = []

    def __bool__(self) -> bool:
        """Whether there are any."""
        return bool(self._waiting or self._open)

    def over(self, row: GridRow) -> tuple[Merged, ...]:
        """Return the merged cells that reach into a row and hold something.

        Raises:
            InputError: there are more than can stand side by side.
        """
        number = int(row.place.removeprefix("row "))
        self._open = [one for one in self._open if one.rows[1] >= number]
        while self._waiting and self._waiting[-1].rows[0] <= number:
            begun = self._waiting.pop()
            text = row.cells[begun.positions[0]] if begun.positions[0] < len(row.cells) else ""
            if begun.rows[0] == number and text:
                is_number = begun.positions[0] in row.numbers
                self._open.append(Merged(begun.name, begun.rows, begun.positions, text, is_number))
        if len(self._open) > _MOST_COLUMNS:
            expected, todo = "merged cells that do not overlap", "Unmerge them, and save it again."
            raise refused(self._path, f"sheet {self._sheet!r}, {row.place}", expected, "some that do", todo)
        return tuple(self._open)


def _bounds(name: str) -> Merged:
    from openpyxl.utils import range_boundaries  # noqa: PLC0415 - as above

    left, top, right, bottom = (int(one or 0) for one in range_boundaries(name))
    return Merged(name, (top, bottom), (left - 1, min(right, _MOST_COLUMNS) - 1), "")
