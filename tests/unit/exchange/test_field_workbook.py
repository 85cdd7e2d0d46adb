"""The fill-in workbook as other readers see it: what its cells allow, work out and hold, and what they do not hold."""

from __future__ import annotations

import zipfile
from dataclasses import replace
from pathlib import Path

import numpy as np
import openpyxl
import pandas as pd
import pytest
from formulas import Parser
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from planner.domain.field.habitat_sheet import Cover, HabitatSheet, SheetKey, Side
from planner.exchange.field_files.form import TableKind
from planner.exchange.field_files.tables_out import table_bytes
from planner.usecases.field_files.rows import fill_in_of
from tests.unit.exchange.field_samples import EVENING, FIRST_ROW, PLAN, SEASON, book, filled_in


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The workbook of V01, one of whose sheets is recorded already."""
    key = SheetKey("R01", 1, 2, "V01")
    sheet = HabitatSheet(key, (Cover.of(Side.CIRCLE, (("TH", 60), ("OT", 40))),), EVENING, 10, 3, note="=1+1")
    other = replace(sheet, key=SheetKey("R01", 1, 1, "V02"), note="of another observer")
    return filled_in(tmp_path_factory.mktemp("workbook") / "V01.xlsx", book(sheets=(sheet, other)))


@pytest.fixture(scope="module")
def habitat(path: Path) -> Worksheet:
    """Its sheet of habitat."""
    sheet = openpyxl.load_workbook(path)["Habitat"]
    assert isinstance(sheet, Worksheet)
    return sheet


def letters(sheet: Worksheet) -> dict[str, str]:
    return {str(cell.value): get_column_letter(at) for at, cell in enumerate(sheet[1], start=1)}


def test_that_another_reader_finds_a_row_for_each_point_and_visit_with_what_is_recorded(path: Path) -> None:
    table = pd.read_excel(path, sheet_name="Habitat", header=2)
    assert list(zip(table["route"], table["visit"], table["point"], strict=True)) == [
        ("R01", visit, point) for visit in (1, 2) for point in (1, 2, 3, 4)
    ]
    assert set(table["observer"]) == {"V01"}
    assert table["TH\ntall heath"].tolist()[1] == 60
    assert table["TH\ntall heath"].isna().sum() == 7
    assert pd.read_excel(path, sheet_name="Counts", header=2).shape[0] == 8
    assert pd.read_excel(path, sheet_name="Visits", header=2)["route"].notna().sum() == 2


def test_that_cells_offer_the_steps_of_the_protocol_and_bound_all_others(habitat: Worksheet) -> None:
    at = letters(habitat)
    rules = {str(one.sqref).split(":")[0]: one for one in habitat.data_validations.dataValidation}
    classes = rules[f"{at['class TH']}{FIRST_ROW}"]
    assert (classes.type, classes.formula1) == ("list", '"0,10,20,30,40,50,60,70,80,90,100"')
    assert str(classes.sqref).endswith(str(FIRST_ROW + 7))
    assert classes.showErrorMessage
    assert rules[f"{at['livestock']}{FIRST_ROW}"].type == "whole"
    assert "Domestic animals alone" in str(rules[f"{at['livestock']}{FIRST_ROW}"].prompt)
    assert rules[f"{at['date']}{FIRST_ROW}"].formula1 == "DATE(2026,5,1)"


def test_that_keys_and_sums_are_locked_without_a_password_and_all_else_may_be_written(habitat: Worksheet) -> None:
    at = letters(habitat)
    locked = {key for key, letter in at.items() if habitat[f"{letter}{FIRST_ROW}"].protection.locked}
    assert locked == {"dimpsy habitat", "route", "visit", "point", "sum", "rest"}
    assert habitat.protection.sheet
    assert habitat.protection.password is None
    assert habitat.freeze_panes == f"E{FIRST_ROW}"
    assert habitat.row_dimensions[1].hidden


@pytest.mark.parametrize(
    ("classes", "total", "rest"),
    [((60, 40), 100, 0), ((60, 30), 90, 10), ((60, 60), 120, -20), ((100,), 100, 0), ((), "", "")],
)
def test_that_the_sums_are_right_by_another_evaluator(
    habitat: Worksheet, classes: tuple[int, ...], total: object, rest: object
) -> None:
    """The formulas are worked out by the library 'formulas', which shares nothing with what wrote them."""
    at = letters(habitat)
    codes = [key for key in at if key.startswith("class ")]
    row = np.array([[*classes, *[None] * (len(codes) - len(classes))]], dtype=object)
    for key, meant in (("sum", total), ("rest", rest)):
        text = habitat[f"{at[key]}{FIRST_ROW}"].value
        made = Parser().ast(text)[1].compile()
        assert list(made.inputs) == [f"{at[codes[0]]}{FIRST_ROW}:{at[codes[-1]]}{FIRST_ROW}"]
        assert made(row) == meant


def test_that_the_sum_is_green_at_100_and_red_else_and_says_so_in_words(habitat: Worksheet) -> None:
    at = letters(habitat)
    both = f"{at['sum']}{FIRST_ROW}:{at['rest']}{FIRST_ROW + 7}"
    (whole, other) = next(one.rules for one in habitat.conditional_formatting if str(one.sqref) == both)
    assert (whole.formula, whole.dxf.fill.bgColor.rgb) == ([f"${at['sum']}{FIRST_ROW}=100"], "00C9E7CB")
    assert other.dxf.fill.bgColor.rgb == "00F6C9C4"
    assert "still" in habitat[f"{at['rest']}{FIRST_ROW}"].number_format


def test_that_text_that_looks_like_a_formula_stays_text(habitat: Worksheet) -> None:
    note = habitat[f"{letters(habitat)['note']}{FIRST_ROW + 1}"]
    assert (note.value, note.data_type) == ("'=1+1", "s")


def test_that_the_first_sheet_says_whose_it_is_how_it_is_done_and_to_take_care(path: Path) -> None:
    table = pd.read_excel(path, sheet_name="Read me", header=None).fillna("")
    text = "\n".join(" ".join(map(str, row)) for row in table.to_numpy().tolist())
    assert "V01 Ada Example" in text
    assert "Test heath #01234567" in text
    assert "steps of 10, together exactly 100" in text
    assert "Grazed share and livestock: write 0 where there is none" in text
    assert "one of you fills in times and weather; where two files differ it is asked." in text
    assert "about 4 spans between poles, which commonly stand about 100 m apart (common practice" in text
    assert "tall heath" in text
    assert "may change between visits" in text
    assert "question 1" in text
    assert "Local law" in text


@pytest.mark.parametrize("who", ["V01", "V02"])
def test_that_nothing_of_anybody_else_is_in_it(tmp_path: Path, who: str) -> None:
    path = filled_in(tmp_path / "one.xlsx", who=who)
    with zipfile.ZipFile(path) as archive:
        text = "\n".join(archive.read(name).decode("utf-8", "replace") for name in archive.namelist())
    tables = fill_in_of(book(), who).tables
    text += "\n".join(table_bytes(table).decode("utf-8-sig") for table in tables)
    for person in SEASON.volunteers:
        home = (str(person.home.latitude), str(person.home.longitude))
        for private in (*home, person.telephone, person.email):
            assert not private or private not in text
        assert (person.name in text) == (person.code == who)
        assert (f">{person.code}<" in text or f",{person.code}," in text) == (person.code == who)


def test_that_two_runs_and_sides_of_the_road_have_rows_of_their_own() -> None:
    window = SEASON.protocol.windows[0]
    habitat = SEASON.protocol.habitat
    assert habitat is not None
    protocol = replace(
        SEASON.protocol,
        windows=(replace(window, passes=(*window.passes, *window.passes)),),
        habitat=replace(habitat, sides_of_road=True),
    )
    tables = {table.kind: table for table in fill_in_of(book(replace(SEASON, protocol=protocol)), "V01").tables}
    assert len(tables[TableKind.COUNTS].rows) == 2 * 8
    assert "side" in [column.key for column in tables[TableKind.HABITAT].columns]
    assert len(tables[TableKind.HABITAT].rows) == 2 * 8


def test_that_the_order_of_the_season_does_not_matter_and_a_second_gets_rows_too() -> None:
    rows = {table.kind: len(table.rows) for table in fill_in_of(book(), "V02").tables}
    assert rows == {TableKind.HABITAT: 4 + 3, TableKind.VISITS: 2, TableKind.COUNTS: 4 + 3}
    assert [visit.key.route for visit in PLAN.of_volunteer("V02")] == ["R01", "R02"]
