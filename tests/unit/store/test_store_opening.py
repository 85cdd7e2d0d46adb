from __future__ import annotations

import os
import shutil
import sqlite3
from dataclasses import replace
from pathlib import Path

import apsw
import pytest

from planner.domain.errors import SeasonFileError
from planner.store import SeasonFile
from planner.store.backup import KEPT, backup_path
from planner.store.migrating import APPLICATION_ID, shipped_migrations
from planner.store.opening import unusable
from tests.unit.store.season_strategies import SMALL_SEASON, small_route, small_volunteer


def names(folder: Path) -> list[str]:
    return sorted(entry.name for entry in folder.iterdir())


def rename(file: SeasonFile, name: str) -> None:
    with file.step("Rename"):
        file.save_season(replace(file.season(), name=name))


def test_that_the_file_says_what_it_is(season_file: SeasonFile, season_path: Path) -> None:
    season_file.close()
    header = season_path.read_bytes()[:100]
    # Places after https://www.sqlite.org/fileformat2.html, section 1.3.
    assert int.from_bytes(header[68:72], "big") == APPLICATION_ID
    assert header[68:72] == b"DMPY"
    assert int.from_bytes(header[60:64], "big") == shipped_migrations()[-1].number


def test_that_a_season_is_one_file_once_it_is_closed(season_file: SeasonFile, season_path: Path) -> None:
    rename(season_file, "Owls")
    season_file.close()
    assert names(season_path.parent) == [season_path.name]


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (b"", "an empty file"),
        (b"route,point,lat,lon\n" * 20, "another kind of file"),
        (bytes(range(256)) * 8, "another kind of file"),
        (b"SQLite format 3\x00" + b"\x00" * 20, "another kind of file"),
    ],
)
def test_that_what_is_no_season_is_refused_and_left_as_it_is(season_path: Path, content: bytes, found: str) -> None:
    season_path.write_bytes(content)
    with pytest.raises(SeasonFileError, match=f"expected a season file, found {found}"):
        SeasonFile.open(season_path)
    assert season_path.read_bytes() == content
    assert names(season_path.parent) == [season_path.name]


def test_that_another_programs_database_is_refused(season_path: Path) -> None:
    other = sqlite3.connect(season_path)
    other.execute("CREATE TABLE season (id INTEGER PRIMARY KEY)")
    other.close()
    with pytest.raises(SeasonFileError, match="found another kind of file"):
        SeasonFile.open(season_path)


def test_that_a_missing_file_and_a_folder_are_told_apart(tmp_path: Path) -> None:
    with pytest.raises(SeasonFileError, match="no such file"):
        SeasonFile.open(tmp_path / "none.dimpsy")
    with pytest.raises(SeasonFileError, match="found a folder"):
        SeasonFile.open(tmp_path)


def test_that_a_newer_file_is_refused_politely_and_left_as_it_is(season_file: SeasonFile, season_path: Path) -> None:
    newer = shipped_migrations()[-1].number + 1
    season_file._connection.pragma("user_version", newer)
    season_file.close()
    before = season_path.read_bytes()
    with pytest.raises(SeasonFileError, match=rf"newer Dimpsy \(file version {newer}.*Update Dimpsy"):
        SeasonFile.open(season_path)
    assert season_path.read_bytes() == before


@pytest.mark.parametrize(
    "share", [0.3, 0.6, 0.9]
)  # the last page alone may be an empty table, of which nothing is lost
def test_that_a_truncated_file_is_refused_and_its_backup_named(
    staffed_file: SeasonFile, season_path: Path, share: float
) -> None:
    staffed_file.close()
    SeasonFile.open(season_path).close()
    whole = season_path.read_bytes()
    season_path.write_bytes(whole[: int(len(whole) * share)])
    with pytest.raises(SeasonFileError, match=r"damaged .*newest backup, moths\.dimpsy\.backup-1"):
        SeasonFile.open(season_path)
    assert backup_path(season_path, 1).read_bytes()
    assert not backup_path(season_path, 2).exists(), "a damaged file must not push out sound copies"
    with SeasonFile.open(season_path.with_name("moths.dimpsy.backup-1")) as copy:
        assert len(copy.season().routes) == 2


