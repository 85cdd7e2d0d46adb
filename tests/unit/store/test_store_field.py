"""What comes back from the field, in the season file: as it was written, undone, damaged, absent from older files."""

from __future__ import annotations

import datetime as dt
import json
import tempfile
from dataclasses import replace
from pathlib import Path

import apsw
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.conditions import Condition
from planner.domain.errors import SeasonFileError
from planner.domain.field.absent_class import AbsentClass
from planner.domain.field.drive_factors import DriveFactor, DriveFactors
from planner.domain.field.habitat_sheet import Cover, HabitatSheet, Photo, SheetKey, Side, UnreadCell
from planner.domain.field.told import Told
from planner.domain.field.visit_record import PointRecord, RecordKey, Stood, Stopped, VisitRecord
from planner.domain.geo import Place
from planner.domain.measures import Speed
from planner.domain.weather import Quantity
from planner.forms import protocol_to_plain
from planner.store import SeasonFile
from planner.store.migrating import migrate, shipped_migrations
from tests.unit.store import field_strategies as field
from tests.unit.store.season_strategies import SMALL_PROTOCOL, SMALL_SEASON, small_visit

DAY = dt.date(2027, 6, 4)
NINE = dt.datetime(2027, 6, 4, 21, 5, tzinfo=dt.UTC)
SHEET = HabitatSheet(
    SheetKey("R1", 1, 2, "V1"),
    (Cover.of(Side.LEFT, [("WO", 60), ("GR", 40)]), Cover.of(Side.RIGHT, [("GR", 100)])),
    DAY,
    livestock=12,
    note="Two fields, one mown",
    photos=(Photo("a" * 64, "gate.jpg", Place(51.0, -3.0), "2027:06:04 19:00:11"),),
    unread=(UnreadCell("GR", "forty"),),
)
RECORD = VisitRecord(
    RecordKey("R1", 1, DAY),
    ("V1", "V2"),
    (PointRecord(1, 1, NINE, NINE, NINE + dt.timedelta(minutes=5)), PointRecord(2, done=False, note="a lorry")),
    weather_first=(Condition(Quantity.WIND, Speed(0.1 + 0.2, "m/s")),),
    stopped=Stopped.DISTURBANCE,
    distance_km=31.5,
    stood=Stood(replace(small_visit("R1", "V1"), reserve=DAY)),
)


@settings(max_examples=12, deadline=None)
@given(
    st.lists(field.sheets(), max_size=3, unique_by=lambda one: one.key),
    st.lists(field.records(), max_size=3, unique_by=lambda one: one.key),
    st.lists(field.told, max_size=3, unique_by=lambda one: one.key),
)
def test_that_sheets_records_and_what_was_told_come_back_as_they_were_written(
    sheets: list[HabitatSheet], records: list[VisitRecord], told: list[Told]
) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "any.dimpsy"
        with SeasonFile.create(path, SMALL_SEASON) as file, file.step("Keep them"):
            file.save_sheets(sheets)
            file.save_records(records)
            file.record_told(told)
        with SeasonFile.open(path) as file:
            assert file.sheets() == tuple(sorted(sheets, key=lambda one: one.key))
            assert file.records() == tuple(sorted(records, key=lambda one: one.key))
            assert {one.key: one for one in file.told()} == {one.key: one for one in told}


@settings(max_examples=12, deadline=None)
@given(field.absent_classes, field.drive_factors)
def test_that_absent_classes_and_drive_factors_come_back_with_the_season(
    absent: tuple[AbsentClass, ...], factors: DriveFactors
) -> None:
    season = replace(SMALL_SEASON, absent_classes=absent, drive_factors=factors)
    with tempfile.TemporaryDirectory() as folder, SeasonFile.create(Path(folder) / "any.dimpsy", SMALL_SEASON) as file:
        with file.step("Keep them"):
            file.save_season(season)
        assert file.season() == season


def test_that_each_step_is_undone_and_redone_and_tells_its_table(season_file: SeasonFile) -> None:
    with season_file.step("Sheet") as step:
        season_file.save_sheets([SHEET])
    assert step.changed.tables == {"habitat_sheet"}
    with season_file.step("Record") as step:
        season_file.save_records([RECORD])
    assert step.changed.tables == {"visit_record"}
    marked = replace(SMALL_SEASON, absent_classes=(AbsentClass("R1", "WA"),), drive_factors=FACTORS)
    with season_file.step("Calibrate") as step:
        season_file.save_season(marked)
    assert step.changed.tables == {"absent_class", "drive_factor", "season"}
    for _ in range(3):
        season_file.undo()
    assert (season_file.sheets(), season_file.records(), season_file.season()) == ((), (), SMALL_SEASON)
    for _ in range(3):
        season_file.redo()
    assert (season_file.sheets(), season_file.records(), season_file.season()) == ((SHEET,), (RECORD,), marked)


