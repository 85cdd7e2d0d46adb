from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest

from planner.domain.errors import SeasonFileError
from planner.store import SeasonFile
from planner.store.file_lock import FileLock, _is_still, holder
from planner.store.opening import lock_path
from tests.unit.store.season_strategies import SMALL_SEASON

ROOT = Path(__file__).parents[3]

HOLD = """
import sys
from planner.store import SeasonFile
with SeasonFile.open(sys.argv[1]) as file:
    print(file.read_only_reason or "writing", flush=True)
    sys.stdin.read()
"""

DIE_IN_A_STEP = """
import sys
from dataclasses import replace
from planner.store import SeasonFile
from tests.unit.store.season_strategies import small_route
file = SeasonFile.open(sys.argv[1])
file._connection.pragma("cache_size", 5)  # so that half of the step reaches the disk
with file.step("Never ends"):
    season = file.season()
    file.save_season(replace(season, name="Half written", routes=tuple(small_route(f"X{k}", 20) for k in range(200))))
    print("in the middle", flush=True)
    sys.stdin.read()
"""


@contextmanager
def process(code: str, path: Path) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """Another Python that runs the code with that file, and the first line it says."""
    with subprocess.Popen(
        [sys.executable, "-c", code, str(path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
    ) as other:
        assert other.stdout is not None
        try:
            yield other, other.stdout.readline().strip()
        finally:
            other.kill()


def test_that_a_second_process_may_read_only_and_is_told_who_writes(season_path: Path) -> None:
    SeasonFile.create(season_path, SMALL_SEASON).close()
    with process(HOLD, season_path) as (other, said):
        assert said == "writing"
        with SeasonFile.open(season_path) as file:
            assert f"process {other.pid} on this computer" in file.read_only_reason
            assert file.season() == SMALL_SEASON
            with pytest.raises(SeasonFileError, match="open for writing"), file.step("Try"):
                pass
            with pytest.raises(SeasonFileError, match="open for writing"):
                file.undo()


def test_that_a_process_is_told_when_this_one_writes(season_file: SeasonFile, season_path: Path) -> None:
    with process(HOLD, season_path) as (_, said):
        assert f"process {os.getpid()} on this computer" in said
    assert season_file.read_only_reason == ""


def test_that_the_lock_vanishes_with_its_process(season_path: Path) -> None:
    SeasonFile.create(season_path, SMALL_SEASON).close()
    with process(HOLD, season_path) as (other, _):
        other.kill()
        other.wait()
        assert lock_path(season_path).exists()
        with SeasonFile.open(season_path) as file:
            assert file.read_only_reason == ""


def test_when_a_process_is_killed_in_the_middle_of_a_step_the_old_state_stands(
    staffed_file: SeasonFile, season_path: Path
) -> None:
    before = staffed_file.season()
    staffed_file.close()
    with process(DIE_IN_A_STEP, season_path) as (other, said):
        assert said == "in the middle"
        other.kill()
        other.wait()
    assert season_path.with_name("moths.dimpsy-journal").exists(), "the step had not reached the disk: a tame test"
    with SeasonFile.open(season_path) as file:
        assert file.season() == before
        assert [step.label for step in file.history()] == ["Import routes and volunteers"]


def test_that_a_second_opening_in_this_process_reads_and_writes_once_the_first_is_closed(
    season_file: SeasonFile, season_path: Path
) -> None:
    with SeasonFile.open(season_path) as second:
        assert "this program itself" in second.read_only_reason
    season_file.close()
    with SeasonFile.open(season_path) as third:
        assert third.read_only_reason == ""


def test_that_a_reader_sees_what_the_writer_did(season_file: SeasonFile, season_path: Path) -> None:
    with SeasonFile.open(season_path) as reader:
        with season_file.step("Rename"):
            season_file.save_season(replace(SMALL_SEASON, name="Seen"))
        assert reader.season().name == "Seen"
        assert reader.revision == 1


@pytest.mark.parametrize(
    ("noted", "words"),
    [
        (json.dumps({"pid": 77, "host": "elsewhere"}), "process 77 on elsewhere"),
        (json.dumps({"pid": 77, "host": socket.gethostname()}), "process 77 on this computer"),
        ("", "another program"),
        ("[1]", "another program"),
        ("{}", "another program"),
    ],
)
def test_that_the_holder_is_named_as_far_as_it_is_known(tmp_path: Path, noted: str, words: str) -> None:
    path = tmp_path / "any.lock"
    path.write_text(noted)
    assert holder(path) == words


def test_that_a_lock_released_twice_is_no_fault_and_leaves_nothing_behind(tmp_path: Path) -> None:
    path = tmp_path / "any.lock"
    lock = FileLock.take(path)
    assert lock is not None
    assert FileLock.take(path) is None
    lock.release()
    lock.release()
    assert not path.exists()


def test_that_closing_bears_a_lock_file_that_someone_removed(season_file: SeasonFile, season_path: Path) -> None:
    lock_path(season_path).unlink()
    season_file.close()
    with SeasonFile.open(season_path) as file:
        assert file.read_only_reason == ""


def test_that_a_removed_lock_file_is_not_taken_for_the_one_that_followed_it(tmp_path: Path) -> None:
    path = tmp_path / "any.lock"
    handle = os.open(path, os.O_RDWR | os.O_CREAT)
    assert _is_still(path, handle)
    path.unlink()
    assert not _is_still(path, handle)
    path.touch()
    assert not _is_still(path, handle)
    os.close(handle)


def test_that_never_two_hold_the_lock_though_its_file_comes_and_goes(tmp_path: Path) -> None:
    path = tmp_path / "any.lock"
    holding: set[int] = set()
    crowded: list[set[int]] = []

    def take_often(who: int) -> None:
        for _ in range(500):
            lock = FileLock.take(path)
            if lock is not None:
                holding.add(who)
                path.exists()  # lets another thread run while the lock is held
                crowded.extend([set(holding)] * (len(holding) > 1))
                holding.remove(who)
                lock.release()

    with ThreadPoolExecutor(4) as threads:
        list(threads.map(take_often, range(4)))
    assert crowded == []
