"""Photos go beside the season under the hash of their content; what cannot be taken is said, and nothing is taken."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterator
from pathlib import Path

import pytest

from planner.domain.errors import InputError, RuleError
from planner.domain.field.habitat_sheet import HabitatSheet, SheetState
from planner.domain.geo import Place
from planner.store import SeasonFile
from planner.usecases.copying import copy_season
from planner.usecases.sheets import attach_photos, detach_photo, forget_sheets, keep_sheets, photo_path
from tests.unit.usecases.sheet_seasons import SEASON, draft, final, key, picture, sheet_file

POINT = SEASON.route("R1").point(2).place
HERE = Place(POINT.latitude + 0.001, POINT.longitude)
FAR = Place(POINT.latitude + 0.01, POINT.longitude)


@pytest.fixture
def file(tmp_path: Path) -> Iterator[SeasonFile]:
    with sheet_file(tmp_path) as made:
        yield made


@pytest.fixture
def pictures(tmp_path: Path) -> Path:
    folder = tmp_path / "camera"
    folder.mkdir()
    return folder


def test_that_a_photo_is_kept_beside_the_season_with_its_place_and_moment(file: SeasonFile, pictures: Path) -> None:
    taken = picture(pictures / "east.jpg", HERE, taken=dt.datetime(2027, 6, 2, 20, 15, 3, tzinfo=dt.UTC))
    attached = attach_photos(file, key(2), [taken])
    (photo,) = attached.photos
    assert photo.content_hash == hashlib.sha256(taken.read_bytes()).hexdigest()
    assert photo.place is not None
    assert photo.place.latitude == pytest.approx(HERE.latitude, abs=1e-7)
    assert photo.place.longitude == pytest.approx(HERE.longitude, abs=1e-7)
    assert (photo.taken, photo.name, attached.notes) == ("2027-06-02 20:15:03", "east.jpg", ())
    kept = photo_path(file.path, photo)
    assert kept == file.path.with_name("season.photos") / f"{photo.content_hash}.jpg"
    assert kept.read_bytes() == taken.read_bytes()
    assert file.sheets() == (HabitatSheet(key(2), photos=(photo,)),)


def test_that_the_same_picture_twice_is_one_file(file: SeasonFile, pictures: Path) -> None:
    first, again = picture(pictures / "a.jpg"), picture(pictures / "b.jpg")
    attached = attach_photos(file, key(1), [first, again])
    assert len(attached.photos) == 1
    assert attached.notes == ("b.jpg is on the sheet already",)
    attach_photos(file, key(2), [again])
    assert [path.suffix for path in (file.path.with_name("season.photos")).iterdir()] == [".jpg"]


def test_that_attaching_keeps_a_final_sheet_final_and_is_one_step(file: SeasonFile, pictures: Path) -> None:
    keep_sheets(file, [final(key(1))])
    attach_photos(file, key(1), [picture(pictures / "a.jpg"), picture(pictures / "b.jpg", colour="tan")])
    (sheet,) = file.sheets()
    assert (sheet.state, len(sheet.photos)) == (SheetState.FINAL, 2)
    assert file.history()[-1].label == "Attach 2 photos to R1 visit 1 point 1 by V1"
    file.undo()
    assert file.sheets() == (final(key(1)),)


def test_that_a_photo_taken_outside_the_circle_is_said_at_once(file: SeasonFile, pictures: Path) -> None:
    # 0.01 degrees of latitude are 1.1 km.
    notes = attach_photos(file, key(2), [picture(pictures / "far.jpg", FAR)]).notes
    assert notes == ("far.jpg: taken 1.1 km from the point",)


def test_that_every_file_that_cannot_be_taken_is_said_and_nothing_is_attached(file: SeasonFile, pictures: Path) -> None:
    good = picture(pictures / "good.jpg")
    (pictures / "notes.txt").write_text("seen from the gate")
    cut_off = pictures / "cut.jpg"
    cut_off.write_bytes(good.read_bytes()[:400])
    with pytest.raises(InputError) as refused:
        attach_photos(file, key(1), [good, pictures / "notes.txt", cut_off, pictures / "gone.jpg"])
    assert [Path(fault.source).name for fault in refused.value.faults] == ["notes.txt", "cut.jpg", "gone.jpg"]
    assert file.sheets() == ()
    assert not file.path.with_name("season.photos").exists()


def test_that_a_sheet_takes_so_many_photos_and_none_is_nothing(file: SeasonFile, pictures: Path) -> None:
    one = picture(pictures / "a.jpg")
    with pytest.raises(RuleError, match="takes 24 photos"):
        attach_photos(file, key(1), [one] * 25)
    with pytest.raises(RuleError, match="nothing to attach"):
        attach_photos(file, key(1), [])


def test_that_a_photo_comes_off_and_comes_back(file: SeasonFile, pictures: Path) -> None:
    keep_sheets(file, [draft(key(1))])
    (photo,) = attach_photos(file, key(1), [picture(pictures / "a.jpg")]).photos
    detach_photo(file, key(1), photo.content_hash)
    assert file.sheets() == (draft(key(1)),)
    with pytest.raises(RuleError, match="no such photo"):
        detach_photo(file, key(1), photo.content_hash)
    file.undo()
    assert photo_path(file.path, file.sheets()[0].photos[0]).is_file()
    forget_sheets(file, [key(1)])
    assert photo_path(file.path, photo).is_file()


def test_that_a_season_that_was_renamed_finds_its_photos(tmp_path: Path, pictures: Path) -> None:
    with sheet_file(tmp_path) as file:
        (photo,) = attach_photos(file, key(1), [picture(pictures / "a.jpg")]).photos
        kept = photo_path(file.path, photo)
    assert photo_path(tmp_path / "renamed.dimpsy", photo) == kept


def test_that_photos_go_along_with_a_copy_and_lost_ones_are_said(
    file: SeasonFile, tmp_path: Path, pictures: Path
) -> None:
    kept, lost = attach_photos(
        file, key(1), [picture(pictures / "a.jpg"), picture(pictures / "b.jpg", colour="tan")]
    ).photos
    photo_path(file.path, lost).unlink()
    (tmp_path / "stick").mkdir()
    target = tmp_path / "stick" / "copy.dimpsy"
    copied = copy_season(file, target)
    assert copied.lost == (lost,)
    assert copied.words == "1 photo is not in it: no longer beside the season file, b.jpg first."
    assert photo_path(target, kept).parent == tmp_path / "stick" / "copy.photos"
    assert photo_path(target, kept).read_bytes() == (pictures / "a.jpg").read_bytes()


def test_that_a_season_that_may_not_be_written_gets_no_pictures(tmp_path: Path, pictures: Path) -> None:
    with sheet_file(tmp_path) as file, SeasonFile.open(file.path) as reader:
        assert reader.read_only_reason
        with pytest.raises(Exception, match="nothing was changed"):
            attach_photos(reader, key(1), [picture(pictures / "a.jpg")])
        assert not file.path.with_name("season.photos").exists()
