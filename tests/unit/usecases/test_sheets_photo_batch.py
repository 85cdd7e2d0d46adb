"""A folder of photos: each finds its point by position, name or time, or is left with the reason; one step, once."""

from __future__ import annotations

import datetime as dt
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import piexif
import pytest
from PIL import Image

from planner.domain.errors import ImpossibleError, InputError, RuleError, SeasonFileError
from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey, SheetState
from planner.domain.field.visit_record import PointRecord, RecordKey, VisitRecord
from planner.domain.geo import Place
from planner.domain.plan import VisitKey
from planner.domain.protocol import VisitRule
from planner.store import SeasonFile
from planner.travel import geodesic_metres
from planner.usecases.sheets import attach_photos, forget_sheets, keep_sheets, photo_path
from planner.usecases.sheets.photo_batch import PhotosFound, attach_found, find_photos, pictures_in
from planner.usecases.sheets.photo_ground import PhotoGround
from planner.usecases.sheets.photo_names import NamedSpot, PhotoNames
from planner.usecases.sheets.spare_photos import clear_spare_photos, spare_findings, spare_photos
from tests.unit.usecases.edited_seasons import PLAN
from tests.unit.usecases.sheet_seasons import SEASON, draft, final, key, picture, sheet_file

FIRST = PLAN.by_key[VisitKey("R1", 1)].date
SECOND = PLAN.by_key[VisitKey("R1", 2)].date


@pytest.fixture
def file(tmp_path: Path) -> Iterator[SeasonFile]:
    with sheet_file(tmp_path) as made:
        yield made


@pytest.fixture
def camera(tmp_path: Path) -> Path:
    folder = tmp_path / "camera"
    folder.mkdir()
    return folder


def spot(point: int, route: str = "R1") -> Place:
    return SEASON.route(route).point(point).place


def at(date: dt.date, hour: int, minute: int = 0) -> dt.datetime:
    """A moment of the camera's clock."""
    return dt.datetime.combine(date, dt.time(hour, minute), tzinfo=dt.UTC)


def look(file: SeasonFile, *paths: Path, visit: int | None = None) -> PhotosFound:
    return find_photos(PhotoGround.of(file), pictures_in(paths), visit)


def only(found: PhotosFound) -> tuple[SheetKey, str]:
    """The sheet of the one photo that was found, and what told it."""
    (one,) = found.found
    assert (found.left, found.there) == ((), ())
    return one.key, one.why


def why_left(found: PhotosFound) -> str:
    (one,) = found.left
    assert found.found == ()
    assert one.todo
    return one.why


def test_that_a_position_names_the_nearest_point_and_the_date_the_visit(file: SeasonFile, camera: Path) -> None:
    near = Place(spot(2).latitude + 0.001, spot(2).longitude)
    for date, visit in ((FIRST, 1), (SECOND, 2)):
        path = picture(camera / "IMG_0012.jpg", near, taken=at(date, 20))
        metres = geodesic_metres((near.latitude, near.longitude), (spot(2).latitude, spot(2).longitude))
        assert only(look(file, path)) == (key(2, visit=visit), f"taken {metres:.0f} m from the point")


def test_that_after_midnight_it_is_still_the_evening_before(file: SeasonFile, camera: Path) -> None:
    path = picture(camera / "a.jpg", spot(3), taken=at(FIRST + dt.timedelta(days=1), 0, 20))
    assert only(look(file, path))[0] == key(3, visit=1)


def test_that_a_photo_beyond_the_circle_or_as_near_to_two_points_is_left_with_both(
    file: SeasonFile, camera: Path
) -> None:
    far = Place(spot(2).latitude + 0.01, spot(2).longitude)
    told = why_left(look(file, picture(camera / "far.jpg", far, taken=at(FIRST, 20))))
    assert told == "taken 1.1 km from R1 point 2, the nearest point; the circle is 400 m in radius"
    with narrow(file, camera) as (close, between):
        told = why_left(look(close, picture(camera / "mid.jpg", between, taken=at(FIRST, 20))))
        assert told.startswith("as near to one point as to the other: R1 point 1 (")
        assert "R1 point 2 (" in told
        assert told.endswith("its position is good to 20 m")
        sure = picture(camera / "sure.jpg", between, taken=at(FIRST, 20))
        exif = piexif.load(str(sure))
        exif["GPS"][piexif.GPSIFD.GPSHPositioningError] = (2, 1)
        piexif.insert(piexif.dump(exif), str(sure))
        assert only(look(close, sure))[0] == key(1)


