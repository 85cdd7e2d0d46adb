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


def test_that_it_is_said_of_sheets_that_they_are_so_and_taken_back(dimpsy: Dimpsy, season: Path, filled: Path) -> None:
    dimpsy("record", season, filled, "--today", "2026-07-01")
    said = dimpsy("record", season, "--so", "R01/1/1", "--who", "Ada, by telephone")
    assert (said.status, said.out.splitlines()[0]) == (0, "It is so: habitat sheet of R01 visit 1 point 1 by V01.")
    with SeasonFile.open(season) as file:
        (sheet,) = (one for one in file.sheets() if one.is_confirmed)
        assert sheet.confirmed is not None
        assert (sheet.key.point, sheet.confirmed.note) == (1, "Ada, by telephone")
    assert dimpsy("record", season, filled, "--today", "2026-07-01").status == 1
    with SeasonFile.open(season) as file:
        assert sum(one.is_confirmed for one in file.sheets()) == 1, "what comes again takes nothing back"
    assert dimpsy("record", season, "--ask-again", "R01/1/1", "--json").data == {
        "labels": ["Ask again about habitat sheet of R01 visit 1 point 1 by V01"]
    }
    assert "no photos on the habitat sheet" in dimpsy("record", season, "--photos-so", "R01/1/1").err
    for wrong in ([], ["--who", "Ada"], ["--so", "R01/1"], [filled, "--so", "R01/1/1"]):
        assert dimpsy("record", season, *wrong).status == 2


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


def test_that_a_foreign_file_in_a_folder_is_passed_over_and_told(dimpsy: Dimpsy, season: Path, filled: Path) -> None:
    foreign = write(filled.parent / "shopping.txt", "bread, two pints of milk\n")
    said = dimpsy("record", season, filled.parent, "--today", "2026-07-01")
    assert said.status == 1
    assert "shopping.txt: PASSED OVER, nothing of it was taken: expected" in said.out
    assert "Habitat sheets new or changed: 2" in said.out
    again = dimpsy("record", season, filled.parent, "--today", "2026-07-01", "--json")
    assert [(one["path"], len(one["faults"])) for one in again.data["passed_over"]] == [(str(foreign), 1)]
    assert dimpsy("record", season, foreign).status == 2


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


@pytest.fixture
def camera(season: Path) -> Path:
    """A folder with a picture named after point 2, one of nowhere, and one named after a point there is not."""
    folder = season.parent / "camera"
    folder.mkdir()
    for name, colour in (("R01-02.png", "green"), ("DSC0001.png", "tan"), ("R01-77.png", "navy")):
        Image.new("RGB", (40, 30), colour).save(folder / name)
    return folder


def test_that_a_folder_of_photos_is_attached_and_every_one_that_is_not_is_told(
    dimpsy: Dimpsy, season: Path, camera: Path
) -> None:
    look = dimpsy("record", season, "--photos", camera, "--visit", 1, "--look", "--json")
    assert look.status == 1
    assert [(one["sheet"]["point"], one["why"]) for one in look.data["photos"]["found"]] == [(2, "by its name")]
    assert [Path(one["path"]).name for one in look.data["photos"]["left"]] == ["DSC0001.png", "R01-77.png"]
    assert look.data["photos_attached"] is None
    said = dimpsy("record", season, "--photos", camera, "--visit", 1)
    assert said.status == 1
    assert "Photos: 1 photo for 1 sheet, 2 left out." in said.out
    assert "  R01-02.png: R01 visit 1 point 2 by V01, by its name" in said.out
    assert "LEFT OUT: R01-77.png, its name says R01 point 77, and route R01 has no such point." in said.out
    assert "Attach 1 photo to 1 sheet: done, as a step of its own." in said.out
    again = dimpsy("record", season, "--photos", camera, "--visit", 1)
    assert "there already: R01-02.png, on the sheet of R01 visit 1 point 2 by V01 already" in again.out
    assert "Nothing new: the file is unchanged." in again.out