FACTORS = DriveFactors(DriveFactor("", 1.1, 40), (DriveFactor("R1", 1.25, 9),), (DriveFactor("track", 1.4, 5),), "2026")


def test_that_only_the_row_that_differs_is_written(season_file: SeasonFile) -> None:
    others = [replace(SHEET, key=replace(SHEET.key, point=number)) for number in range(3, 60)]
    with season_file.step("Sheets"):
        season_file.save_sheets([SHEET, *others])
    with season_file.step("One of them") as step:
        season_file.save_sheets([replace(SHEET, note="three fields"), *others])
    size = season_file._connection.execute("SELECT length(changeset) FROM step WHERE number = 2").get
    assert step.changed
    assert 0 < size < 300, "one note of one sheet, not fifty sheets"


@pytest.mark.parametrize(
    ("damage", "reads"),
    [
        ('UPDATE habitat_sheet SET covers = \'[["circle", {"W": -5}]]\'', "sheets"),
        ("UPDATE habitat_sheet SET covers = '[[\"middle\", {}]]'", "sheets"),
        ("UPDATE habitat_sheet SET covers = '[]'", "sheets"),
        ("UPDATE habitat_sheet SET covers = 'oak'", "sheets"),
        ("UPDATE habitat_sheet SET state = 'final'", "sheets"),
        ("UPDATE habitat_sheet SET date = '4 June'", "sheets"),
        ("UPDATE habitat_sheet SET visit = 0", "sheets"),
        ("UPDATE visit_record SET stopped = 'lunch'", "records"),
        ('UPDATE visit_record SET team = \'["V1", "V1"]\'', "records"),
        ("UPDATE visit_record SET counts = '[[0, 1, null, null, null, true, \"\"]]'", "records"),
        ('UPDATE visit_record SET counts = \'[[1, 1, "2027-06-04T21:05", null, null, true, ""]]\'', "records"),
        ("UPDATE visit_record SET left_utc = 'nine'", "records"),
        ("UPDATE visit_record SET stood = '[\"V1\"]'", "records"),
        ("UPDATE drive_factor SET factor = 900", "season"),
        ("UPDATE drive_factor SET most = 0.1", "season"),
    ],
)
def test_that_what_was_made_impossible_from_outside_is_said(season_path: Path, damage: str, reads: str) -> None:
    with SeasonFile.create(season_path, replace(SMALL_SEASON, drive_factors=FACTORS)) as file, file.step("Both"):
        file.save_sheets([SHEET])
        file.save_records([RECORD])
    connection = apsw.Connection(str(season_path))
    connection.execute(damage)
    connection.close()
    with SeasonFile.open(season_path) as file, pytest.raises(SeasonFileError, match="damaged"):
        getattr(file, reads)()


def test_that_a_file_from_before_the_field_opens_with_none_and_keeps_them(season_path: Path) -> None:
    connection = apsw.Connection(str(season_path))
    migrate(connection, shipped_migrations()[:4])
    dates = [text for one in SMALL_SEASON.visits for text in (one.first.isoformat(), one.last.isoformat())]
    with connection:
        connection.execute(
            "INSERT INTO season (id, name, zone, first_date, last_date, coordinator_name, coordinator_telephone,"
            " coordinator_email, notes, protocol) VALUES (1, 'Before', 'Europe/London', ?, ?, '', '', '', '', ?)",
            (dates[0], dates[-1], json.dumps(protocol_to_plain(SMALL_PROTOCOL))),
        )
        connection.execute("INSERT INTO visit_range VALUES (1, ?, ?), (2, ?, ?)", dates)
    connection.close()
    with SeasonFile.open(season_path) as file:
        assert (file.sheets(), file.records(), file.told()) == ((), (), ())
        assert (file.season().absent_classes, file.season().drive_factors) == ((), DriveFactors())
        with file.step("Both"):
            file.save_sheets([SHEET])
            file.save_records([RECORD])
    with SeasonFile.open(season_path) as file:
        assert (file.sheets(), file.records()) == ((SHEET,), (RECORD,))
