"""Files as they really come back: renamed, merged, half typed, of another season. All is kept or said."""

from __future__ import annotations

import datetime as dt
import os
import re
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import openpyxl
import pytest

from planner.domain.errors import InputError
from planner.domain.field.habitat_sheet import SheetKey, UnreadCell
from planner.domain.field.visit_record import RecordKey, Stopped
from planner.exchange.field_files.field_season import FieldSeason
from planner.exchange.field_files.form import FieldForm
from planner.exchange.field_files.parts import record_of
from planner.exchange.field_files.reading_back import FileSaid
from planner.exchange.field_files.workbook_out import workbook_bytes
from planner.usecases.field_files.joining import together
from planner.usecases.field_files.rows import fill_in_of
from tests.unit.exchange.field_samples import (
    EVENING,
    FIRST_ROW,
    PLAN,
    SEASON,
    WHOLE,
    Typist,
    back,
    book,
    cells,
    dusk,
    known,
    records_of,
    sheets_of,
)
from tests.unit.exchange.samples import write


@lru_cache(maxsize=1)
def gone_out() -> bytes:
    """The fill-in workbook of V01 as it goes out."""
    return workbook_bytes(fill_in_of(book(), "V01"))


@pytest.fixture
def typist(tmp_path: Path) -> Typist:
    """Somebody at the fill-in workbook of V01."""
    return Typist(write(tmp_path / "back.xlsx", gone_out()))


def key(point: int, visit: int = 1, observer: str = "V01") -> SheetKey:
    return SheetKey("R01", visit, point, observer)


def percents(said: FileSaid, one: SheetKey) -> dict[str, int]:
    return dict(sheets_of(said)[one].covers[0].percents)


def csv(tmp_path: Path, *lines: str, name: str = "back.csv") -> FileSaid:
    return back(write(tmp_path / name, "\n".join(lines) + "\n"))


def test_that_a_workbook_that_nobody_wrote_into_says_nothing(typist: Typist) -> None:
    said = back(typist.path)
    assert (said.said, said.bad, said.notes) == ((), (), ())


def test_that_a_row_that_is_not_kept_is_shown_by_what_somebody_wrote(typist: Typist) -> None:
    typist.type(FIRST_ROW, {**WHOLE, "point": 40})
    (cell,) = back(typist.save()).bad
    assert cell.shown.startswith("'40 (the row: route R01, visit 1, point 40, date ")
    assert not {"season", "sum", "SUM"} & set(re.findall(r"\w+", cell.stood))


def test_that_every_bad_cell_is_named_and_the_rest_of_its_row_is_kept(typist: Typist) -> None:
    typist.type(FIRST_ROW, WHOLE)
    typist.type(FIRST_ROW + 1, {**WHOLE, "class TH": "sixty", "livestock": "a few", "note": "by the gate"})
    said = back(typist.save())
    assert cells(said.bad) == [
        ("Habitat", typist.at(FIRST_ROW + 1, "class TH"), "sixty"),
        ("Habitat", typist.at(FIRST_ROW + 1, "livestock"), "a few"),
    ]
    assert "back.xlsx, sheet 'Habitat'" in str(said.bad[0])
    assert "R01 visit 1 point 2" in str(said.bad[0])
    sheets = sheets_of(said)
    assert dict(sheets[key(1)].covers[0].percents) == {"TH": 60, "SH": 40}
    lacking = sheets[key(2)]
    assert dict(lacking.covers[0].percents) == {"SH": 40}
    assert lacking.unread == (UnreadCell("TH", "sixty"), UnreadCell("livestock", "a few"))
    assert (lacking.note, lacking.grazed_percent) == ("by the gate", 20)


def test_that_percentages_in_all_their_ways_are_told_apart_by_their_row(typist: Typist) -> None:
    for row, (tall, short) in enumerate([(0.6, 0.4), ("60 %", "40,0"), (60, "x"), (0.2, 80)], start=FIRST_ROW):
        typist.type(row, {**WHOLE, "class TH": tall, "class SH": short})
    cell = typist.sheet.cell(FIRST_ROW + 4, typist.column("class TH"))
    cell.value, cell.number_format = 1, "0%"
    said = back(typist.save())
    assert percents(said, key(1)) == percents(said, key(2)) == {"TH": 60, "SH": 40}
    assert percents(said, key(1, visit=2)) == {"TH": 100}
    assert cells(said.bad) == [
        ("Habitat", typist.at(FIRST_ROW + 2, "class SH"), "x"),
        ("Habitat", typist.at(FIRST_ROW + 3, "class TH"), "0.2"),
    ]
    assert sheets_of(said)[key(4)].unread == (UnreadCell("TH", "0.2"),)