def test_that_the_oldest_backup_is_named_where_it_is_the_only_one(staffed_file: SeasonFile, season_path: Path) -> None:
    staffed_file.close()
    content = season_path.read_bytes()
    backup_path(season_path, KEPT).write_bytes(content)
    season_path.write_bytes(content[: len(content) // 2])
    with pytest.raises(SeasonFileError, match=rf"newest backup, moths\.dimpsy\.backup-{KEPT}"):
        SeasonFile.open(season_path)


def test_that_a_garbled_page_is_found_on_opening(staffed_file: SeasonFile, season_path: Path) -> None:
    staffed_file.close()
    content = bytearray(season_path.read_bytes())
    content[4096 * 3 : 4096 * 4] = b"\xa5" * 4096
    season_path.write_bytes(content)
    with pytest.raises(SeasonFileError, match=r"damaged .*no backup"):
        SeasonFile.open(season_path)


@pytest.mark.parametrize(
    "meddling",
    [
        "DELETE FROM season",
        "UPDATE season SET protocol = '{}'",
        "UPDATE season SET protocol = 'not JSON'",
        "UPDATE season SET zone = 'Mars/Olympus'",
        "UPDATE season SET first_date = '31 April'",
        "DROP TABLE training",
    ],
)
def test_that_rows_changed_from_outside_into_something_impossible_are_told(
    season_file: SeasonFile, meddling: str
) -> None:
    season_file._connection.execute(meddling)
    with pytest.raises(SeasonFileError, match="damaged"):
        season_file.season()


def test_that_a_plan_changed_from_outside_is_told(staffed_file: SeasonFile) -> None:
    staffed_file._connection.execute(
        "INSERT INTO planned_visit VALUES ('R1', 1, 'V1', 'V1', '2027-05-01', 'dusk', NULL, NULL, 'planned', 0)"
    )
    with pytest.raises(SeasonFileError, match="lead and second must be two people"):
        staffed_file.plan()


def test_that_making_a_file_over_another_is_refused(season_file: SeasonFile, season_path: Path) -> None:
    with pytest.raises(SeasonFileError, match="in use"):
        SeasonFile.create(season_path, SMALL_SEASON)
    season_file.close()
    before = season_path.read_bytes()
    with pytest.raises(SeasonFileError, match="exists already"):
        SeasonFile.create(season_path, replace(SMALL_SEASON, name="Another"))
    assert season_path.read_bytes() == before
    assert names(season_path.parent) == [season_path.name]


def test_that_a_file_in_a_folder_that_is_not_there_cannot_be_made(tmp_path: Path) -> None:
    with pytest.raises(SeasonFileError, match="Choose a folder that is there"):
        SeasonFile.create(tmp_path / "none" / "moths.dimpsy", SMALL_SEASON)


def test_when_making_a_file_fails_it_is_said_in_words_and_nothing_is_left_behind(season_path: Path) -> None:
    blocked = season_path.with_name("moths.dimpsy.part")
    blocked.mkdir()
    with pytest.raises(SeasonFileError, match="cannot be made"):
        SeasonFile.create(season_path, SMALL_SEASON)
    blocked.rmdir()
    endless = replace(small_volunteer("V1"), drive_limit_minutes=float("nan"))
    with pytest.raises(SeasonFileError, match="cannot be kept"):
        SeasonFile.create(season_path, replace(SMALL_SEASON, volunteers=(endless,)))
    assert names(season_path.parent) == []


def test_that_an_unwritable_folder_is_told_when_making_and_read_from_when_opening(
    unprivileged_folder: Path,
) -> None:
    path = unprivileged_folder / "moths.dimpsy"
    SeasonFile.create(path, SMALL_SEASON).close()
    path.chmod(0o666)
    unprivileged_folder.chmod(0o555)
    if os.geteuid() == 0:
        os.seteuid(65534)
    with pytest.raises(SeasonFileError, match="cannot be made"):
        SeasonFile.create(unprivileged_folder / "other.dimpsy", SMALL_SEASON)
    with SeasonFile.open(path) as file:
        assert "folder of moths.dimpsy cannot be written" in file.read_only_reason
        assert file.season() == SMALL_SEASON
        with pytest.raises(SeasonFileError, match="cannot be written"), file.step("Try"):
            pass
        with pytest.raises(SeasonFileError, match="cannot be written"):
            file.undo()


def test_that_a_write_protected_file_is_opened_for_reading(unprivileged_folder: Path) -> None:
    path = unprivileged_folder / "moths.dimpsy"
    SeasonFile.create(path, SMALL_SEASON).close()
    path.chmod(0o444)
    unprivileged_folder.chmod(0o777)
    if os.geteuid() == 0:
        os.seteuid(65534)
    with SeasonFile.open(path) as file:
        assert "write-protected" in file.read_only_reason
        assert file.season() == SMALL_SEASON


def test_that_a_file_that_may_not_be_read_is_told(unprivileged_folder: Path) -> None:
    path = unprivileged_folder / "moths.dimpsy"
    SeasonFile.create(path, SMALL_SEASON).close()
    path.chmod(0o000)
    if os.geteuid() == 0:
        os.seteuid(65534)
    with pytest.raises(SeasonFileError, match="cannot be read"):
        SeasonFile.open(path)


def test_that_opening_makes_a_copy_only_when_the_file_changed_and_keeps_three(
    season_file: SeasonFile, season_path: Path
) -> None:
    season_file.close()
    for name in ("One", "Two", "Three", "Four", "Five"):
        with SeasonFile.open(season_path) as file:
            rename(file, name)
        SeasonFile.open(season_path).close()
        SeasonFile.open(season_path).close()
    copies = [name for name in names(season_path.parent) if "backup" in name]
    assert copies == [f"moths.dimpsy.backup-{age}" for age in range(1, KEPT + 1)]
    seasons = []
    for age in range(1, KEPT + 1):
        rescued = season_path.with_name(f"rescued-{age}.dimpsy")
        shutil.copyfile(backup_path(season_path, age), rescued)
        with SeasonFile.open(rescued) as file:
            seasons.append(file.season().name)
    assert seasons == ["Five", "Four", "Three"]


def test_when_the_copy_cannot_be_made_opening_is_refused_and_the_lock_given_back(
    season_file: SeasonFile, season_path: Path
) -> None:
    season_file.close()
    blocked = season_path.with_name("moths.dimpsy.backup-part")
    blocked.mkdir()
    with pytest.raises(SeasonFileError, match="backup copy beside it cannot be made"):
        SeasonFile.open(season_path)
    blocked.rmdir()
    with SeasonFile.open(season_path) as file:
        assert file.read_only_reason == ""


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (apsw.BusyError("locked"), "busy"),
        (apsw.FullError("full"), "disk is full"),
        (apsw.IOError("io"), "disk or network drive failed"),
        (apsw.ReadOnlyError("read-only"), "may not be written"),
        (apsw.CorruptError("malformed"), "damaged"),
    ],
)
def test_that_what_the_database_cannot_do_is_said_in_words(season_path: Path, error: apsw.Error, words: str) -> None:
    assert words in str(unusable(season_path, error))


def test_that_a_season_with_routes_may_be_made_at_once(season_path: Path) -> None:
    season = replace(SMALL_SEASON, routes=(small_route("R1"),))
    with SeasonFile.create(str(season_path), season) as file:
        assert file.season() == season
        assert file.history() == ()