@contextmanager
def narrow(file: SeasonFile, folder: Path) -> Iterator[tuple[SeasonFile, Place]]:
    """A season whose points 1 and 2 stand 200 m apart, and a place 10 m nearer to the first."""
    route = SEASON.route("R1")
    first = route.point(1).place
    second = replace(route.point(2), place=Place(first.latitude + 200.0 / 111_200.0, first.longitude))
    points = tuple(second if point.number == 2 else point for point in route.points)
    routes = tuple(replace(one, points=points) if one.code == "R1" else one for one in SEASON.routes)
    with SeasonFile.open(shutil.copy(file.path, folder / "narrow.dimpsy")) as made:
        with made.step("Move a point"):
            made.save_season(replace(SEASON, routes=routes))
        yield made, Place(first.latitude + 95.0 / 111_200.0, first.longitude)


def recorded(file: SeasonFile, *counts: PointRecord, route: str = "R1") -> None:
    with file.step("Record"):
        made = VisitRecord(RecordKey(route, 1, FIRST), ("V1",), counts)
        file.save_records([*file.records(), made])


def local(hour: int, minute: int) -> dt.datetime:
    return dt.datetime.combine(FIRST, dt.time(hour, minute), tzinfo=SEASON.tzinfo).astimezone(dt.UTC)


def test_that_of_two_points_as_near_the_records_name_the_one_where_somebody_stood(
    file: SeasonFile, camera: Path
) -> None:
    with narrow(file, camera) as (close, between):
        recorded(close, PointRecord(2, 1, local(21, 0), local(21, 2), local(21, 8)))
        found = look(close, picture(camera / "mid.jpg", between, taken=at(FIRST, 21, 5)))
        assert only(found)[0] == key(2)
        assert "while it was counted" in only(found)[1]


def test_that_a_camera_without_position_is_told_by_its_clock_and_the_record(file: SeasonFile, camera: Path) -> None:
    recorded(
        file,
        PointRecord(1, 1, local(21, 0), local(21, 2), local(21, 8)),
        PointRecord(2, 1, local(21, 15), local(21, 17), local(21, 23)),
    )
    found = look(file, picture(camera / "DSC00017.jpg", taken=at(FIRST, 21, 20)))
    assert only(found) == (key(2), "taken while it was counted (21:20)")
    between = why_left(look(file, picture(camera / "DSC00018.jpg", taken=at(FIRST, 21, 13))))
    assert "no record has anybody at a point at 2027-06-02 21:13" in between
    recorded(file, PointRecord(4, 1, local(21, 16), local(21, 18), local(21, 24)), route="R2")
    both = why_left(look(file, picture(camera / "DSC00019.jpg", taken=at(FIRST, 21, 20))))
    assert both.endswith("the records have somebody at R1 visit 1 point 2, R2 visit 1 point 4")
    nothing = why_left(look(file, picture(camera / "DSC00020.jpg")))
    assert nothing == ("it says no position, and its name no route and point; nor does it say when it was taken")


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("R03-07", NamedSpot("R03", 7)),
        ("R03 point 7 b", NamedSpot("R03", 7)),
        ("r03_p07_north", NamedSpot("R03", 7)),
        ("R03P7", NamedSpot("R03", 7)),
        ("R03 v2 p7", NamedSpot("R03", 7, 2)),
        ("R03 point 7 visit 2 (1)", NamedSpot("R03", 7, 2)),
        ("Ada R03.7", NamedSpot("R03", 7)),
        ("R030-7", NamedSpot("R030", 7)),
        ("7-12 east", NamedSpot("7", 12)),
        ("R03-07-2027", None),
        ("R03 20270514", None),
        ("R0307", None),
        ("IMG_7_12", None),
        ("XR03-7", None),
        ("R99-01", None),
        ("R03", None),
    ],
)
def test_that_names_are_read_where_they_name_route_and_point(name: str, said: NamedSpot | None) -> None:
    assert PhotoNames(["R03", "R030", "7"]).spot(name) == said


