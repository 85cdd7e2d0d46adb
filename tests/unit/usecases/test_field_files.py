"""Fill-in files and a season file: written for each volunteer, kept in one step, joined with what stands."""

from __future__ import annotations

import datetime as dt
import itertools
import shutil
import zipfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image

from planner.domain.errors import ImpossibleError, InputError, RuleError
from planner.domain.field.habitat_sheet import SheetKey, SheetState
from planner.domain.field.visit_record import RecordState
from planner.domain.plan import Status, VisitKey
from planner.domain.window import PartOfDay
from planner.light import window_table
from planner.store import SeasonFile
from planner.usecases.field_files import (
    Back,
    FilledStandThereError,
    back_findings,
    keep_back,
    read_back,
    write_fill_in,
)
from planner.usecases.field_files.evening_light import EveningLight
from tests.unit.exchange.field_samples import EVENING, FIRST_ROW, PLAN, SEASON, WHOLE, Typist
from tests.unit.exchange.samples import write

TODAY = dt.date(2026, 7, 1)
HEADER = "route,visit,point,observer,TH,SH,grazed,livestock"


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The season file with its plan; do not change it."""
    path = tmp_path_factory.mktemp("season") / "season.dimpsy"
    with SeasonFile.create(path, SEASON) as file, file.step("Plan by hand"):
        file.save_plan(PLAN)
    return path


@pytest.fixture
def file(made: Path, tmp_path: Path) -> Iterator[SeasonFile]:
    """A copy of it that a test may change."""
    shutil.copy(made, tmp_path / made.name)
    with SeasonFile.open(tmp_path / made.name) as opened:
        yield opened


def table(file: SeasonFile, *lines: str, name: str = "back.csv") -> Path:
    return write(file.path.with_name(name), "\n".join((HEADER, *lines)) + "\n")


def kept(file: SeasonFile, *lines: str, draft: bool = False) -> Back:
    back = read_back(file, [table(file, *lines)], TODAY, draft=draft)
    keep_back(file, back, TODAY)
    return back


def one_sheet(file: SeasonFile) -> tuple[dict[str, int], SheetState]:
    (sheet,) = file.sheets()
    return dict(sheet.covers[0].percents), sheet.state


def test_that_everybody_with_an_outing_gets_a_workbook_and_only_they(file: SeasonFile, tmp_path: Path) -> None:
    written = write_fill_in(file, tmp_path / "out")
    assert [one.volunteer for one in written] == ["V01", "V02"]
    assert [path.name for one in written for path in one.paths] == [
        "V01 Ada Example sheets.xlsx",
        "V02 Ben Sample sheets.xlsx",
    ]
    assert [(one.visits, one.sheets) for one in written] == [(2, 8), (2, 7)]
    (text,) = write_fill_in(file, tmp_path / "csv", ["Ben Sample"], csv=True)
    assert [path.name for path in text.paths] == [
        f"V02 Ben Sample {kind}.csv" for kind in ("habitat", "visits", "counts")
    ]


def test_that_files_somebody_may_have_written_into_are_not_replaced_unasked(file: SeasonFile, tmp_path: Path) -> None:
    folder = tmp_path / "out"
    (one,) = write_fill_in(file, folder, ["V01"])
    one.paths[0].write_bytes(b"typed into")
    with pytest.raises(FilledStandThereError) as caught:
        write_fill_in(file, folder)
    assert caught.value.reasons == (str(one.paths[0]),)
    assert [path.name for path in folder.iterdir()] == [one.paths[0].name]
    write_fill_in(file, folder, force=True)
    assert one.paths[0].read_bytes() != b"typed into"


def test_that_strangers_and_people_without_an_outing_are_told(file: SeasonFile, tmp_path: Path) -> None:
    with pytest.raises(ImpossibleError, match="'V09'"):
        write_fill_in(file, tmp_path / "out", ["V09"])
    with file.step("Take the plan away"):
        file.save_plan(PLAN.without(VisitKey("R01", 1)).without(VisitKey("R02", 1)))
    with pytest.raises(ImpossibleError, match="has an outing"):
        write_fill_in(file, tmp_path / "out", ["V02"])
    assert not (tmp_path / "out").exists()


def test_that_counts_in_a_table_of_their_own_belong_to_the_evening_that_the_table_of_visits_names(
    file: SeasonFile, tmp_path: Path
) -> None:
    reserve = EVENING + dt.timedelta(days=3)
    counts = write(
        tmp_path / "a counts.csv", "route,visit,point,began,ended\nR01,1,1,21:20,21:25\nR01,1,2,21:30,21:35\n"
    )
    visits = write(tmp_path / "b visits.csv", f"route,visit,date,home again\nR01,1,{reserve},23:10\n")
    for paths in ((counts, visits), (visits, counts)):
        back = read_back(file, paths, TODAY)
        assert [(one.key.date, len(one.counts)) for one in back.records] == [(reserve, 2)]
    (alone,) = read_back(file, [counts], TODAY).records
    assert alone.key.date == EVENING, "with nothing else it is the evening of the plan"
    later = write(tmp_path / "c visits.csv", f"route,visit,date,home again\nR01,1,{reserve + dt.timedelta(1)},23:10\n")
    back = read_back(file, [counts, visits, later], TODAY)
    assert ["more than one to choose" in one.expected for one in back.bad] == [True, True]


def test_that_sheets_and_records_are_kept_in_one_step_that_can_be_undone(file: SeasonFile, tmp_path: Path) -> None:
    (one,) = write_fill_in(file, tmp_path / "out", ["V01"])
    typist = Typist(one.paths[0])
    typist.type(FIRST_ROW, WHOLE)
    typist.type(FIRST_ROW + 1, {**WHOLE, "class TH": 50})
    typist.turn_to("Counts")
    light = EveningLight(SEASON, PLAN)("R01", EVENING)
    for row, point in enumerate(range(4), start=FIRST_ROW):
        began = (light.open_utc + dt.timedelta(minutes=2 + 12 * point)).astimezone(SEASON.tzinfo)
        values = {"arrived": began - dt.timedelta(minutes=2), "began": began, "ended": began + dt.timedelta(minutes=7)}
        typist.type(row, {key: moment.time().replace(microsecond=0) for key, moment in values.items()})
    typist.turn_to("Visits")
    typist.type(FIRST_ROW, {"home": "00:12", "first wind": 5, "first rain": "none", "last rain": "none"})
    before = file.revision
    back = read_back(file, [typist.save()], TODAY)
    assert file.revision == before
    done = keep_back(file, back, TODAY)
    assert done.changed is not None
    assert done.changed.label == "Record 2 habitat sheets and 1 visit record from V01 Ada Example sheets.xlsx"
    assert len(file.history()) == 2
    assert [sheet.state for sheet in file.sheets()] == [SheetState.FINAL, SheetState.DRAFT]
    (record,) = file.records()
    assert (record.state, record.team) == (RecordState.FINAL, ("V01", "V02"))
    assert done.done == (VisitKey("R01", 1),)
    assert file.plan().by_key[VisitKey("R01", 1)].status is Status.DONE
    again = read_back(file, [typist.path], TODAY)
    assert (again.changes, again.same) == (False, 3)
    assert keep_back(file, again, TODAY).changed is None
    file.undo()
    assert (file.sheets(), file.records(), file.plan()) == ((), (), PLAN)


def test_that_what_came_back_goes_out_again_filled_in(file: SeasonFile, tmp_path: Path) -> None:
    kept(file, "R01,1,1,V01,60,40,0,0", "R01,1,2,V01,some,40,0,0", "R01,1,2,V02,100,,0,0")
    (one,) = write_fill_in(file, tmp_path / "out", ["V01"])
    typist = Typist(one.paths[0])
    said = [typist.sheet.cell(row, typist.column("class TH")).value for row in range(FIRST_ROW, FIRST_ROW + 4)]
    assert said == [60, "some", None, None]
    typist.type(FIRST_ROW + 1, {"class TH": 60})
    back = read_back(file, [typist.save()], TODAY)
    (mended,) = back.sheets
    assert (mended.key.point, mended.state, mended.unread) == (2, SheetState.FINAL, ())


def test_that_a_sheet_without_a_fault_is_final_any_other_a_draft_and_all_are_drafts_if_wished(file: SeasonFile) -> None:
    back = kept(file, "R01,1,1,V01,60,40,0,0", "R01,1,2,V01,60,30,0,0", "R01,1,3,V01,65,35,0,0", "R01,1,4,V01,60,40,,0")
    assert [sheet.state.value for sheet in back.sheets] == ["final", "draft", "draft", "draft"]
    assert [sheet.state.value for sheet in kept(file, "R02,1,1,V02,60,40,0,0", draft=True).sheets] == ["draft"]


def test_that_sheets_of_somebody_who_should_not_have_been_there_are_pointed_out_once(file: SeasonFile) -> None:
    back = kept(file, "R02,1,1,V01,60,40,0,0", "R02,1,2,V01,60,40,0,0", "R02,1,3,V02,60,40,0,0", "R01,1,1,,60,40,0,0")
    said = "R02 visit 1, points 1 and 2: sheets by V01, and V02 should have gone. Look whether the route is right."
    assert back.notes == (said,)
    assert len(file.sheets()) == 4
    assert kept(file, "R02,1,1,V01,50,50,0,0").notes[1:] == ()
    went = write(file.path.with_name("visits.csv"), "route,visit,date,team,home again\nR02,1,2026-05-22,V01,23:30\n")
    notes = read_back(file, [table(file, "R02,1,3,V01,60,40,0,0"), went], TODAY).notes
    assert not [note for note in notes if "should have gone" in note]


def test_that_a_final_sheet_changed_by_a_later_file_is_told_and_an_empty_cell_takes_nothing_back(
    file: SeasonFile,
) -> None:
    kept(file, "R01,1,1,V01,60,40,10,4")
    back = kept(file, "R01,1,1,V01,40,60,,")
    assert back.notes == ("R01 visit 1 point 1 by V01: classes replaced: was SH 40, TH 60, now SH 60, TH 40.",)
    assert one_sheet(file) == ({"SH": 60, "TH": 40}, SheetState.FINAL)
    assert (file.sheets()[0].grazed_percent, file.sheets()[0].livestock) == (10, 4)


def test_that_a_final_sheet_stays_where_what_came_is_not_faultless(file: SeasonFile) -> None:
    kept(file, "R01,1,1,V01,60,40,10,4")
    back = kept(file, "R01,1,1,V01,50,forty,10,4")
    assert not back.changes
    assert len(back.bad) == 1
    assert "the final one stays as it is" in back.notes[0]
    assert "TH 50" in back.notes[0]
    assert one_sheet(file) == ({"SH": 40, "TH": 60}, SheetState.FINAL)


def test_that_what_could_not_be_read_stays_until_it_is_read(file: SeasonFile) -> None:
    kept(file, "R01,1,1,V01,sixty,40,0,0")
    assert [(cell.field, cell.text) for cell in file.sheets()[0].unread] == [("TH", "sixty")]
    kept(file, "R01,1,1,V01,,,10,")
    assert one_sheet(file)[1] is SheetState.DRAFT
    assert file.sheets()[0].grazed_percent == 10
    assert file.sheets()[0].unread
    kept(file, "R01,1,1,V01,60,40,,")
    assert one_sheet(file) == ({"SH": 40, "TH": 60}, SheetState.FINAL)


def test_that_two_files_that_differ_are_both_kept_and_mended_by_a_third(file: SeasonFile) -> None:
    one = table(file, "R01,1,1,V01,60,40,0,0", name="one.csv")
    two = table(file, "R01,1,1,V01,50,50,0,0", name="two.csv")
    back = read_back(file, [one, two], TODAY)
    assert [str(cell.stood) for cell in back.bad] == ["SH 50, TH 50"]
    keep_back(file, back, TODAY)
    assert file.sheets()[0].unread[0].text == "SH 50, TH 50"
    kept(file, "R01,1,1,V01,50,50,0,0")
    assert one_sheet(file) == ({"SH": 50, "TH": 50}, SheetState.FINAL)


def test_that_times_that_could_not_be_read_leave_the_note_once_they_are(file: SeasonFile) -> None:
    path = file.path.with_name("counts.csv")
    for ended, draft in (("half ten", True), ("22:30", False)):
        write(path, f"route,visit,point,began,ended,note\nR01,1,1,22:24,{ended},windy\n")
        back = read_back(file, [path], TODAY)
        keep_back(file, back, TODAY)
        (record,) = file.records()
        assert (record.state is RecordState.DRAFT) == draft
        assert ("Could not be read: ended at point 1: 'half ten'" in record.note) == draft
        assert record.counts[0].note == "windy"


def test_that_figures_below_an_unknown_heading_keep_a_record_a_draft_until_they_come_below_a_known_one(
    file: SeasonFile,
) -> None:
    path = file.path.with_name("visits.csv")
    counts = write(file.path.with_name("counts.csv"), "route,visit,point,began,nightjars\nR01,1,1,22:24,3\n")
    for heading, draft in (("wind at first count", True), ('"wind, km/h at the first count"', False)):
        write(path, f"route,visit,date,home again,{heading}\nR01,1,2026-05-20,23:30,45\n")
        keep_back(file, read_back(file, [path, counts], TODAY), TODAY)
        (record,) = file.records()
        assert ("Could not be read: the column wind at first count: '45'" in record.note) == draft
        assert record.state is RecordState.DRAFT
        assert "Could not be read: the column nightjars at point 1: '3'" in record.note
    write(counts, "route,visit,point,began\nR01,1,1,22:24\n")
    keep_back(file, read_back(file, [counts], TODAY), TODAY)
    assert (file.records()[0].note, file.records()[0].state) == ("", RecordState.FINAL)


def test_that_times_that_differ_stay_in_the_note_until_one_of_them_comes_again(file: SeasonFile) -> None:
    def counts(name: str, *lines: str) -> Path:
        return write(file.path.with_name(name), "\n".join(("route,visit,point,began,ended", *lines)) + "\n")

    files = [counts("lead.csv", "R01,1,1,22:24,"), counts("second.csv", "R01,1,1,22:25,")]
    keep_back(file, read_back(file, files, TODAY), TODAY)
    line = "Could not be read: began at point 1 in second.csv, line 2: '22:25'"
    assert file.records()[0].note == line
    keep_back(file, read_back(file, [counts("more.csv", "R01,1,1,,22:31")], TODAY), TODAY)
    assert (file.records()[0].note, file.records()[0].state) == (line, RecordState.DRAFT)
    keep_back(file, read_back(file, [counts("mended.csv", "R01,1,1,22:25,")], TODAY), TODAY)
    assert (file.records()[0].note, file.records()[0].state) == ("", RecordState.FINAL)


def test_that_two_of_a_visit_each_write_their_own_kilometres_and_the_record_is_no_draft_for_it(
    file: SeasonFile, tmp_path: Path
) -> None:
    paths = []
    for one, km in zip(write_fill_in(file, tmp_path / "out", ["V01", "V02"]), (41.5, 18.0), strict=True):
        typist = Typist(one.paths[0], "Visits")
        typist.type(FIRST_ROW, {"km": km})
        typist.turn_to("Counts")
        typist.type(FIRST_ROW, {"began": dt.time(22, 24)})
        paths.append(typist.save())
    back = read_back(file, paths, TODAY)
    assert (back.bad, back.notes) == ((), ())
    keep_back(file, back, TODAY)
    (record,) = file.records()
    assert (record.team, record.distance_km, record.second_km) == (("V01", "V02"), 41.5, 18.0)
    assert (record.state, record.note) == (RecordState.FINAL, "")
    assert read_back(file, paths, TODAY).same == 1


def test_that_kilometres_of_somebody_not_of_the_team_stand_in_the_note(file: SeasonFile) -> None:
    counts = write(file.path.with_name("counts.csv"), "route,visit,point,began\nR01,2,1,22:24\n")
    visits = write(file.path.with_name("visits.csv"), "route,visit,date,driver,km\nR01,2,2026-06-10,V02,18\n")
    for _ in range(2):
        keep_back(file, read_back(file, [visits, counts], TODAY), TODAY)
        (record,) = file.records()
        assert (record.team, record.distance_km, record.note) == (("V01",), None, "V02 drove 18 km.")
        assert record.state is RecordState.FINAL


def test_that_kilometres_of_nobody_known_keep_a_record_a_draft_until_their_name_is_mended(file: SeasonFile) -> None:
    counts = write(file.path.with_name("counts.csv"), "route,visit,point,began\nR01,1,1,22:24\n")
    visits = file.path.with_name("visits.csv")
    for driver, state in (("V99", RecordState.DRAFT), ("V02", RecordState.FINAL)):
        write(visits, f"route,visit,date,driver,km\nR01,1,2026-05-20,{driver},18\n")
        keep_back(file, read_back(file, [visits, counts], TODAY), TODAY)
        assert file.records()[0].state is state
    assert (file.records()[0].distance_km, file.records()[0].second_km) == (None, 18.0)


def test_that_what_the_coordinator_said_of_a_record_stays_with_it(file: SeasonFile) -> None:
    path = write(file.path.with_name("counts.csv"), "route,visit,point,began\nR01,1,1,22:24\n")
    keep_back(file, read_back(file, [path], TODAY), TODAY)
    with file.step("Let it stand"):
        file.save_records([replace(file.records()[0], let_stand="the road was closed")])
    write(path, "route,visit,point,began\nR01,1,1,22:26\n")
    back = read_back(file, [path], TODAY)
    assert back.notes == ("R01 visit 1 on Wed 20 May 2026: began at point 1 replaced: was 22:24, now 22:26.",)
    keep_back(file, back, TODAY)
    assert file.records()[0].let_stand == "the road was closed"


def test_that_a_visit_still_to_come_is_a_draft_and_an_unplanned_one_is_kept_and_told(file: SeasonFile) -> None:
    path = write(
        file.path.with_name("counts.csv"),
        "route,visit,point,date,began\nR01,2,1,,22:24\nR02,2,1,2026-06-20,22:24\n",
    )
    today = EVENING + dt.timedelta(days=1)
    back = read_back(file, [path], today)
    assert [record.state for record in back.records] == [RecordState.DRAFT, RecordState.DRAFT]
    assert all("still to come" in note for note in back.notes)
    later = read_back(file, [path], TODAY)
    keep_back(file, later, TODAY)
    assert any("R02" in str(one.subject) and "plan" in one.what for one in back_findings(file, later, TODAY))


def test_that_a_faulty_file_among_good_ones_changes_nothing_and_every_fault_is_told(file: SeasonFile) -> None:
    good = table(file, "R01,1,1,V01,60,40,0,0")
    folder = file.path.with_name("empty")
    folder.mkdir()
    with pytest.raises(InputError) as caught:
        read_back(
            file, [good, write(good.with_name("torn.xlsx"), b"PK\x03\x04"), good.with_name("gone.csv"), folder], TODAY
        )
    assert len(caught.value.faults) == 3
    assert file.sheets() == ()


def test_that_a_folder_is_read_file_by_file_and_each_file_once(file: SeasonFile) -> None:
    folder = file.path.with_name("inbox")
    folder.mkdir()
    for number in (1, 2):
        write(folder / f"{number}.csv", f"{HEADER}\nR01,1,{number},V01,60,40,0,0\n")
    write(folder / "~$1.xlsx", b"a lock file of a spreadsheet")
    back = read_back(file, [folder, folder / "1.csv"], TODAY)
    assert [(each.path.name, each.sheets) for each in back.files] == [("1.csv", 1), ("2.csv", 1)]


def inbox(file: SeasonFile) -> Path:
    """A folder of three good files, one that is broken, one of something else, and one that another program saved."""
    folder = file.path.with_name("inbox")
    folder.mkdir()
    for number in (1, 2, 3):
        write(folder / f"{number}.csv", f"{HEADER}\nR01,1,{number},V01,60,40,0,0\n")
    write(folder / "broken.xlsx", b"PK\x03\x04 and no more")
    write(folder / "shopping.txt", "bread, two pints of milk\n")
    archive = zipfile.ZipFile(folder / "ben.ods", "w")
    with archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
    return folder


def test_that_files_of_a_folder_that_cannot_be_read_stop_none_of_the_others_and_are_named(file: SeasonFile) -> None:
    folder = inbox(file)
    back = read_back(file, [folder], TODAY)
    assert [each.path.name for each in back.files] == ["1.csv", "2.csv", "3.csv"]
    assert [one.path.name for one in back.passed_over] == ["ben.ods", "broken.xlsx", "shopping.txt"]
    assert "(ODS)" in back.passed_over[0].why
    assert "save it as XLSX" in back.passed_over[0].why
    assert "headings with route, visit, point" in back.passed_over[2].why
    assert back.needs_person
    keep_back(file, back, TODAY)
    assert [sheet.key.point for sheet in file.sheets()] == [1, 2, 3]


def test_that_a_file_named_itself_still_stands_in_the_way_unless_it_may_be_passed_over(file: SeasonFile) -> None:
    folder = inbox(file)
    named = [folder / "broken.xlsx", folder / "1.csv", folder / "shopping.txt"]
    with pytest.raises(InputError, match=r"broken\.xlsx"):
        read_back(file, named, TODAY)
    with pytest.raises(InputError, match=r"shopping\.txt"):
        read_back(file, [folder, folder / "shopping.txt"], TODAY)
    back = read_back(file, named, TODAY, pass_over=True)
    assert [one.path.name for one in back.passed_over] == ["broken.xlsx", "shopping.txt"]
    assert len(back.sheets) == 1
    with pytest.raises(InputError, match=r"broken\.xlsx"):
        read_back(file, named[:1], TODAY, pass_over=True)


def test_that_a_folder_of_which_nothing_can_be_read_is_refused_with_every_reason(file: SeasonFile) -> None:
    folder = inbox(file)
    for path in folder.glob("*.csv"):
        path.unlink()
    with pytest.raises(InputError) as caught:
        read_back(file, [folder], TODAY)
    assert [Path(fault.source).name for fault in caught.value.faults] == ["ben.ods", "broken.xlsx", "shopping.txt"]


def test_that_nothing_is_kept_once_the_season_has_changed(file: SeasonFile) -> None:
    back = read_back(file, [table(file, "R01,1,1,V01,60,40,0,0")], TODAY)
    kept(file, "R01,1,2,V01,60,40,0,0")
    with pytest.raises(ImpossibleError, match="changed"):
        keep_back(file, back, TODAY)


def test_that_pictures_are_attached_to_the_sheet_of_their_point(file: SeasonFile) -> None:
    picture = file.path.with_name("north.png")
    Image.new("RGB", (40, 30), "green").save(picture)
    path = table(file, "R01,1,1,V02,60,40,0,0")
    back = read_back(file, [path], TODAY, photos=[(SheetKey("R01", 1, 1), picture)])
    keep_back(file, back, TODAY)
    (sheet,) = file.sheets()
    assert (sheet.key.observer, [photo.name for photo in sheet.photos]) == ("V02", ["north.png"])
    assert keep_back(file, read_back(file, [path], TODAY), TODAY).changed is None


def test_that_a_broken_or_huge_picture_or_one_of_nowhere_is_refused_before_anything_is_kept(file: SeasonFile) -> None:
    broken = write(file.path.with_name("north.jpg"), b"\xff\xd8\xff\xe0 cut off")
    huge = file.path.with_name("huge.jpg")
    with huge.open("wb") as stream:
        stream.truncate(200 * 1024 * 1024)
    key = SheetKey("R01", 1, 1, "V01")
    photos = [(key, broken), (key, huge), (SheetKey("R01", 1, 9), broken)]
    with pytest.raises(InputError) as caught:
        read_back(file, [table(file, "R01,1,1,V01,60,40,0,0")], TODAY, photos=photos)
    assert [Path(fault.source).name for fault in caught.value.faults] == [
        "north.jpg",
        "huge.jpg",
        "north.jpg",
        "north.jpg",
    ]
    assert "200" in caught.value.faults[1].found


def test_that_nothing_is_kept_where_a_picture_cannot_be_laid_beside_the_season(file: SeasonFile) -> None:
    picture = file.path.with_name("north.png")
    Image.new("RGB", (40, 30), "green").save(picture)
    in_the_way = write(file.path.with_name(f"{file.path.stem}.photos"), b"not a folder")
    path = table(file, "R01,1,1,V01,60,40,0,0")
    back = read_back(file, [path], TODAY, photos=[(SheetKey("R01", 1, 1, "V01"), picture)])
    with pytest.raises(InputError, match="move what is in the way"):
        keep_back(file, back, TODAY)
    assert file.sheets() == ()
    assert in_the_way.read_bytes() == b"not a folder"


def test_that_nothing_is_kept_where_a_sheet_has_no_room_for_a_picture(file: SeasonFile) -> None:
    pictures = [file.path.with_name(f"{number}.png") for number in range(25)]
    for number, picture in enumerate(pictures, start=1):
        Image.new("RGB", (40, number), "green").save(picture)
    key = SheetKey("R01", 1, 1, "V01")
    photos = [(key, picture) for picture in pictures]
    back = read_back(file, [table(file, "R01,1,1,V01,60,40,0,0")], TODAY, photos=photos)
    with pytest.raises(RuleError, match="24 photos"):
        keep_back(file, back, TODAY)
    assert file.sheets() == ()


def test_that_the_window_of_an_evening_is_that_of_the_light_and_follows_the_plan() -> None:
    light = EveningLight(SEASON, PLAN)
    window = SEASON.protocol.windows[0]
    table = window_table(window, [SEASON.route("R01").points[0].place], [EVENING], SEASON.zone)
    (span,) = table.at(0, 0).passes  # type: ignore[union-attr]  # there is a window on that evening
    assert light("R01", EVENING) == span
    assert light("R01", EVENING) is light("R01", EVENING)
    bare = replace(SEASON, routes=(replace(SEASON.routes[0], points=()),))
    usual = EveningLight(bare, PLAN)("R01", EVENING)
    assert window.part is PartOfDay.DUSK
    assert f"{usual.open_utc.astimezone(SEASON.tzinfo):%H:%M}" == "19:00"
    days = itertools.pairwise(light("R01", EVENING + dt.timedelta(days=day)).open_utc for day in range(3))
    assert all(dt.timedelta(hours=23) < b - a < dt.timedelta(hours=25) for a, b in days)
