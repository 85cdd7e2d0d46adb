"""Two sheets that were swapped are put right in one step, with all that is on them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from planner.domain.errors import RuleError
from planner.domain.field.habitat_sheet import Photo
from planner.domain.geo import Place
from planner.usecases.sheets import keep_sheets
from planner.usecases.sheets.photo_places import photo_metres
from planner.usecases.sheets.swapping import swap_sheets
from tests.unit.usecases.sheet_seasons import SEASON, draft, final, key, sheet_file

PHOTO = Photo("ab" * 32, "north.jpg")


def test_that_swapping_takes_everything_along_and_undoing_brings_it_back(tmp_path: Path) -> None:
    first, second = replace(final(key(1)), photos=(PHOTO,), note="by the gate"), draft(key(2), {"GR": 100})
    with sheet_file(tmp_path) as file:
        keep_sheets(file, [first, second, draft(key(3))])
        steps = len(file.history())
        swap_sheets(file, key(1), key(2))
        assert file.sheets() == (replace(second, key=key(1)), replace(first, key=key(2)), draft(key(3)))
        assert len(file.history()) == steps + 1
        file.undo()
        assert file.sheets() == (first, second, draft(key(3)))


def test_that_a_sheet_that_is_not_there_is_named_and_nothing_is_changed(tmp_path: Path) -> None:
    with sheet_file(tmp_path) as file:
        keep_sheets(file, [draft(key(1))])
        with pytest.raises(RuleError, match="no habitat sheet of R1 visit 1 point 2"):
            swap_sheets(file, key(1), key(2))
        with pytest.raises(RuleError, match="stays where it is"):
            swap_sheets(file, key(1), key(1))
        assert file.sheets() == (draft(key(1)),)


def test_that_a_photo_is_as_far_from_its_point_as_a_degree_of_latitude_says() -> None:
    spot = SEASON.route("R1").points[0].place
    away = replace(PHOTO, place=Place(spot.latitude + 0.001, spot.longitude))
    metres = photo_metres(SEASON, key(1), away)
    assert metres is not None
    # A thousandth of a degree along a meridian is 110.57 m at the equator and 111.69 m at a pole (WGS84).
    assert 110.5 < metres < 111.7
    assert photo_metres(SEASON, key(1), PHOTO) is None
    assert photo_metres(SEASON, key(99), away) is None