def test_that_columns_renamed_and_reordered_are_known_by_their_hidden_keys(typist: Typist) -> None:
    typist.type(FIRST_ROW, WHOLE)
    sheet, last = typist.sheet, typist.sheet.max_column
    sheet.cell(3, typist.column("class TH")).value = "the tall stuff"
    for row in range(1, sheet.max_row + 1):  # the column of short heath goes to the end
        moved = sheet.cell(row, typist.column("class SH"))
        sheet.cell(row, last + 1).value = moved.value
        moved.value = None
    said = back(typist.save())
    assert said.bad == ()
    assert percents(said, key(1)) == {"TH": 60, "SH": 40}
    assert said.notes == (
        "back.xlsx, sheet 'Habitat': the column headed 'the tall stuff' is 'TH tall heath', renamed.",
    )


def test_that_a_heading_that_says_another_column_is_asked_back_and_its_figures_are_kept(typist: Typist) -> None:
    typist.type(FIRST_ROW, WHOLE)
    typist.sheet.cell(3, typist.column("class TH")).value = "trees"
    said = back(typist.save())
    assert [one.cell for one in said.bad] == [typist.at(3, "class TH")]
    assert "TH tall heath" in said.bad[0].expected
    assert sheets_of(said)[key(1)].unread == (UnreadCell("trees", "60"),)


def test_that_a_table_made_by_hand_is_read_by_its_headings(tmp_path: Path) -> None:
    said = csv(
        tmp_path,
        "Route;Visit;Stop no.;Tall heath;SH (%);grazed;Livestock;Notes;Date",
        "r01;1;P1;60;40;0;0;by the gate;20 May 2026",
        "Heath R01;visit 1;R01-02;60;40,0;10 %;12;;20.05.2026",
        "R01;1;R02-1;60;40;0;0;;",
    )
    (bad,) = said.bad
    assert str(bad) == (
        f"{tmp_path / 'back.csv'}, line 4, column 3: expected a point of route R01 (1 to 4), found"
        " 'R02-1 (the row: Route R01, Visit 1, Stop no. R02-1, Tall he…'."
        " The row was not kept: correct it, and record the file again."
    )
    first, second = sheets_of(said).values()
    assert (first.key, first.note, first.date) == (key(1), "by the gate", EVENING)
    assert (second.key, second.grazed_percent, second.livestock, second.date) == (key(2), 10, 12, EVENING)
    assert first.covers == second.covers
    assert dict(first.covers[0].percents) == {"TH": 60, "SH": 40}


def test_that_a_renamed_class_by_hand_is_asked_back_with_what_may_be_meant_and_its_figures_kept(tmp_path: Path) -> None:
    said = csv(tmp_path, "route,visit,point,tal heath,SH,who helped", "R01,1,1,60,40,my sister")
    (bad,) = said.bad
    assert (bad.cell, bad.stood) == ("line 1, column 4", "tal heath")
    assert "'TH tall heath' may be meant" in bad.expected
    (sheet,) = sheets_of(said).values()
    assert sheet.unread == (UnreadCell("tal heath", "60"),)
    assert sheet.note == "who helped: my sister"
    assert "its words go into the notes" in said.notes[0]


def test_that_two_columns_of_one_name_are_asked_back_and_neither_is_taken(tmp_path: Path) -> None:
    said = csv(tmp_path, "route,visit,point,TH,TH,SH", "R01,1,1,60,50,40")
    assert "it is there 2 times" in said.bad[0].expected
    (sheet,) = sheets_of(said).values()
    assert sheet.unread == (UnreadCell("TH", "60"), UnreadCell("TH", "50"))


def test_that_merged_cells_carry_their_route_and_visit_down_and_it_is_said(tmp_path: Path) -> None:
    path = tmp_path / "merged.xlsx"
    merged = openpyxl.Workbook()
    sheet = merged.worksheets[0]
    rows: list[list[str | int]] = [["R01", 1, 1, 60, 40], ["R01", 1, 2, 50, 50], ["R01", 1, 3, 100]]
    sheet.append(["route", "visit", "point", "TH", "SH"])
    for row in rows:
        sheet.append(row)
    sheet.merge_cells("A2:A4")
    sheet.merge_cells("B2:B4")
    merged.save(path)
    said = back(path)
    assert [one.point for one in sheets_of(said)] == [1, 2, 3]
    assert said.bad == ()
    assert "row 3, row 4 had no route or visit; it was taken from the row above" in said.notes[0]