def test_that_a_name_is_believed_unless_the_position_speaks_against_it(file: SeasonFile, camera: Path) -> None:
    taken = at(SECOND, 20)
    assert only(look(file, picture(camera / "R1-02.jpg", taken=taken))) == (key(2, visit=2), "by its name")
    agreeing = only(look(file, picture(camera / "R1 point 2 b.jpg", spot(2), taken=taken)))
    assert agreeing == (key(2, visit=2), "by its name, and taken 0 m from there")
    told = why_left(look(file, picture(camera / "R1-04.jpg", spot(2), taken=taken)))
    assert told.startswith("its name says R1 point 4, but it was taken ")
    assert told.endswith("0 m from R1 point 2")
    assert "no such point" in why_left(look(file, picture(camera / "R1-09.jpg", spot(2), taken=taken)))
    named = look(file, picture(camera / "R1 v1 p3.jpg", taken=taken))
    assert only(named)[0] == key(3, visit=1)


def test_that_a_visit_that_no_date_tells_is_asked_for_and_may_be_said(file: SeasonFile, camera: Path) -> None:
    undated, odd = picture(camera / "R1-02.jpg"), picture(camera / "R1-03.jpg", taken=at(dt.date(2027, 6, 7), 20))
    assert "the visit is not known" in why_left(look(file, undated))
    assert why_left(look(file, odd)) == "it is of R1 point 3, but no one visit of it was on 2027-06-07"
    assert "Say which visit" in look(file, odd).left[0].todo
    assert [one.key for one in look(file, undated, odd, visit=2).found] == [key(2, visit=2), key(3, visit=2)]
    keep_sheets(file, [replace(draft(key(3)), date=dt.date(2027, 6, 7))])
    assert only(look(file, odd))[0] == key(3)
    with pytest.raises(RuleError, match="no habitat is estimated on visit 3"):
        look(file, undated, visit=3)


def test_that_a_photo_goes_to_the_only_sheet_of_its_point_or_to_the_leads(file: SeasonFile, camera: Path) -> None:
    path = picture(camera / "R1-02.jpg", taken=at(FIRST, 20))
    keep_sheets(file, [draft(key(2, who="V2"))])
    assert only(look(file, path))[0] == key(2, who="V2")
    keep_sheets(file, [draft(key(2))])
    assert only(look(file, path))[0] == key(2)
    forget_sheets(file, [key(2)])
    keep_sheets(file, [draft(key(2, who="V3"))])
    assert why_left(look(file, path)) == "R1 visit 1 point 2 has sheets by V2 and V3"


def test_that_a_folder_is_attached_in_one_step_each_picture_once_and_every_other_is_told(
    file: SeasonFile, camera: Path
) -> None:
    keep_sheets(file, [final(key(1))])
    attach_photos(file, key(4), [picture(camera / "before.jpg", colour="black")])
    below = camera / "DCIM" / "100"
    below.mkdir(parents=True)
    first = picture(below / "a.jpg", spot(1), taken=at(FIRST, 20))
    picture(below / "b.jpg", spot(1), taken=at(FIRST, 20, 1), colour="tan")
    upright = picture(below / "c.jpg", spot(2), taken=at(FIRST, 20, 30), colour="red")
    turned(upright)
    shutil.copy(first, below / "copy of a.jpg")
    (below / "whale.heic").write_bytes(b"\0\0\0\x18ftypheic" + bytes(64))
    (below / "cut.jpg").write_bytes(first.read_bytes()[:300])
    (below / "clip.mp4").write_bytes(b"a film")
    (below / ".trash").mkdir()
    picture(below / ".trash" / "gone.jpg", spot(1))
    picture(below / "nowhere.png", colour="navy")
    steps = len(file.history())
    found = look(file, camera)
    assert file.revision == file.history()[-1].number
    assert [(one.path.name, one.key) for one in found.found] == [
        ("a.jpg", key(1)),
        ("b.jpg", key(1)),
        ("c.jpg", key(2)),
    ]
    assert [(one.path.name, one.why) for one in found.there] == [
        ("before.jpg", "on the sheet of R1 visit 1 point 4 by V1 already"),
        ("copy of a.jpg", "the same picture as a.jpg, which is taken already"),
    ]
    assert [one.path.name for one in found.left] == ["cut.jpg", "nowhere.png", "whale.heic"]
    assert "HEIC" in found.left[2].why
    assert found.other_files == 1
    changed = attach_found(file, found)
    assert changed.label == "Attach 3 photos to 2 sheets"
    assert len(file.history()) == steps + 1
    sheets = {sheet.key: sheet for sheet in file.sheets()}
    assert (len(sheets[key(1)].photos), sheets[key(1)].state) == (2, SheetState.FINAL)
    assert sheets[key(2)] == HabitatSheet(key(2), photos=(found.found[2].photo,))
    assert photo_path(file.path, found.found[2].photo).read_bytes() == upright.read_bytes()
    again = look(file, camera)
    assert (again.found, len(again.there)) == ((), 5)
    with pytest.raises(RuleError, match="nothing to attach"):
        attach_found(file, again)
    file.undo()
    assert {sheet.key for sheet in file.sheets()} == {key(1), key(4)}


