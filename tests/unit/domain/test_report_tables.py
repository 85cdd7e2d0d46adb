"""Tables that are given away refuse what their dictionary does not tell."""

from __future__ import annotations

import datetime as dt

import pytest

from planner.domain.errors import RuleError
from planner.domain.reports.tables import Cell, Column, ColumnType, Table

NOON = dt.datetime(2027, 6, 1, 12, tzinfo=dt.UTC)


def _column(kind: ColumnType, **more: object) -> Column:
    return Column("field", kind, "what", "where", **more)  # type: ignore[arg-type]  # fields by name


@pytest.mark.parametrize(
    ("column", "good", "bad"),
    [
        (_column(ColumnType.STRING), "text", 3),
        (_column(ColumnType.INTEGER, least=1.0), 1, 0),
        (_column(ColumnType.INTEGER), 1, True),
        (_column(ColumnType.INTEGER), 1, 1.5),
        (_column(ColumnType.NUMBER, most=100.0), 100, 100.5),
        (_column(ColumnType.BOOLEAN), False, 0),
        (_column(ColumnType.DATE), NOON.date(), "2027-06-01"),
        (_column(ColumnType.MOMENT), NOON, NOON.replace(tzinfo=None)),
        (_column(ColumnType.MOMENT), NOON, NOON.date()),
        (_column(ColumnType.STRING, allowed=("a", "b")), "b", "c"),
        (_column(ColumnType.STRING, required=True), "a", None),
    ],
)
def test_that_a_column_takes_its_own_type_and_values_only(column: Column, good: Cell, bad: Cell) -> None:
    Table("table", "one thing", (column,), ((good,),))
    with pytest.raises(RuleError, match="may not stand there"):
        Table("table", "one thing", (column,), ((bad,),))


def test_that_an_empty_cell_may_stand_where_none_is_required() -> None:
    assert Table("table", "one thing", (_column(ColumnType.NUMBER, least=0.0),), ((None,),)).rows == ((None,),)


def test_that_columns_have_names_of_their_own_and_rows_a_cell_for_each() -> None:
    column = _column(ColumnType.STRING)
    with pytest.raises(RuleError, match="twice"):
        Table("table", "one thing", (column, column), ())
    with pytest.raises(RuleError, match="a row of 2"):
        Table("table", "one thing", (column,), (("a", "b"),))


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({}, "any"),
        ({"least": 0.0}, "0 or more"),
        ({"most": 5.0}, "5 or less"),
        ({"least": -1.5, "most": 1.0}, "from -1.5 to 1"),
        ({"allowed": ("a", "b")}, "a; b"),
    ],
)
def test_that_what_is_allowed_is_told_in_words(more: dict[str, object], words: str) -> None:
    assert _column(ColumnType.NUMBER, **more).allowed_words == words
