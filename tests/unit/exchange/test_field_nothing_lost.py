"""Whatever stands in a cell of a file that came back is read, kept as it stood, or told: nothing falls by the way."""

from __future__ import annotations

import csv
import io
import unicodedata
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner.domain.errors import InputError
from planner.domain.field.habitat_sheet import Cover
from planner.exchange.field_files.form import TableKind
from planner.exchange.field_files.parts import PartValue, Said, value_words
from planner.exchange.field_files.reading_back import FileSaid
from tests.unit.exchange.field_samples import SEASON, back, known
from tests.unit.exchange.samples import write

COLUMNS = {kind: known().form.columns(kind) for kind in TableKind}
WORDS = st.sampled_from(
    [
        "x",
        "-",
        "20",
        "0.2",
        "20 %",
        "33,3",
        "yes",
        "none",
        "21:40",
        "9.30pm",
        "24:05",
        "2026-05-20",
        "04/05/2026",
        "light",
        "12 km/h",
        "V02",
        "Zed",
        "=1+1",
        "#REF!",
        "'",
        '"',
        "R01",
        "half nine",
        "-7",
        "1e9",
        "٣",
        "２０",
        "\u200b",
        "a\tb",
    ]
)
TEXTS = WORDS | st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=30)
READ_AS: dict[str, str] = {"class ": "cover", "first ": "first", "last ": "last"}
"""What a column's key begins with, and the part that it becomes."""


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A file that the examples write over."""
    return tmp_path_factory.mktemp("any") / "any.csv"


@st.composite
def tables(draw: st.DrawFn) -> tuple[TableKind, list[dict[str, str]]]:
    """A table of one kind whose rows are of points and visits of the season, with anything in all other cells."""
    kind = draw(st.sampled_from(TableKind))
    keys = [column.key for column in COLUMNS[kind] if not column.computed and column.key not in ("season", "pass")]
    rows: list[dict[str, str]] = []
    for point in range(1, draw(st.integers(1, 4)) + 1):
        row = {"route": "R01", "visit": "1", "point": str(point)} if kind is not TableKind.VISITS else {"route": "R01"}
        row |= {"visit": str(len(rows) % 2 + 1)} if kind is TableKind.VISITS else {}
        others = [key for key in keys if key not in ("route", "visit", "point")]
        rows.append(row | draw(st.dictionaries(st.sampled_from(others), TEXTS, max_size=6)))
    return kind, rows[:2] if kind is TableKind.VISITS else rows


def written(kind: TableKind, rows: list[dict[str, str]]) -> str:
    columns = [column for column in COLUMNS[kind] if not column.computed and column.key not in ("season", "pass")]
    text = io.StringIO(newline="")
    out = csv.writer(text)
    out.writerow([column.heading.replace("\n", " ") for column in columns])
    out.writerows([[row.get(column.key, "") for column in columns] for row in rows])
    return text.getvalue()


def told(said: FileSaid) -> str:
    """Everything that a file was read as, or that is said of it, with single spaces."""
    return " ".join("\n".join(_told(said)).split())


def _told(said: FileSaid) -> Iterator[str]:
    yield from said.notes
    for cell in said.bad:
        yield cell.stood
    for one in said.said:
        yield from (cell.text for cell in one.unread)
        yield from (value_words(value, SEASON.tzinfo) for value in one.parts.values())


def was_read(said: tuple[Said, ...], key: str, row: int) -> bool:
    """Whether a cell became a part of what its row says."""
    head = next((part for begin, part in READ_AS.items() if key.startswith(begin)), key)
    for one in said:
        of_row = getattr(one.key, "point", row) == row
        if of_row and any(head in (name[0], name[-1]) and holds(value, key) for name, value in one.parts.items()):
            return True
    return False


def plain(text: str) -> str:
    """A cell without what no reader keeps: control characters, spaces over one, the apostrophe that says 'text'."""
    shown = "".join(one for one in text if unicodedata.category(one) != "Cc" or one.isspace())
    return " ".join(shown.split()).removeprefix("'")


def holds(value: PartValue, key: str) -> bool:
    """Whether a cover has the class of a column; whatever else a part is, it is of its column alone."""
    return not isinstance(value, Cover) or key.removeprefix("class ") in dict(value.percents)


@settings(max_examples=20, suppress_health_check=[HealthCheck.too_slow])
@given(table=tables())
def test_that_whatever_stands_in_a_cell_is_read_or_told(
    path: Path, table: tuple[TableKind, list[dict[str, str]]]
) -> None:
    kind, rows = table
    said = back(write(path, written(kind, rows)))
    everything = told(said)
    for number, row in enumerate(rows, start=1):
        filled = any(" ".join(text.split()) for key, text in row.items() if key not in ("route", "visit", "point"))
        for key, text in row.items():
            kept = plain(text)
            if not filled or key in ("route", "visit", "point", "date", "observer", "team") or not kept:
                continue
            if key == "driver" and not plain(row.get("km", "")):
                continue  # it says whose the kilometres are, and there are none
            assert kept in everything or was_read(said.said, key, number), (key, text)


@settings(max_examples=20, suppress_health_check=[HealthCheck.too_slow])
@given(rows=st.lists(st.lists(TEXTS, max_size=8), max_size=8))
def test_that_any_text_is_read_or_refused_in_words(path: Path, rows: list[list[str]]) -> None:
    text = io.StringIO(newline="")
    csv.writer(text).writerows([["route", "visit", "point", "TH", "SH", "grazed", "note"], *rows])
    try:
        back(write(path, text.getvalue()))
    except InputError as error:
        assert error.faults  # noqa: PT017  either outcome is right; both must be whole