def turned(path: Path) -> None:
    """Let a picture say that it was taken upright, as telephones do."""
    exif = piexif.load(str(path))
    exif["0th"][piexif.ImageIFD.Orientation] = 6
    piexif.insert(piexif.dump(exif), str(path))


def test_that_nothing_is_attached_once_sheets_or_a_picture_have_changed(file: SeasonFile, camera: Path) -> None:
    path = picture(camera / "R1-02.jpg", taken=at(FIRST, 20))
    found = look(file, path)
    picture(path, taken=at(FIRST, 20), colour="tan")
    with pytest.raises(InputError, match="the picture that was looked at"):
        attach_found(file, found)
    keep_sheets(file, [draft(key(1))])
    with pytest.raises(ImpossibleError, match="Look at them again"):
        attach_found(file, found)
    assert [sheet.photos for sheet in file.sheets()] == [()]


def test_that_where_one_visit_alone_has_habitat_it_is_that_whatever_the_date(camera: Path) -> None:
    once = replace(SEASON.protocol, visits=(VisitRule(1, habitat=True), VisitRule(2)))
    ground = PhotoGround(replace(SEASON, protocol=once), PLAN, ())
    odd = picture(camera / "R1-03.jpg", taken=at(dt.date(2027, 6, 7), 20))
    assert only(find_photos(ground, pictures_in([odd])))[0] == key(3)
    second = picture(camera / "R1 v2 p3.jpg")
    told = why_left(find_photos(ground, pictures_in([second])))
    assert told == "its name says visit 2, on which no habitat is estimated"


def test_that_a_season_without_habitat_or_without_points_takes_no_photos(camera: Path) -> None:
    path = picture(camera / "a.jpg", spot(1), taken=at(FIRST, 20))
    bare = replace(SEASON.protocol, habitat=None, visits=(VisitRule(1), VisitRule(2)))
    with pytest.raises(RuleError, match="asks for no habitat"):
        find_photos(PhotoGround(replace(SEASON, protocol=bare), PLAN, ()), pictures_in([path]))
    empty = PhotoGround(replace(SEASON, routes=()), PLAN, ())
    assert why_left(find_photos(empty, pictures_in([path]))) == "the season has no points"


def test_that_a_picture_that_is_gone_before_it_is_attached_is_said(file: SeasonFile, camera: Path) -> None:
    paths = [
        picture(camera / f"R1-0{point}.jpg", taken=at(FIRST, 20), colour=f"#{point}{point}5500") for point in (1, 2)
    ]
    found = look(file, *paths)
    for path in paths:
        path.unlink()
    with pytest.raises(InputError) as refused:
        attach_found(file, found)
    assert [Path(fault.source).name for fault in refused.value.faults] == ["R1-01.jpg", "R1-02.jpg"]
    assert file.sheets() == ()


def test_that_a_full_sheet_takes_no_more(file: SeasonFile, camera: Path) -> None:
    for number in range(26):
        colour = f"#{9 * number:02x}{255 - 9 * number:02x}00"
        picture(camera / f"R1-02 {number}x.jpg", taken=at(FIRST, 20), colour=colour)
    found = look(file, camera)
    assert (len(found.found), len(found.left)) == (24, 2)
    assert "takes no more" in found.left[0].why


def test_that_looking_can_be_stopped_and_what_was_not_looked_at_is_left(file: SeasonFile, camera: Path) -> None:
    for point in (1, 2, 3):
        picture(camera / f"R1-0{point}.jpg", taken=at(FIRST, 20), colour=f"#{50 * point:02x}9900")
    told: list[tuple[int, int]] = []

    def until_the_second(done: int, of: int) -> bool:
        told.append((done, of))
        return done < 2

    found = find_photos(PhotoGround.of(file), pictures_in([camera]), None, until_the_second)
    assert told == [(0, 3), (1, 3), (2, 3)]
    assert [one.key for one in found.found] == [key(1), key(2)]
    assert [(one.path.name, one.why) for one in found.left] == [("R1-03.jpg", "not looked at")]