def test_that_a_formula_counts_with_its_value_and_one_of_text_or_without_a_value_is_asked_back(typist: Typist) -> None:
    typist.type(FIRST_ROW, {**WHOLE, "class TH": "=30+30"})
    typist.type(FIRST_ROW + 1, {**WHOLE, "class TH": '=IF(TRUE,"sixty","")'})
    said = back(typist.save())  # what wrote it works nothing out
    assert [one.stood for one in said.bad] == ["=30+30", '=IF(TRUE,"sixty","")']
    assert "save it" in said.bad[0].todo
    assert sheets_of(said)[key(1)].unread == (UnreadCell("TH", "=30+30"),)
    assert len(sheets_of(said)) == 2


def test_that_dates_as_numbers_and_in_words_are_read_and_one_that_could_be_two_is_asked_back(typist: Typist) -> None:
    for row, date in enumerate([dt.date(2026, 5, 21), 46163, "21 May", "05/06/2026"], start=FIRST_ROW):
        typist.type(row, {**WHOLE, "date": date})
        typist.sheet.cell(row, typist.column("date")).number_format = "General" if date == 46163 else "yyyy-mm-dd"
    said = back(typist.save())
    sheets = sheets_of(said)
    assert {sheets[key(point)].date for point in (1, 2, 3)} == {dt.date(2026, 5, 21)}
    assert sheets[key(4)].unread == (UnreadCell("date", "05/06/2026"),)
    assert [one.cell for one in said.bad] == [typist.at(FIRST_ROW + 3, "date")]
    assert "2026-05-06" in said.bad[0].expected
    assert "2026-06-05" in said.bad[0].expected


def test_that_trailing_remarks_blank_rows_and_other_sheets_are_said_and_stand_in_no_way(typist: Typist) -> None:
    typist.type(FIRST_ROW, WHOLE)
    typist.sheet.cell(40, 2).value = "Rain from nine on, cattle at point 3"
    typist.book.create_sheet("Shopping").append(["eggs", 6])
    said = back(typist.save())
    assert said.bad == ()
    assert list(sheets_of(said)) == [key(1)]
    assert any("row 40: a remark" in note and "Rain from nine" in note for note in said.notes)
    assert any("'Shopping' is no table" in note for note in said.notes)


def test_that_points_of_another_route_and_visits_that_are_none_are_told_with_the_whole_row(tmp_path: Path) -> None:
    said = csv(
        tmp_path,
        "route,visit,point,TH,SH",
        "R09,1,1,60,40",
        "R02,1,4,60,40",
        "R01,3,1,60,40",
        "R02,1,3,60,40",
    )
    assert [(one.cell, one.expected) for one in said.bad] == [
        ("line 2, column 1", "the code of a route of this season (R01, R02)"),
        ("line 3, column 3", "a point of route R02 (1 to 3)"),
        ("line 4, column 2", "the number of a visit, 1 to 2"),
    ]
    assert all("TH 60, SH 40" in one.stood for one in said.bad)
    assert list(sheets_of(said)) == [SheetKey("R02", 1, 3, "V02")]


def test_that_the_file_of_another_season_is_told_and_nothing_of_it_is_taken(typist: Typist) -> None:
    typist.type(FIRST_ROW, WHOLE)
    path = typist.save()
    other = FieldSeason(SEASON, PLAN, FieldForm.of(SEASON, "f" * 32), dusk)
    said = back(path, other)
    assert said.said == ()
    assert [(one.sheet, one.cell) for one in said.bad] == [("Habitat", "A4"), ("Visits", "A4"), ("Counts", "A4")]
    assert "Test heath #01234567" in said.bad[0].stood
    assert "Test heath #ffffffff" in said.bad[0].expected
    named = back(write(path.with_name("by.csv"), "season,route,visit,point,TH\nMoor 2025,R01,1,1,100\n"))
    assert named.said == ()
    assert named.bad[0].stood.startswith("Moor 2025")


