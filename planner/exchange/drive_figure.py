"""What a season's recorded drives came to, as a small TOML file for the next season; nothing of any person in it."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from textwrap import shorten

from planner.domain.errors import InputError, RuleError
from planner.domain.field.drive_factors import DriveFactor, DriveFactors
from planner.exchange.faults import refused
from planner.exchange.toml_files import read_form
from planner.exchange.writing import write_whole

MOST_BYTES = 64 * 1024
"""Largest file that is read; one of all highway classes has some 2 kB."""
LAYOUT = 1
_MOST_NAME = 120
"""Letters of a season's name that are said."""
_WANTED = "the recorded drives of a season as a TOML file"


class FigureKind(StrEnum):
    """What such a file says of itself, so that no other TOML file is taken for one."""

    DRIVES = "recorded drives"


@dataclass(frozen=True, slots=True)
class DriveFigure:
    """What the drives of one season came to."""

    kind: FigureKind
    layout: int
    season: str
    first: dt.date
    last: dt.date
    factor: float
    """Of the season: recorded minutes over those of the road map, or of the estimate without roads."""
    legs: int
    speeds: str = ""
    """How fast that season's roads were driven, in words, where the coordinator changed the table of speeds."""
    classes: tuple[DriveFactor, ...] = ()
    """By highway class."""
    most: float | None = None
    """The upper end of the range of the season's factor; None: it was not written down."""

    def __post_init__(self) -> None:
        if self.layout != LAYOUT:
            raise RuleError(f"layout {LAYOUT} is what this version of the program reads, found {self.layout}")
        if self.last < self.first:
            raise RuleError(f"the season's dates are reversed: {self.first} comes after {self.last}")
        self.factors()

    def factors(self) -> DriveFactors:
        """Return the factors that another season's drives can be planned with; routes have none in it."""
        classes = tuple(sorted(self.classes))
        source = f"the recorded drives of {shorten(self.season, _MOST_NAME, placeholder=' …')}"
        return DriveFactors(DriveFactor("", self.factor, self.legs, self.most), (), classes, source)


def write_drive_figure(path: Path, figure: DriveFigure) -> None:
    """Write a figure; the file appears whole or not at all. Of files that stand there only such a one is replaced.

    Raises:
        InputError: another file stands there; or the folder is missing, full, or may not be written to.
    """
    if path.is_file() and not _is_figure(path):
        todo = "Nothing was written. Choose another name."
        raise refused(path, "", "a new file, or recorded drives that may be replaced", "another file", todo)
    write_whole(path, ("\n".join(_lines(figure)) + "\n").encode())


def read_drive_figure(path: Path) -> DriveFigure:
    """Read a figure that ``write_drive_figure`` wrote.

    Raises:
        InputError: the file cannot be read, is no such file, or a figure is missing, of another kind or out of bounds.
    """
    return read_form(path, _WANTED, MOST_BYTES, DriveFigure)


def _is_figure(path: Path) -> bool:
    try:
        read_drive_figure(path)
    except InputError:
        return False
    return True


def _lines(figure: DriveFigure) -> Iterator[str]:
    yield "# What recorded drives came to, as a multiple of what was expected. For the next season:"
    yield "#   dimpsy calibrate FILE --from THIS_FILE"
    yield f"kind = {_text(figure.kind.value)}"
    yield f"layout = {figure.layout}"
    yield f"season = {_text(figure.season)}"
    yield f"first = {figure.first.isoformat()}"
    yield f"last = {figure.last.isoformat()}"
    yield f"factor = {figure.factor!r}"
    yield f"legs = {figure.legs}"
    yield from _range_lines(figure.most)
    yield f"speeds = {_text(figure.speeds)}"
    for one in figure.classes:
        yield from ("", "[[classes]]", f"name = {_text(one.name)}", f"factor = {one.factor!r}", f"legs = {one.legs}")
        yield from _range_lines(one.most)


def _range_lines(most: float | None) -> Iterator[str]:
    if most is not None:
        yield f"most = {most!r}"


def _text(words: str) -> str:
    """Return text in quotation marks: JSON's are TOML's, but for one control character."""
    return json.dumps(words, ensure_ascii=False).replace("\x7f", "\\u007f")