def test_that_folders_without_pictures_and_too_many_are_refused(camera: Path) -> None:
    (camera / "notes.txt").write_text("none")
    with pytest.raises(InputError, match="a folder with pictures, found none"):
        pictures_in([camera])
    for number in range(2_001):
        (camera / f"{number}.jpg").touch()
    with pytest.raises(InputError, match="at most 2,000 pictures, found 2,001"):
        pictures_in([camera])


def test_that_pictures_are_cleared_only_once_no_undoing_could_bring_them_back(file: SeasonFile, camera: Path) -> None:
    attach_photos(file, key(1), [picture(camera / "a.jpg"), picture(camera / "b.jpg", colour="tan")])
    kept, gone = file.sheets()[0].photos
    own = file.path.with_name("season.photos") / "note of mine.jpg"
    own.write_bytes(b"nobody's business")
    file.undo()
    assert spare_photos(file).paths == (), "redoing brings both back"
    attach_photos(file, key(2), [camera / "a.jpg"])
    assert [path.stem for path in spare_photos(file).paths] == [gone.content_hash], "the step undone is gone for good"
    forget_sheets(file, [key(2)])
    cleared = clear_spare_photos(file)
    assert cleared.words.startswith("1 picture (0.0 MB)")
    assert not cleared.paths[0].exists()
    assert own.exists()
    file.undo()
    assert photo_path(file.path, kept).is_file(), "undoing brought it back, and it is there"
    assert clear_spare_photos(file).paths == ()


def test_that_what_a_copy_of_the_season_names_is_never_cleared(file: SeasonFile, camera: Path) -> None:
    attach_photos(file, key(1), [picture(camera / "a.jpg")])
    copy = file.path.with_name("season.dimpsy.backup-1")
    file.copy_to(copy)
    (file.path.with_name("broken.dimpsy")).write_bytes(b"no database")
    file.undo()
    keep_sheets(file, [draft(key(2))])
    assert spare_photos(file).paths == ()
    copy.unlink()
    assert len(spare_photos(file).paths) == 1
    with SeasonFile.open(file.path) as reader, pytest.raises(Exception, match="nothing was deleted"):
        clear_spare_photos(reader)


def test_that_nothing_is_cleared_while_another_season_cannot_be_asked_what_it_names(
    file: SeasonFile, camera: Path
) -> None:
    attach_photos(file, key(1), [picture(camera / "a.jpg")])
    other = file.path.with_name("renamed by hand.old")
    file.copy_to(other)
    file.undo()
    keep_sheets(file, [draft(key(2))])
    assert spare_photos(file).paths == (), "a copy counts whatever it is called"
    damaged = other.rename(file.path.with_name("other.dimpsy"))
    whole = damaged.read_bytes()
    damaged.write_bytes(whole[:100] + b"\xff" * (len(whole) - 100))
    with pytest.raises(SeasonFileError, match=r"other\.dimpsy: .* nobody knows which pictures it names"):
        clear_spare_photos(file)
    assert not list(spare_findings(file))
    damaged.unlink()
    assert len(spare_photos(file).paths) == len(list(spare_findings(file))) == 1


def test_that_pictures_that_cannot_be_deleted_are_said(
    file: SeasonFile, camera: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    attach_photos(file, key(1), [picture(camera / "a.jpg")])
    file.undo()
    keep_sheets(file, [draft(key(2))])

    def refuse(_path: Path, **_options: object) -> None:
        raise PermissionError(13, "Permission denied")

    # Whoever runs the tests may be allowed everything, so the system's refusal is made here.
    monkeypatch.setattr(Path, "unlink", refuse)
    with pytest.raises(InputError, match="a picture that can be deleted, found Permission denied"):
        clear_spare_photos(file)


def test_that_a_picture_of_many_shapes_is_taken_upright_or_wide(file: SeasonFile, camera: Path) -> None:
    Image.new("RGB", (30, 60), "green").save(camera / "R1-03 tall.png")
    Image.new("RGB", (60, 30), "green").save(camera / "R1-03 wide.webp", lossless=True)
    assert {one.key for one in look(file, camera, visit=1).found} == {key(3)}