def test_that_two_sheets_of_one_point_by_two_people_are_two_sheets(tmp_path: Path) -> None:
    said = csv(tmp_path, "route,visit,point,observer,TH,SH", "R01,1,1,V01,60,40", "R01,1,1,ben sample,50,50")
    assert said.bad == ()
    assert {one.observer: dict(sheet.covers[0].percents)["TH"] for one, sheet in sheets_of(said).items()} == {
        "V01": 60,
        "V02": 50,
    }


def test_that_two_different_sheets_of_one_person_are_both_kept_and_both_named(tmp_path: Path) -> None:
    header = "route,visit,point,TH,SH,grazed,note"
    one = csv(tmp_path, header, "R01,1,1,60,40,0,first", name="one.csv")
    two = csv(tmp_path, header, "R01,1,1,50,50,0,second", name="two.csv")
    joint, bad = together((*one.said, *two.said), SEASON.tzinfo)
    assert [(Path(cell.source).name, cell.cell, cell.stood) for cell in bad] == [("two.csv", "line 2", "SH 50, TH 50")]
    assert "one.csv, line 2: SH 40, TH 60" in bad[0].expected
    assert joint[key(1)].unread == (UnreadCell("classes in two.csv, line 2", "SH 50, TH 50"),)
    assert joint[key(1)].parts["note",] == "first; second"
    same, none = together((*one.said, *one.said), SEASON.tzinfo)
    assert none == ()
    assert same[key(1)].unread == ()


def test_that_an_unknown_observer_is_asked_back_and_the_sheet_kept_under_the_lead(tmp_path: Path) -> None:
    said = csv(tmp_path, "route,visit,point,observer,TH", "R01,1,1,Zed,100", "R01,1,2,,100")
    assert [(one.cell, one.stood) for one in said.bad] == [("line 2, column 4", "Zed")]
    assert sheets_of(said)[key(1)].unread == (UnreadCell("observer", "Zed"),)
    assert sheets_of(said)[key(2)].unread == ()


def test_that_control_characters_are_left_out(tmp_path: Path) -> None:
    said = csv(tmp_path, "route,visit,point,TH,note", "R01,1,1,100,bad\x07bell")
    assert sheets_of(said)[key(1)].note == "badbell"


def test_that_sides_of_the_road_are_put_together_and_one_without_a_side_is_told(tmp_path: Path) -> None:
    habitat = SEASON.protocol.habitat
    assert habitat is not None
    protocol = replace(SEASON.protocol, habitat=replace(habitat, sides_of_road=True))
    sided = known(replace(SEASON, protocol=protocol))
    path = write(
        tmp_path / "sides.csv",
        "route,visit,point,side,TH,SH,grazed\nR01,1,1,L,60,40,10\nR01,1,1,right,x,100,\nR01,1,2,,100,,\n",
    )
    said = back(path, sided)
    assert [(one.cell, one.expected) for one in said.bad] == [("line 4, column 4", "left or right")]
    (sheet,) = sheets_of(said, sided).values()
    assert [cover.percents for cover in sheet.covers] == [(("SH", 40), ("TH", 60)), (("SH", 100), ("TH", 0))]
    assert sheet.grazed_percent == 10


def test_that_times_in_all_their_ways_belong_to_the_night_of_the_evening(typist: Typist) -> None:
    typist.turn_to("Counts")
    for row, time in enumerate(["21.30", "9.45pm", dt.time(22, 0), "24:05"], start=FIRST_ROW):
        typist.type(row, {"began": time, "done": "yes"})
    typist.type(FIRST_ROW, {"arrived": 0.8944444444, "ended": "half ten"})
    typist.sheet.cell(FIRST_ROW, typist.column("arrived")).number_format = "General"
    typist.type(FIRST_ROW + 1, {"ended": "9.51"})
    typist.turn_to("Visits")
    typist.type(FIRST_ROW, {"left": "19:05", "home": dt.time(0, 12), "km": "44,5 km", "stopped": "Light"})
    said = back(typist.save())
    (record,) = records_of(said).values()
    clock = {count.point: count.began_utc and f"{count.began_utc:%d %H:%M}" for count in record.counts}
    assert clock == {1: "20 20:30", 2: "20 20:45", 3: "20 21:00", 4: "20 23:05"}
    assert record.counts[0].arrived_utc == dt.datetime(2026, 5, 20, 20, 28, tzinfo=dt.UTC)
    assert record.home_utc == dt.datetime(2026, 5, 20, 23, 12, tzinfo=dt.UTC)
    assert (record.distance_km, record.stopped) == (44.5, Stopped.LIGHT)
    assert [one.stood for one in said.bad] == ["half ten", "9.51"]
    assert "21:51" in said.bad[1].todo
    assert record.note.splitlines() == [
        "Could not be read: ended at point 1: 'half ten'",
        "Could not be read: ended at point 2: '9.51'",
    ]


