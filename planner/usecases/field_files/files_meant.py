"""Which files somebody means who names files and folders; of a folder, one that cannot be read stops no other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from planner.domain.errors import Fault, InputError
from planner.exchange.field_files.field_tables import read_tables
from planner.exchange.table_files.grids import Grid

ENDINGS = (".xlsx", ".xlsm", ".csv", ".tsv", ".txt")
_OTHER_SPREADSHEETS = (".ods", ".fods", ".xls", ".xlsb", ".numbers")
"""Somebody may have filled in one of these: it is said that it is not read, and what to do."""


@dataclass(frozen=True, slots=True)
class PassedOver:
    """A file among others that was left out."""

    path: Path
    faults: tuple[Fault, ...]
    """Why."""

    @property
    def why(self) -> str:
        """Why, in a sentence, and what to do."""
        fault = self.faults[0]
        place = f"{fault.where}: " if fault.where else ""
        return f"{place}expected {fault.expected}, found {fault.found}. {fault.todo}"


@dataclass(slots=True)
class FilesRead:
    """What reading files came to."""

    tables: list[tuple[Path, tuple[Grid, ...]]]
    among: set[Path]
    """Those of them that may still be passed over."""
    passed: list[PassedOver]
    faults: list[Fault]
    """Of files that stand in the way of all."""


def files_read(paths: Sequence[Path], *, pass_over: bool) -> FilesRead:
    """Read the tables of the files that are meant.

    Args:
        paths: files, and folders of them.
        pass_over: whether files that are named themselves are passed over as well, as long as there are several.
    """
    found = FilesRead([], set(), [], [])
    for path, alone in _meant(paths, found.faults, pass_over=pass_over):
        try:
            found.tables.append((path, read_tables(path)))
            found.among |= set() if alone else {path}
        except InputError as error:
            if alone:
                found.faults += error.faults
            else:
                found.passed.append(PassedOver(path, tuple(error.faults)))
    return found


def _meant(paths: Sequence[Path], faults: list[Fault], *, pass_over: bool) -> Iterator[tuple[Path, bool]]:
    """Yield the files that are meant, each once, and whether it stands in the way of all where it cannot be read.

    Of folders, those that may be filled in by their names.
    """
    seen: set[Path] = set()
    named = set() if pass_over and len(paths) > 1 else {path for path in paths if not path.is_dir()}
    for path in paths:
        inside = [path]
        if path.is_dir():
            inside = sorted(one for one in path.iterdir() if one.is_file() and may_be_filled_in(one))
            if not inside:
                todo = "Name another folder, or the files themselves."
                faults.append(Fault(str(path), "", "a folder with filled-in files", "none", todo))
        yield from ((one, one in named) for one in inside if one not in seen)
        seen.update(inside)


def may_be_filled_in(path: Path) -> bool:
    """Whether a file of a folder is looked at, by its name."""
    return path.suffix.lower() in (*ENDINGS, *_OTHER_SPREADSHEETS) and not path.name.startswith((".", "~$"))
