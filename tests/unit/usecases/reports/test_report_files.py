"""The files of a report: read back by others, every column in the dictionary, nobody's data where none belongs."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import frictionless
import geojson
import pandas as pd
import pytest
from shapely.geometry import shape

from planner.domain.errors import InputError
from planner.domain.field.habitat_sheet import Cover, HabitatSheet, SheetKey, SheetState, Side
from planner.domain.reports.progress import VisitState
from planner.usecases.exporting import OthersStandThereError
from planner.usecases.reports import ReportWish, ReportWritten, write_report
from planner.usecases.reports.report_tables import report_tables
from tests.unit.usecases.reports.conftest import Reported

pytestmark = pytest.mark.xdist_group("returned")

PERSONAL = {"hours.csv", "hours_by_month.csv"}


@pytest.fixture(scope="module")
def written(reported: Reported, tmp_path_factory: pytest.TempPathFactory) -> ReportWritten:
    """Return the demo's report as files, without names."""
    return write_report(*reported, tmp_path_factory.mktemp("report"), ReportWish())


@pytest.fixture(scope="module")
def folder(written: ReportWritten) -> Path:
    """Return where the files lie."""
    return written.files[0].path.parent


def _frame(folder: Path, name: str) -> pd.DataFrame:
    return pd.read_csv(folder / name, keep_default_na=False, na_values=[""])


def _dictionary(folder: Path) -> pd.DataFrame:
    return pd.read_csv(folder / "dictionary.csv", dtype=str, keep_default_na=False).set_index(["file", "field"])


def test_that_every_column_of_every_file_is_in_the_dictionary_and_nothing_else(folder: Path) -> None:
    described = set(_dictionary(folder).index)
    found = {(path.name, column) for path in folder.glob("*.csv") for column in _frame(folder, path.name).columns}
    features = json.loads((folder / "points.geojson").read_text("utf-8"))["features"]
    found |= {("points.geojson", key) for feature in features for key in feature["properties"]}
    assert described - found == {("points.geojson", "latitude"), ("points.geojson", "longitude")}
    assert found - described == set()
    assert (_dictionary(folder)[["description", "type", "allowed_values", "source"]] != "").all(axis=None)


def test_that_every_cell_is_of_the_type_and_among_the_values_that_the_dictionary_tells(folder: Path) -> None:
    for row in _dictionary(folder).reset_index().to_dict("records"):
        file, field, allowed = str(row["file"]), str(row["field"]), str(row["allowed_values"])
        if file.endswith(".geojson"):
            continue
        column = pd.read_csv(folder / file, dtype=str, keep_default_na=False)[field]
        cells = column[column != ""]
        assert row["required"] == "false" or len(cells) == len(column), (file, field)
        _parse(cells, str(row["type"]))
        if "; " in allowed:
            assert set(cells) <= set(allowed.split("; ")), (file, field)
        elif allowed.startswith("from "):
            least, most = (float(end) for end in allowed.removeprefix("from ").split(" to "))
            assert cells.astype(float).between(least, most).all(), (file, field)
        elif allowed.endswith(" or more"):
            assert (cells.astype(float) >= float(allowed.removesuffix(" or more"))).all(), (file, field)


def _parse(cells: pd.Series, kind: str) -> None:
    """Read cells as pandas does, strictly; raises where one is of another type."""
    if kind in {"date", "yearmonth"}:
        pd.to_datetime(cells, format="%Y-%m-%d" if kind == "date" else "%Y-%m")
    elif kind == "datetime":
        pd.to_datetime(cells, format="ISO8601", utc=True)
    elif kind == "boolean":
        assert set(cells) <= {"true", "false"}
    elif kind == "integer":
        cells.astype("int64")
    elif kind == "number":
        cells.astype("float64")


def test_that_the_package_is_valid_to_a_reader_of_data_packages_and_names_every_table(folder: Path) -> None:
    report = frictionless.validate(str(folder / "datapackage.json"))
    assert report.valid, report.flatten(["rowNumber", "fieldName", "message"])[:5]
    paths = {one["path"] for one in _resources(folder)}
    assert paths == {path.name for path in folder.glob("*.csv")}
    fields = {one["name"]: one["schema"]["fields"] for one in _resources(folder)}
    assert next(one for one in fields["habitat"] if one["name"] == "percent")["type"] == "integer"


def _resources(folder: Path) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads((folder / "datapackage.json").read_text("utf-8"))["resources"]
    return found


def test_that_the_map_is_geojson_to_other_readers_with_points_where_they_are(folder: Path, reported: Reported) -> None:
    report, found = reported
    collection = geojson.loads((folder / "points.geojson").read_text("utf-8"))
    assert collection.is_valid, collection.errors()
    points = [(route.code, point) for route in found.season.routes for point in route.points]
    assert len(collection.features) == len(points)
    states = {one.key.route: one.state for one in report.progress.standings if one.key.number == 1}
    for feature, (code, point) in zip(collection.features, points, strict=True):
        at = shape(feature.geometry)
        assert tuple(at.coords[0]) == (point.place.longitude, point.place.latitude)
        assert (feature.properties["route"], feature.properties["point"]) == (code, point.number)
        assert feature.properties["visit_1_state"] == states[code]
    covered = [one.properties for one in collection.features if one.properties["visit_1_TH"] is not None]
    finals = {sheet.key.route for sheet in found.sheets if sheet.state is SheetState.FINAL and sheet.key.visit == 1}
    assert {one["route"] for one in covered} == finals
    classes = [key for key in covered[0] if key.startswith("visit_1_") and key != "visit_1_state"]
    assert all(sum(one[key] for key in classes) == pytest.approx(100.0) for one in covered)


