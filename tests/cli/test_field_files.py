"""dimpsy sheets and dimpsy record: files out to be filled in, and back, as a coordinator types it."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from PIL import Image

from planner.store import SeasonFile
from tests.cli.conftest import Dimpsy
from tests.unit.exchange.field_samples import FIRST_ROW, PLAN, SEASON, WHOLE, Typist
from tests.unit.exchange.samples import write


@pytest.fixture
def season(tmp_path: Path) -> Path:
    """A season file with a plan of three visits."""
    path = tmp_path / "season.dimpsy"
    with SeasonFile.create(path, SEASON) as file, file.step("Plan by hand"):
        file.save_plan(PLAN)
    return path


@pytest.fixture
def filled(dimpsy: Dimpsy, season: Path) -> Path:
    """The workbook of V01, filled in with one good sheet, one with a bad cell and one count."""
    said = dimpsy("sheets", season, "--to", season.parent / "out", "--volunteer", "V01")
    assert said.status == 0
    assert "V01 Ada Example sheets.xlsx: 2 visits, 8 habitat sheets" in said.out
    typist = Typist(season.parent / "out" / "V01 Ada Example sheets.xlsx")
    typist.type(FIRST_ROW, WHOLE)
    typist.type(FIRST_ROW + 1, {**WHOLE, "class TH": "sixty"})
    typist.turn_to("Counts")
    typist.type(FIRST_ROW, {"began": dt.time(21, 50), "ended": "21.56", "done": "yes"})
    return typist.save()


def test_that_what_came_back_is_kept_and_every_bad_cell_is_named(dimpsy: Dimpsy, season: Path, filled: Path) -> None:
    said = dimpsy("record", season, filled, "--today", "2026-07-01")
    assert said.status == 1
    lines = said.out.splitlines()
    assert lines[0] == "V01 Ada Example sheets.xlsx: 2 habitat sheets and 1 visit record"
    assert lines[1] == "Habitat sheets new or changed: 2, 1 final and 1 as drafts."
    assert f"{filled}, sheet 'Habitat', " in said.out
    assert "(R01 visit 1 point 2): expected a whole percentage from 0 to 100, found 'sixty'" in said.out
    assert "Kept. To take it back:  dimpsy undo" in said.out
    assert "1 of 4 points count" in said.out
    again = dimpsy("record", season, filled, "--today", "2026-07-01")
    assert "Nothing new: the file is unchanged." in again.out
    assert dimpsy("undo", season).status == 0
    with SeasonFile.open(season) as file:
        assert (file.sheets(), file.records(), file.plan()) == ((), (), PLAN)


def test_that_a_look_changes_nothing_and_json_holds_every_cell(dimpsy: Dimpsy, season: Path, filled: Path) -> None:
    said = dimpsy("record", season, filled, "--look", "--today", "2026-07-01", "--json")
    assert said.status == 1
    assert [cell["stood"] for cell in said.data["bad_cells"]] == ["sixty"]
    assert [sheet["state"] for sheet in said.data["sheets"]] == ["final", "draft"]
    assert said.data["kept"] is None
    with SeasonFile.open(season) as file:
        assert file.sheets() == ()


def test_that_a_table_without_a_fault_ends_well(dimpsy: Dimpsy, season: Path) -> None:
    table = write(
        season.with_name("back.csv"),
        "route,visit,point,date,TH,SH,grazed,livestock\n"
        + "".join(
            f"R02,1,{point},2026-05-22,{tall},{100 - tall},0,{point}\n" for point, tall in ((1, 60), (2, 30), (3, 80))
        ),
    )
    said = dimpsy("record", season, table, "--today", "2026-05-25")
    assert (said.status, said.err) == (0, "")
    assert "Habitat sheets new or changed: 3, all final." in said.out


def test_that_an_import_knows_filled_in_sheets_and_does_the_same(dimpsy: Dimpsy, season: Path, filled: Path) -> None:
    said = dimpsy("import", season, filled, "--yes")
    assert said.status == 1
    assert "filled-in habitat sheets and visit records, the sheet 'Habitat' was written to be filled in" in said.out
    assert "found 'sixty'" in said.out
    with SeasonFile.open(season) as file:
        assert len(file.sheets()) == 2
        assert [step.label for step in file.history()][-1] == "Import V01 Ada Example sheets.xlsx"
    by_hand = write(season.with_name("by_hand.csv"), "route;visit;point;TH;SH;grazed;livestock\nR02;1;1;60;40;0;0\n")
    told = dimpsy("import", season, by_hand)
    assert told.status == 1
    assert "it has the columns route, visit, point and others of habitat sheets" in told.out
    assert "Nothing was changed. Add --yes to accept." in told.out


def test_that_tables_of_routes_and_points_are_still_what_they_were(dimpsy: Dimpsy, season: Path) -> None:
    points = write(season.with_name("points.csv"), "route,point,latitude,longitude,visit\nR03,1,50.7,-1.9,1\n")
    assert "points of routes" in dimpsy("import", season, points).out


@pytest.mark.parametrize(
    ("photo", "told"),
    [("R01/1/1", "write ROUTE/VISIT/POINT=FILE"), ("R01/0/1=a.jpg", "a route, a visit and a point"), ("=a", "write")],
)
def test_that_a_picture_of_nowhere_is_wrong_usage(dimpsy: Dimpsy, season: Path, photo: str, told: str) -> None:
    said = dimpsy("record", season, season, "--photo", photo)
    assert said.status == 2
    assert told in said.err


def test_that_what_is_no_table_is_refused_and_nothing_is_written_over(
    dimpsy: Dimpsy, season: Path, filled: Path
) -> None:
    said = dimpsy("record", season, season, write(season.with_name("torn.xlsx"), filled.read_bytes()[:2000]))
    assert said.status == 2
    assert said.err.count("expected") == 2
    assert "Traceback" not in said.err
    again = dimpsy("sheets", season, "--to", filled.parent)
    assert again.status == 3
    assert "somebody may have written into them" in again.err
    assert dimpsy("sheets", season, "--to", filled.parent, "--force", "--csv").status == 0


def test_that_pictures_are_counted_and_one_that_is_there_already_changes_nothing(dimpsy: Dimpsy, season: Path) -> None:
    header = "route,visit,point,observer,TH,SH,grazed,livestock"
    table = write(season.parent / "back.csv", f"{header}\nR01,1,1,V01,60,40,0,0\n")
    picture = season.parent / "north.png"
    Image.new("RGB", (40, 30), "green").save(picture)
    command = ("record", season, table, "--photo", f"R01/1/1={picture}", "--today", "2026-07-01")
    assert "Photos attached: 1." in dimpsy(*command).out
    again = dimpsy(*command).out
    assert "north.png is on the sheet already" in again
    assert "Nothing new: the file is unchanged." in again
    assert "dimpsy undo" not in again