def test_that_of_many_photos_some_are_listed_and_all_counted(dimpsy: Dimpsy, season: Path, camera: Path) -> None:
    for number in range(70):
        (camera / f"IMG_{number:04d}.jpg").write_bytes(b"no picture")
    (camera / "clip.mp4").write_bytes(b"a film")
    said = dimpsy("record", season, "--photos", camera, "--look")
    assert "Photos: 0 photos for 0 sheets, 73 left out." in said.out
    assert said.out.count("LEFT OUT") == 60
    assert "and 13 more: --json lists them all." in said.out
    assert "Other files in the folder, which are no photos: 1." in said.out


def test_that_photos_and_the_sheets_they_belong_to_come_in_together(dimpsy: Dimpsy, season: Path, camera: Path) -> None:
    table = write(
        season.parent / "back.csv", "route,visit,point,observer,TH,SH,grazed,livestock\nR01,1,2,V02,60,40,0,0\n"
    )
    command = ("record", season, table, "--photos", camera, "--visit", 1, "--today", "2026-07-01")
    assert "R01-02.png: R01 visit 1 point 2 by V02, by its name" in dimpsy(*command, "--look").out
    said = dimpsy(*command)
    assert "R01-02.png: R01 visit 1 point 2 by V02, by its name" in said.out
    with SeasonFile.open(season) as file:
        (sheet,) = file.sheets()
        assert (sheet.key.observer, len(sheet.photos)) == ("V02", 1)


def test_that_no_sheet_is_kept_where_its_photos_cannot_be(dimpsy: Dimpsy, season: Path, camera: Path) -> None:
    table = write(
        season.parent / "back.csv", "route,visit,point,observer,TH,SH,grazed,livestock\nR01,1,2,V02,60,40,0,0\n"
    )
    season.with_name("season.photos").write_text("in the way")
    said = dimpsy("record", season, table, "--photos", camera, "--visit", 1, "--today", "2026-07-01")
    assert said.status == 2
    assert "move what is in the way" in said.err
    with SeasonFile.open(season) as file:
        assert file.sheets() == ()


def test_that_pictures_of_no_sheet_are_noted_listed_and_cleared(dimpsy: Dimpsy, season: Path, camera: Path) -> None:
    assert dimpsy("record", season, "--photos", camera, "--visit", 1).status == 1
    assert dimpsy("undo", season).status == 0
    assert "undoing could bring it back" in dimpsy("record", season, "--clear-photos").out
    assert dimpsy("record", season, "--photo", f"R01/1/1={camera / 'DSC0001.png'}").status == 0
    assert "undoing could bring it back, or a backup copy names it" in dimpsy("record", season, "--clear-photos").out
    for copy in season.parent.glob("*.backup-*"):
        copy.unlink()
    assert "1 picture (0.0 MB) beside the season belongs to no sheet, nor could undoing" in dimpsy("check", season).out
    assert dimpsy("record", season, "--clear-photos", "--look", "--json").data["deleted"] is False
    assert "Deleted for good: 1 picture" in dimpsy("record", season, "--clear-photos").out
    assert len(list(season.parent.glob("season.photos/*.png"))) == 1


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--visit", 1), "name a file that came back, photos"),
        (("--clear-photos", "--photos", "."), "--clear-photos goes alone"),
        (("--clear-photos", "--visit", 1), "--visit goes with --photos"),
        (("--photos", "camera", "--visit", 7), "no habitat is estimated on visit 7"),
        (("--photos", "nowhere"), "nowhere"),
        (("--so", "R01/1/1", "--clear-photos"), "in a command of its own"),
        (("--so", "R01/1/1", "--look"), "in a command of its own"),
        (("--so", "R01/1/1", "--ask-again", "R01/1/2"), "each is a step of its own"),
    ],
)
def test_that_photos_asked_for_wrongly_are_wrong_usage(
    dimpsy: Dimpsy, season: Path, words: tuple[object, ...], told: str
) -> None:
    said = dimpsy("record", season, *words)
    assert said.status == 2
    assert told in said.err
