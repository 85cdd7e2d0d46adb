"""The season's figure as a file: written, read back, and refused where it is something else."""

from __future__ import annotations

import datetime as dt
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.errors import InputError
from planner.domain.field.drive_factors import DriveFactor, DriveFactors
from planner.exchange import DriveFigure, FigureKind, read_drive_figure, write_drive_figure

FIGURE = DriveFigure(
    FigureKind.DRIVES,
    1,
    'Nightjars "of" the heath\\, 2026 \U0001f989',
    dt.date(2026, 5, 1),
    dt.date(2026, 7, 2),
    1.18,
    97,
    "all speeds x 0.9",
    (DriveFactor("tertiary", 1.05, 40), DriveFactor("track", 1.5, 12)),
)


def test_that_a_figure_comes_back_as_it_was_written(tmp_path: Path) -> None:
    path = tmp_path / "drives.toml"
    write_drive_figure(path, FIGURE)
    assert read_drive_figure(path) == FIGURE
    assert [one.name for one in tmp_path.iterdir()] == ["drives.toml"]
    factors = read_drive_figure(path).factors()
    assert factors.season == DriveFactor("", 1.18, 97)
    assert factors.classes == FIGURE.classes
    assert factors.routes == ()
    assert factors.source == f"the recorded drives of {FIGURE.season}"


@settings(max_examples=30, deadline=None)
@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=30), st.floats(0.2, 5.0))
def test_that_any_name_and_factor_come_back(tmp_path_factory: pytest.TempPathFactory, name: str, factor: float) -> None:
    path = tmp_path_factory.mktemp("figure") / "drives.toml"
    figure = replace(FIGURE, season=name, factor=factor)
    write_drive_figure(path, figure)
    assert read_drive_figure(path) == figure


def test_that_a_standard_reader_finds_the_figure_in_it_and_no_more(tmp_path: Path) -> None:
    path = tmp_path / "drives.toml"
    write_drive_figure(path, FIGURE)
    plain = tomllib.loads(path.read_text("utf-8"))
    assert set(plain) == {"kind", "layout", "season", "first", "last", "factor", "legs", "speeds", "classes"}
    assert plain["classes"][1] == {"name": "track", "factor": 1.5, "legs": 12}


WHOLE = """kind = "recorded drives"
layout = 1
season = "A"
first = 2026-05-01
last = 2026-07-01
factor = 1.2
legs = 30
"""

BROKEN = {
    "another file": ('name = "A"\n', ["kind", "layout", "season", "factor"]),
    "another kind": (WHOLE.replace("recorded drives", "speeds"), ["kind"]),
    "a later layout": (WHOLE.replace("layout = 1", "layout = 2"), ["layout 1 is what this version"]),
    "no toml": ("factor: 1.2\n", ["line 1"]),
    "a word for a number": (WHOLE.replace("1.2", '"1.2"').replace("legs = 30", "legs = 3.5"), ["factor", "legs"]),
    "far out of bounds": (WHOLE.replace("1.2", "12.0"), ["between 0.2 and 5.0"]),
    "a number of very many digits": (WHOLE.replace("1.2", "1" * 5000), ["very many digits"]),
    "more drives than there can be": (WHOLE.replace("30", "9" * 40), ["0 to 1000000 legs"]),
    "no number at all": (WHOLE.replace("1.2", "nan"), ["a finite number"]),
    "a class out of bounds": (WHOLE + '[[classes]]\nname = "track"\nfactor = 0.0\nlegs = 3\n', ["classes[1]"]),
    "a class twice": (WHOLE + 2 * '[[classes]]\nname = "track"\nfactor = 1.0\nlegs = 3\n', ["each drive factor once"]),
    "a class without a name": (WHOLE + '[[classes]]\nname = ""\nfactor = 1.0\nlegs = 3\n', ["each drive factor once"]),
    "reversed dates": (WHOLE.replace("2026-07-01", "2025-07-01"), ["reversed"]),
    "a date in quotes": (WHOLE.replace("2026-07-01", '"2026-07-01"'), ["last", "without quotes"]),
    "a moment for a date": (WHOLE.replace("2026-07-01", "2026-07-01T10:00:00"), ["last", "a date"]),
    "a key too many": (WHOLE + "factr = 1.0\n", ["did you mean 'factor'"]),
    "nothing": ("", ["an empty file"]),
}


@pytest.mark.parametrize("case", BROKEN)
def test_that_what_is_no_such_file_is_refused_with_all_that_is_wrong(tmp_path: Path, case: str) -> None:
    text, said = BROKEN[case]
    path = tmp_path / "drives.toml"
    path.write_text(text, "utf-8")
    with pytest.raises(InputError) as caught:
        read_drive_figure(path)
    for words in said:
        assert words in str(caught.value)
    assert str(path) in str(caught.value)


def test_that_huge_files_binary_files_and_missing_ones_are_refused(tmp_path: Path) -> None:
    huge, binary = tmp_path / "huge.toml", tmp_path / "binary.toml"
    huge.write_bytes(b"#" * 70_000)
    binary.write_bytes(b"\x00\xff" * 50)
    for path in (huge, binary, tmp_path / "none.toml", tmp_path):
        with pytest.raises(InputError):
            read_drive_figure(path)


def test_that_a_folder_that_is_not_there_is_said_and_nothing_is_written(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="Choose another folder"):
        write_drive_figure(tmp_path / "none" / "drives.toml", FIGURE)


def test_that_no_other_file_is_written_over(tmp_path: Path) -> None:
    season = tmp_path / "season.dimpsy"
    season.write_bytes(b"SQLite format 3\x00 and all that it holds")
    with pytest.raises(InputError, match="another file"):
        write_drive_figure(season, FIGURE)
    assert season.read_bytes() == b"SQLite format 3\x00 and all that it holds"
    write_drive_figure(tmp_path / "drives.toml", FIGURE)
    write_drive_figure(tmp_path / "drives.toml", replace(FIGURE, factor=1.5))
    assert read_drive_figure(tmp_path / "drives.toml").factor == 1.5


def test_that_a_name_of_many_lines_and_letters_is_said_in_one_line() -> None:
    source = replace(FIGURE, season="first line\n" + "name " * 10_000).factors().source
    assert source.startswith("the recorded drives of first line name")
    assert len(source) < 160


def test_that_factors_say_what_drives_are_planned_with() -> None:
    assert DriveFactors().said() == ""
    assert replace(FIGURE, season="2026", classes=FIGURE.classes[:1]).factors().said() == (
        "Drives are planned with the recorded drives of 2026: 1.18 times what the map gives,"
        " with figures of their own for 1 road class."
    )
    routes = (DriveFactor("R1", 1.1, 3), DriveFactor("R2", 1.1, 3))
    both = replace(FIGURE.factors(), routes=routes, source="recorded drives of 2 visits")
    assert both.said().endswith("for 2 road classes and 2 routes.")
    assert DriveFactors(DriveFactor("", 0.9, 3), source="recorded drives of 1 visit").said() == (
        "Drives are planned with recorded drives of 1 visit: 0.90 times what the map gives."
    )
