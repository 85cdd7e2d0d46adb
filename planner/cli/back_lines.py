"""What came back from the field, in lines for a person."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from planner.usecases.field_files import Back, BadCell, FileBack, KeptBack

_MOST_CELLS = 60
"""Cells that are listed; the others are counted, and --json has them all."""


def back_lines(back: Back) -> Iterator[str]:
    """Yield what was read: file by file, then what it comes to, then every cell that could not be taken."""
    for each in back.files:
        yield f"{each.path.name}: {_held(each)}"
    for passed in back.passed_over:
        yield f"{passed.path.name}: PASSED OVER, nothing of it was taken: {passed.why}"
    yield from back.words
    yield from cell_lines(back.bad)
    yield from back.notes


def cell_lines(bad: Iterable[BadCell]) -> Iterator[str]:
    """Yield each cell that could not be taken, and what to do."""
    cells = tuple(bad)
    if cells:
        yield f"Cells that could not be taken as they stand: {len(cells)}"
    for number, cell in enumerate(cells[:_MOST_CELLS], start=1):
        about = f" ({cell.subject})" if cell.subject else ""
        yield f"{number:3d}. {cell.source}, {cell.where}{about}: expected {cell.expected}, found {cell.shown}"
        yield f"     What to do: {cell.todo}"
    if len(cells) > _MOST_CELLS:
        yield f"     and {len(cells) - _MOST_CELLS} more: --json lists them all."


def kept_lines(kept: KeptBack) -> Iterator[str]:
    """Yield what keeping it came to."""
    if kept.done:
        yield f"Done now: {', '.join(map(str, kept.done))}."
    if kept.reopened:
        yield f"Planned again, for its record no longer makes it whole: {', '.join(map(str, kept.reopened))}."
    if kept.attached:
        yield f"Photos attached: {kept.attached}."
    yield from kept.photos


def _held(each: FileBack) -> str:
    parts = [
        _counted(count, one, more)
        for count, one, more in (
            (each.sheets, "habitat sheet", "habitat sheets"),
            (each.records, "visit record", "visit records"),
        )
        if count
    ]
    return " and ".join(parts) or "nothing is filled in"


def _counted(count: int, one: str, more: str) -> str:
    return f"{count} {one if count == 1 else more}"
