"""What came back from the field keeps to its route, its point and its people when they get other names."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from planner.domain.field.absent_class import AbsentClass
from planner.domain.field.cancelled import CancelledVisit, CancelReason
from planner.domain.field.drive_factors import DriveFactor, DriveFactors
from planner.domain.field.visit_record import PointRecord, RecordKey, VisitRecord
from planner.domain.geo import Place
from planner.domain.plan import VisitKey
from planner.store import SeasonFile
from planner.usecases.people.editing import change_person
from planner.usecases.people.person_entry import PersonField
from planner.usecases.routes.editing import (
    RouteWish,
    add_point,
    change_point,
    change_route,
    drop_points,
    drop_route,
    set_points,
    shift_point,
)
from tests.unit.usecases.checked_seasons import june
from tests.unit.usecases.sheet_seasons import final, key, sheet_file

SHEETS = (final(key(2), {"TH": 100}), final(key(3), {"TR": 100}), final(key(1, route="R2")))
CANCELLED = tuple(
    CancelledVisit(VisitKey(route, 1), june(2), CancelReason.WEATHER, dt.datetime(2027, 6, 1, tzinfo=dt.UTC))
    for route in ("R1", "R2")
)
RECORD = VisitRecord(RecordKey("R1", 1, june(2)), team=("V1", "V2"), counts=(PointRecord(3), PointRecord(2)))


@pytest.fixture
def file(tmp_path: Path) -> Iterator[SeasonFile]:
    """R1 has sheets at points 2 and 3, a record of both, an absent class and a drive factor; R2 has a sheet."""
    with sheet_file(tmp_path) as made:
        with made.step("What came back"):
            made.save_sheets(SHEETS)
            made.save_records([RECORD])
            made.save_cancelled(CANCELLED)
            absent = (AbsentClass("R1", "WA"), AbsentClass("R1", "WA", 3), AbsentClass("R2", "TR"))
            factors = DriveFactors(routes=(DriveFactor("R1", 1.2, 4), DriveFactor("R2", 0.9, 3)))
            made.save_season(replace(made.season(), absent_classes=absent, drive_factors=factors))
        yield made


def grounds(file: SeasonFile) -> dict[tuple[str, int], str]:
    """The first class on the sheet of each point that has one."""
    return {(one.key.route, one.key.point): one.covers[0].percents[0][0] for one in file.sheets()}


def counted(file: SeasonFile) -> list[int]:
    (record,) = file.records()
    return [count.point for count in record.counts]


def test_that_a_new_code_of_a_route_goes_into_all_that_came_back(file: SeasonFile) -> None:
    change_route(file, "R1", RouteWish("N1", "North Lane"))
    assert grounds(file) == {("N1", 2): "TH", ("N1", 3): "TR", ("R2", 1): "GR"}
    assert [record.key.route for record in file.records()] == ["N1"]
    assert [one.key.route for one in file.cancelled()] == ["N1", "R2"]
    season = file.season()
    assert [(one.route, one.point) for one in season.absent_classes] == [("N1", 0), ("N1", 3), ("R2", 0)]
    assert [one.name for one in season.drive_factors.routes] == ["N1", "R2"]
    file.undo()
    assert file.sheets() == SHEETS


def test_that_a_point_put_in_between_leaves_each_sheet_where_it_was_estimated(file: SeasonFile) -> None:
    add_point(file, "R1", Place(50.5005, -3.985), after=1)
    assert grounds(file) == {("R1", 3): "TH", ("R1", 4): "TR", ("R2", 1): "GR"}
    assert counted(file) == [4, 3]
    assert AbsentClass("R1", "WA", 4) in file.season().absent_classes


def test_that_points_that_change_places_take_their_sheets_along(file: SeasonFile) -> None:
    shift_point(file, "R1", 2, 1)
    assert grounds(file) == {("R1", 3): "TH", ("R1", 2): "TR", ("R2", 1): "GR"}
    assert counted(file) == [2, 3]


def test_that_a_point_that_is_moved_keeps_its_sheet(file: SeasonFile) -> None:
    change_point(file, "R1", 2, place=Place(50.5001, -3.98))
    assert (file.sheets(), file.records()) == (SHEETS, (RECORD,))


def test_that_the_sheet_of_a_dropped_point_stays_until_another_has_its_number(file: SeasonFile) -> None:
    drop_points(file, "R1", [2])
    assert file.sheets() == SHEETS
    file.undo()
    first, _, third, fourth = file.season().route("R1").points
    set_points(file, "R1", [first, replace(third, number=2), replace(fourth, number=3)], "number anew")
    assert grounds(file) == {("R1", 2): "TR", ("R2", 1): "GR"}
    assert counted(file) == [2]


def test_that_what_came_back_of_a_dropped_route_goes_with_it_and_comes_back(file: SeasonFile) -> None:
    drop_route(file, "R1")
    assert (grounds(file), file.records()) == ({("R2", 1): "GR"}, ())
    assert [one.route for one in file.season().absent_classes] == ["R2"]
    assert [one.name for one in file.season().drive_factors.routes] == ["R2"]
    file.undo()
    assert file.sheets() == SHEETS


def test_that_a_new_code_of_a_volunteer_goes_onto_sheets_and_records(file: SeasonFile) -> None:
    change_person(file, "V1", PersonField.CODE, "W1")
    assert {one.key.observer for one in file.sheets()} == {"W1"}
    assert file.records()[0].team == ("W1", "V2")
