"""Whom everybody rings: what stands on every paper stands on one line of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.domain.errors import RuleError
from planner.domain.season import Coordinator
from planner.usecases.season.coordinator import on_one_line, set_coordinator
from tests.unit.usecases.sheet_seasons import sheet_file


def test_that_what_is_given_is_set_on_one_line_and_the_rest_stays(tmp_path: Path) -> None:
    with sheet_file(tmp_path) as file:
        set_coordinator(file, name="Kim\n Warden ", email="kim@example.org")
        set_coordinator(file, telephone="07700\t900999")
        assert file.season().coordinator == Coordinator("Kim Warden", "07700 900999", "kim@example.org")


def test_that_control_characters_are_refused_part_by_part_and_nothing_is_changed(tmp_path: Path) -> None:
    with sheet_file(tmp_path) as file:
        before = file.season()
        with pytest.raises(RuleError, match=r"telephone U\+0007"):
            set_coordinator(file, telephone="1\x07")
        assert file.season() == before
    with pytest.raises(RuleError, match=r"name .*, email "):
        on_one_line(Coordinator("\x00", "", "\x1b"))