def test_that_a_visit_on_another_evening_takes_its_counts_along(typist: Typist) -> None:
    typist.turn_to("Visits")
    reserve = EVENING + dt.timedelta(days=3)
    typist.type(FIRST_ROW, {"date": reserve, "home": "23:40"})
    typist.type(FIRST_ROW + 2, {"route": "R01", "visit": 1, "date": reserve + dt.timedelta(days=1), "note": "the rest"})
    typist.turn_to("Counts")
    typist.type(FIRST_ROW, {"began": "21:20"})
    typist.type(FIRST_ROW + 1, {"began": "21:20", "date": reserve + dt.timedelta(days=1)})
    said = back(typist.save())
    assert [one.cell for one in said.bad] == [typist.at(FIRST_ROW, "date")]
    assert "more than one to choose" in said.bad[0].expected
    assert {one.date: len(record.counts) for one, record in records_of(said).items()} == {
        reserve: 0,
        reserve + dt.timedelta(days=1): 1,
    }
    typist.turn_to("Visits")
    typist.type(FIRST_ROW + 2, {"route": None, "visit": None, "date": None, "note": None})
    moved = records_of(back(typist.save()))
    assert next(iter(moved)) == RecordKey("R01", 1, reserve)


def test_that_who_went_is_read_by_code_or_name_and_strangers_are_asked_back(typist: Typist) -> None:
    typist.turn_to("Visits")
    typist.type(FIRST_ROW, {"team": "Ben Sample and V01"})
    typist.type(FIRST_ROW + 1, {"team": "V01, Zed", "note": "warm"})
    said = back(typist.save())
    first, second = records_of(said).values()
    assert first.team == ("V02", "V01")
    assert (second.team, [one.stood for one in said.bad]) == ((), ["V01, Zed"])
    assert "Could not be read: team: 'V01, Zed'" in second.note


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"", "an empty file"),
        (b"%PDF-1.7", "a PDF document"),
        (b"\xff\xd8\xff\xe0 a photo", "a picture"),
        (b"PK\x03\x04 cut off", "workbook or an archive"),
        (b"eggs,flour\n1,2\n", "none of these"),
    ],
)
def test_that_what_is_no_such_file_is_refused_in_words(tmp_path: Path, data: bytes, told: str) -> None:
    with pytest.raises(InputError) as caught:
        back(write(tmp_path / "strange.bin", data))
    assert told in str(caught.value)


def test_that_a_table_without_a_route_is_told_what_it_lacks(tmp_path: Path) -> None:
    said = csv(tmp_path, "visit,point,TH,SH", "1,1,60,40")
    assert sheets_of(said) == {}
    assert "Add a column headed 'route'." in said.bad[0].todo


def test_that_a_workbook_whose_hidden_row_is_gone_is_read_by_its_headings(typist: Typist) -> None:
    typist.type(FIRST_ROW, {**WHOLE, "date": dt.date(2026, 5, 19)})
    typist.sheet.delete_rows(1)
    said = back(typist.save())
    assert said.bad == ()
    assert percents(said, key(1)) == {"TH": 60, "SH": 40}
    assert sheets_of(said)[key(1)].date == dt.date(2026, 5, 19)


@pytest.mark.parametrize(
    ("value", "shown_as"),
    [
        (dt.time(0, 5), "hh:mm"),
        (dt.timedelta(hours=24, minutes=5), "[h]:mm:ss"),  # as spreadsheets keep 24:05
        (24.083333333 / 24, "General"),
        (1 + 5 / 1440, "hh:mm"),
        (dt.datetime(2026, 5, 21, 0, 5), "yyyy-mm-dd hh:mm"),  # noqa: DTZ001  spreadsheets know no zone
        ("0:05", "@"),
    ],
)
def test_that_five_past_midnight_is_the_same_however_a_spreadsheet_keeps_it(
    typist: Typist, value: object, shown_as: str
) -> None:
    typist.turn_to("Counts")
    typist.type(FIRST_ROW, {"ended": value})
    typist.sheet.cell(FIRST_ROW, typist.column("ended")).number_format = shown_as
    said = back(typist.save())
    assert said.bad == ()
    (record,) = records_of(said).values()
    assert record.counts[0].ended_utc == dt.datetime(2026, 5, 20, 23, 5, tzinfo=dt.UTC)


