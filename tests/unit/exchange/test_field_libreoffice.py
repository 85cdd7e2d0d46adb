"""A fill-in workbook that a spreadsheet really saved comes back as it was typed.

The two files beside this one were made by LibreOffice Calc 7.4.7 (Debian 12): it opened the workbook of V01 of the
invented season in ``field_samples``, the cells were typed into through its own input line, R6 and R7 were merged, and
it saved the book as XLSX and as ODS.
"""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from planner.domain.errors import InputError
from planner.domain.field.habitat_sheet import SheetKey, UnreadCell
from planner.domain.field.visit_record import RecordKey, Stopped
from planner.exchange.field_files.reading_back import FileSaid
from planner.exchange.recognise import recognise
from tests.unit.exchange.field_samples import EVENING, SEASON, back, records_of, sheets_of

SAVED = Path(__file__).with_name("saved_by_libreoffice")


@pytest.fixture(scope="module")
def said() -> FileSaid:
    return back(SAVED / "filled_in.xlsx")


def test_that_what_was_typed_is_read_and_every_cell_that_cannot_be_is_named(said: FileSaid) -> None:
    sheets = sheets_of(said)
    first, second, third, fourth = (sheets[SheetKey("R01", 1, point, "V01")] for point in (1, 2, 3, 4))
    assert dict(first.covers[0].percents) == {"TH": 60, "SH": 40}
    assert (first.grazed_percent, first.livestock, first.note) == (20, 0, "by the gate; burnt in March")
    assert dict(second.covers[0].percents) == {"TH": 60}, "'=30+30' was worked out by the spreadsheet"
    assert second.unread == (UnreadCell("SH", "0.4"),), "'40 %' in a cell of whole numbers is kept as 0.4"
    assert (second.date, fourth.date) == (dt.date(2026, 5, 21), dt.date(2026, 5, 21)), "as 2026-05-21 and 21/05/2026"
    assert (third.species, third.unread) == ("a curlew", (UnreadCell("TH", "sixty"), UnreadCell("grazed", "0")))
    assert fourth.unread == (UnreadCell("grazed", "0"),)
    assert [(cell.sheet, cell.cell, cell.stood) for cell in said.bad] == [
        ("Habitat", "H5", "0.4"),
        ("Habitat", "G6", "sixty"),
        ("Habitat", "R6", "0"),
        ("Habitat", "R7", "0"),
        ("Counts", "F5", "1900-01-21 02:24:00"),
    ]
    assert "R6:R7 is one merged cell" in said.bad[2].expected
    assert "colon" in said.bad[4].todo, "'21.10' in a cell of times is kept as 21.1 days"


def test_that_times_however_typed_belong_to_the_evening(said: FileSaid) -> None:
    (record,) = records_of(said).values()
    assert record.key == RecordKey("R01", 1, EVENING)
    zone = SEASON.tzinfo
    assert record.stopped is Stopped.WEATHER
    assert record.distance_km == 31.5
    assert [moment and f"{moment.astimezone(zone):%d %H:%M}" for moment in (record.left_utc, record.home_utc)] == [
        "20 19:05",
        "21 00:12",
    ]
    assert [str(condition.measured) for condition in record.weather_first] == ["12.5 C"]
    began = [count.began_utc.astimezone(zone).strftime("%H:%M") for count in record.counts if count.began_utc]
    assert began == ["21:00", "21:12", "00:05"], "as 21:00, 9:12 PM and 24:05"
    assert all(count.done for count in record.counts)


def test_that_lists_sums_and_hidden_keys_outlive_the_spreadsheet() -> None:
    saved = openpyxl.load_workbook(SAVED / "filled_in.xlsx")["Habitat"]
    worked_out = openpyxl.load_workbook(SAVED / "filled_in.xlsx", data_only=True)["Habitat"]
    assert isinstance(saved, Worksheet)
    assert isinstance(worked_out, Worksheet)
    lists = {str(one.sqref): one.formula1 for one in saved.data_validations.dataValidation if one.type == "list"}
    assert lists["G4:G11"] == '"0,10,20,30,40,50,60,70,80,90,100"'
    assert [worked_out.cell(row, 16).value for row in (4, 5, 6, 7)] == [100, 60.4, 40, 100]
    assert [worked_out.cell(row, 17).value for row in (4, 7)] == [0, 0]
    assert saved.row_dimensions[1].hidden
    assert saved.protection.sheet


def test_that_an_open_document_is_refused_with_what_to_do() -> None:
    for read in (back, recognise):
        with pytest.raises(InputError, match=r"OpenDocument format \(ODS\), which is not read here.* save it as XLSX"):
            read(SAVED / "filled_in.ods")
