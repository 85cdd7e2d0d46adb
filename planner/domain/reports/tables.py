"""Tables that are given away, and what each of their columns means: no column without its description."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

from planner.domain.errors import RuleError

Cell: TypeAlias = str | int | float | bool | dt.date | dt.datetime | None
"""None is an empty cell. Moments are aware."""


class ColumnType(StrEnum):
    """What a column holds: names of types as Frictionless Table Schema has them (https://specs.frictionlessdata.io)."""

    STRING = "string"
    INTEGER = "integer"
    NUMBER = "number"
    BOOLEAN = "boolean"
    DATE = "date"
    MOMENT = "datetime"
    MONTH = "yearmonth"


_HOLDS: dict[ColumnType, tuple[type, ...]] = {
    ColumnType.STRING: (str,),
    ColumnType.INTEGER: (int,),
    ColumnType.NUMBER: (int, float),
    ColumnType.BOOLEAN: (bool,),
    ColumnType.DATE: (dt.date,),
    ColumnType.MOMENT: (dt.datetime,),
    ColumnType.MONTH: (dt.date,),
}


@dataclass(frozen=True, slots=True)
class Column:
    """One field of a table, as a data dictionary tells of it."""

    name: str
    kind: ColumnType
    words: str
    """What it means."""
    source: str
    """Where its values come from."""
    unit: str = ""
    allowed: tuple[str, ...] = ()
    """The only values there may be, beside an empty cell; empty: any of the type."""
    least: float | None = None
    most: float | None = None
    required: bool = False
    """Whether no cell is empty."""

    @property
    def allowed_words(self) -> str:
        """The allowed values in a cell."""
        if self.allowed:
            return "; ".join(self.allowed)
        if self.least is not None and self.most is not None:
            return f"from {self.least:g} to {self.most:g}"
        if self.least is not None:
            return f"{self.least:g} or more"
        if self.most is not None:
            return f"{self.most:g} or less"
        return "any"

    def takes(self, cell: Cell) -> bool:
        """Whether a cell may stand in the column."""
        if cell is None:
            return not self.required
        if not isinstance(cell, _HOLDS[self.kind]) or (isinstance(cell, bool) and self.kind is not ColumnType.BOOLEAN):
            return False
        if self.kind is ColumnType.MOMENT and (not isinstance(cell, dt.datetime) or cell.utcoffset() is None):
            return False
        if self.allowed and str(cell) not in self.allowed:
            return False
        if isinstance(cell, int | float) and not isinstance(cell, bool):
            return (self.least is None or cell >= self.least) and (self.most is None or cell <= self.most)
        return True


@dataclass(frozen=True, slots=True)
class Table:
    """A table of facts, one a row."""

    name: str
    """Of its file, without the ending."""
    words: str
    """What a row is."""
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    personal: bool = False
    """Whether it holds data of people."""
    ending: str = "csv"
    """Of its file."""

    @property
    def file(self) -> str:
        """Name of its file."""
        return f"{self.name}.{self.ending}"

    def __post_init__(self) -> None:
        names = [column.name for column in self.columns]
        if len(set(names)) != len(names):
            raise RuleError(f"table {self.name}: a column appears twice in {', '.join(names)}")
        for row in self.rows:
            if len(row) != len(names):
                raise RuleError(f"table {self.name}: {len(names)} columns, found a row of {len(row)}")
            for column, cell in zip(self.columns, row, strict=True):
                if not column.takes(cell):
                    raise RuleError(f"table {self.name}, column {column.name}: {cell!r} may not stand there")