def test_that_the_records_of_two_people_are_put_together_and_where_they_differ_both_are_named(tmp_path: Path) -> None:
    header = "route,visit,point,arrived,began,ended,done"
    one = csv(tmp_path, header, "R01,1,1,21:30,21:32,,yes", "R01,1,2,21:45,,,", name="lead.csv")
    two = csv(tmp_path, header, "R01,1,1,,21:33,21:38,yes", "R01,1,3,22:01,,,no", name="second.csv")
    joint, bad = together((*one.said, *two.said), SEASON.tzinfo)
    assert [(Path(cell.source).name, cell.stood, cell.subject) for cell in bad] == [
        ("second.csv", "21:33", "R01 visit 1 on Wed 20 May 2026")
    ]
    assert "began at point 1 as in lead.csv, line 2: 21:32" in bad[0].expected
    record = record_of(joint[RecordKey("R01", 1, EVENING)])
    first = record.counts[0]
    assert [count.point for count in record.counts] == [1, 2, 3]
    assert [first.arrived_utc, first.ended_utc] == [
        dt.datetime(2026, 5, 20, 20, minute, tzinfo=dt.UTC) for minute in (30, 38)
    ]
    assert record.counts[2].done is False
    assert record.note == "Could not be read: began at point 1 in second.csv, line 2: '21:33'"


def test_that_a_visit_moved_in_a_row_of_its_own_is_not_held_against_the_row_that_was_left(typist: Typist) -> None:
    typist.turn_to("Visits")
    reserve = EVENING + dt.timedelta(days=3)
    typist.type(FIRST_ROW + 2, {"route": "R01", "visit": 1, "date": reserve, "home": "23:40"})
    typist.turn_to("Counts")
    typist.type(FIRST_ROW, {"began": "21:20"})
    said = back(typist.save())
    assert said.bad == ()
    assert [one.date for one in records_of(said)] == [reserve]


def test_that_a_class_called_like_a_column_of_ours_takes_nothing_from_it(tmp_path: Path) -> None:
    habitat = SEASON.protocol.habitat
    assert habitat is not None
    classes = (replace(habitat.classes[0], code="note", name="scrub"), replace(habitat.classes[1], code="SH"))
    odd = known(replace(SEASON, protocol=replace(SEASON.protocol, habitat=replace(habitat, classes=classes, key=()))))
    path = write(tmp_path / "odd.csv", "route,visit,point,scrub,SH,note\nR01,1,1,60,40,by the gate\n")
    (sheet,) = sheets_of(back(path, odd), odd).values()
    assert (sheet.note, dict(sheet.covers[0].percents)) == ("by the gate", {"SH": 40, "note": 60})


def test_that_cells_of_very_many_letters_are_gone_through_once(tmp_path: Path) -> None:
    """Gone through anew from each of their letters these take minutes, which no test is given."""
    rows = "".join(f"R01,1,{point},60,40,0,0,{'a' * 130_000}\n" for point in (1, 2, 3, 4))
    made = sheets_of(back(write(tmp_path / "back.csv", "route,visit,point,TH,SH,grazed,livestock,note\n" + rows * 8)))
    assert [len(sheet.note) for sheet in made.values()] == [130_000] * 4


def test_that_a_pipe_is_refused_and_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "back.csv")
    with pytest.raises(InputError, match="a device or a pipe"):
        back(tmp_path / "back.csv")


def test_that_a_sheet_of_too_many_rows_is_named_once(typist: Typist) -> None:
    typist.sheet.cell(1_000_000, 30).value = 1
    (cell,) = back(typist.save()).bad
    assert f"{cell.where}, {cell.expected}" == "sheet 'Habitat', as a whole, at most 50,000 rows"


def test_that_half_a_workbook_is_said_to_be_cut_off(typist: Typist) -> None:
    path = typist.save()
    path.write_bytes(path.read_bytes()[:4000])
    with pytest.raises(InputError, match="perhaps cut off"):
        back(path)
