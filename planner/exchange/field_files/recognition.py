"""Filled-in files among the importers: known by their hidden keys, or by headings that no other table has."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from planner.exchange.field_files.field_tables import filled_in_words, read_tables
from planner.exchange.importers import Choices, Head, Reading, SourceKind
from planner.exchange.reads import FieldRead
from planner.exchange.table_files.grids import begun_grids
from planner.exchange.table_files.table_fit import head_text
from planner.exchange.table_files.workbooks import is_workbook, workbook_grids


@dataclass(frozen=True, slots=True)
class FieldImporter:
    """Reads filled-in files; what their tables mean is told once the season is at hand."""

    kind: SourceKind = SourceKind.FIELD
    words: str = "filled-in habitat sheets and visit records"
    endings: tuple[str, ...] = (".csv", ".tsv", ".txt", ".xlsx", ".xlsm")

    def recognises(self, head: Head) -> str:
        """Return what a file is known by; empty where it is none."""
        if head.root is not None:
            return ""
        if is_workbook(head.path):
            grids = workbook_grids(head.path, begun=True, as_text=True)
        else:
            grids = tuple(begun_grids(head_text(head), head.path))
        return next((words for grid in grids if (words := filled_in_words(grid))), "")

    def read(self, path: Path, choices: Choices) -> Reading:
        """Read the tables; raises InputError where that fails."""
        return Reading(FieldRead(str(path), read_tables(path, choices.encoding)))
