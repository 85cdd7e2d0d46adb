"""Two copies of a season that both send files: said where it can be known, and no more once it is settled."""

from __future__ import annotations

import platform
import shutil
from pathlib import Path

import pytest

from planner.domain.field.told import SentFrom
from planner.store import SeasonFile
from planner.usecases.sending.copies import here, sent_elsewhere
from tests.unit.store.season_strategies import SMALL_SEASON


def send_from(file: SeasonFile, place: SentFrom) -> None:
    with file.step("Write notices"):
        file.record_told((), (), place)


@pytest.fixture
def original(tmp_path: Path) -> Path:
    """A season file that has sent files from where it lies."""
    path = tmp_path / "one" / "moths.dimpsy"
    path.parent.mkdir()
    with SeasonFile.create(path, SMALL_SEASON) as file:
        assert sent_elsewhere(file) == ""
        send_from(file, here(file))
        assert sent_elsewhere(file) == ""
    return path


def test_that_a_copy_says_where_the_other_one_is_until_files_go_out_from_it(original: Path, tmp_path: Path) -> None:
    copy = Path(shutil.copy(original, tmp_path / "copy.dimpsy"))
    with SeasonFile.open(copy) as file:
        said = sent_elsewhere(file)
        assert f"another copy of it: {original}." in said
        assert "Send from one of the two only" in said
        send_from(file, here(file))
        assert sent_elsewhere(file) == ""
    with SeasonFile.open(original) as file:
        assert sent_elsewhere(file) == ""


def test_that_a_file_that_was_moved_is_no_copy(original: Path, tmp_path: Path) -> None:
    with SeasonFile.open(Path(shutil.move(original, tmp_path / "moved.dimpsy"))) as file:
        assert sent_elsewhere(file) == ""


def test_that_of_another_computer_it_is_said_because_nobody_can_look(original: Path) -> None:
    with SeasonFile.open(original) as file:
        send_from(file, SentFrom(f"not {platform.node()}", "/home/kim/moths.dimpsy"))
        assert f"/home/kim/moths.dimpsy on the computer not {platform.node()}" in sent_elsewhere(file)