def test_that_another_library_finds_the_same_sums_in_the_tables(folder: Path, reported: Reported) -> None:
    report, found = reported
    visits = _frame(folder, "visits.csv")
    assert dict(visits.groupby("state").size()) == {
        str(state): count for state, count in report.progress.whole.states if count
    }
    assert visits["sheets_missing"].sum() == report.progress.whole.sheets.missing
    progress = _frame(folder, "progress.csv")
    assert progress["visits"].sum() == len(visits)
    by_area = progress.groupby(["area", "state"])["visits"].sum()
    for tally in report.progress.by_area:
        assert by_area[tally.name, "done"] == tally.count(VisitState.DONE)
    habitat = _frame(folder, "habitat.csv")
    final = habitat[habitat["sheet_state"] == "final"]
    sums = final.groupby(["route", "visit", "point", "estimate"])["percent"].sum()
    assert (sums == 100).all()
    assert len(sums) == sum(sheet.state is SheetState.FINAL for sheet in found.sheets)
    hours, months = _frame(folder, "hours.csv"), _frame(folder, "hours_by_month.csv")
    columns = ["recorded_hours", "as_planned_hours", "planned_hours"]
    assert hours["hours"].sum() == pytest.approx(months[columns].sum().sum(), abs=0.01 * len(hours))


def test_that_moments_are_the_same_in_utc_and_in_the_seasons_zone(folder: Path) -> None:
    counts = _frame(folder, "counts.csv")
    utc, local = (pd.to_datetime(counts[f"began_{where}"], format="ISO8601") for where in ("utc", "local"))
    assert (utc == pd.to_datetime(counts["began_local"], format="ISO8601", utc=True)).all()
    assert (local.dt.hour - utc.dt.hour == 1).all(), "summer time is an hour ahead"
    assert counts["began_utc"].str.endswith("Z").all()


def test_that_no_file_but_those_of_hours_holds_anybodys_data_and_none_a_home_or_number(
    reported: Reported, tmp_path: Path
) -> None:
    _, found = reported
    written = write_report(*reported, tmp_path, ReportWish(names=True))
    people = found.season.volunteers
    assert {one.path.name for one in written.files if one.personal} == PERSONAL
    for path in tmp_path.iterdir():
        data = path.read_text("utf-8", errors="ignore") if path.suffix != ".pdf" else ""
        for person in people:
            assert person.telephone not in data, path.name
            home = f"{person.home.longitude}, {person.home.latitude}"
            assert home not in data, path.name
            assert home.replace(" ", "") not in data, path.name
            named = person.name in data or f"{person.code}," in data or f'"{person.code}"' in data
            assert path.name in PERSONAL or not named, (path.name, person.code)
    assert people[0].name in (tmp_path / "hours.csv").read_text("utf-8")


def test_that_people_are_codes_unless_names_are_asked_for(folder: Path, reported: Reported) -> None:
    for name in PERSONAL:
        text = (folder / name).read_text("utf-8")
        assert all(person.name not in text for person in reported[1].season.volunteers)
        assert "V01" in text


def test_that_text_is_never_a_formula_to_a_spreadsheet(folder: Path) -> None:
    notes = _frame(folder, "sheets.csv")["note"].dropna()
    assert set(notes) == {"'=SUM(A1) is no formula"}


def test_that_a_report_replaces_an_older_one_and_nothing_of_anybody_else(reported: Reported, tmp_path: Path) -> None:
    write_report(*reported, tmp_path, ReportWish())
    before = (tmp_path / "visits.csv").read_bytes()
    write_report(*reported, tmp_path, ReportWish())
    assert (tmp_path / "visits.csv").read_bytes() == before
    mine = tmp_path / "mine"
    mine.mkdir()
    (mine / "visits.csv").write_text("my own", "utf-8")
    (mine / "datapackage.json").write_text('{"name": "another"}', "utf-8")
    with pytest.raises(OthersStandThereError):
        write_report(*reported, mine, ReportWish())
    assert sorted(path.name for path in mine.iterdir()) == ["datapackage.json", "visits.csv"]
    assert (mine / "visits.csv").read_text("utf-8") == "my own"


def test_that_the_page_for_the_board_replaces_no_page_of_anybody_else(reported: Reported, tmp_path: Path) -> None:
    page = tmp_path / "board.pdf"
    page.write_bytes(b"%PDF-1.4 minutes of the board")
    for wish in (ReportWish(), ReportWish(pdf_only=True)):
        with pytest.raises(OthersStandThereError):
            write_report(*reported, tmp_path, wish)
    assert [path.read_bytes() for path in tmp_path.iterdir()] == [b"%PDF-1.4 minutes of the board"]
    page.unlink()
    write_report(*reported, tmp_path, ReportWish(pdf_only=True))
    write_report(*reported, tmp_path, ReportWish(pdf_only=True))


def test_that_a_folder_that_cannot_be_made_is_refused_in_words(reported: Reported, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", "utf-8")
    with pytest.raises(InputError, match="Name another folder"):
        write_report(*reported, tmp_path / "file", ReportWish())


def test_that_two_observers_of_one_point_are_two_estimates_without_a_name(reported: Reported) -> None:
    tables = {table.name: table for table in report_tables(*reported)}
    names = [column.name for column in tables["habitat"].columns]
    assert "observer" not in names
    assert "estimate" in names


def test_that_a_class_that_the_protocol_does_not_know_is_not_lost(reported: Reported) -> None:
    report, found = reported
    strange = HabitatSheet(SheetKey("R01", 1, 1, "Z"), (Cover(Side.CIRCLE, (("XX", 30),)),))
    tables = {table.name: table for table in report_tables(report, replace(found, sheets=(*found.sheets, strange)))}
    rows = [row for row in tables["habitat"].rows if "XX" in row]
    assert [row[3:7] for row in rows] == [(2, "circle", "XX", 30)]
