import math
from pathlib import Path

import pytest

from planner.domain.errors import InputError
from planner.shipped import resources
from planner.travel import SpeedTable, shipped_speeds

WHOLE = """
limits = {driven_share = 0.5, walk_kmh = 5}
zones = {urban = 40}
surfaces = {gravel = 20, source = "x"}
tracktypes = {}
smoothness = {bad = 10}
[classes]
residential = {typical_kmh = 30, ceiling_kmh = 60}
"""


def _table(tmp_path: Path, text: str) -> SpeedTable:
    path = tmp_path / "speeds.toml"
    path.write_text(text, encoding="utf-8")
    return SpeedTable.read(path)


def test_that_the_speed_is_the_typical_one_where_no_limit_is_known(tmp_path: Path) -> None:
    assert _table(tmp_path, WHOLE).speed_kmh("residential", None, math.inf) == 30.0


@pytest.mark.parametrize(("limit_kmh", "driven_kmh"), [(50.0, 25.0), (100.0, 50.0), (300.0, 60.0), (math.inf, 60.0)])
def test_that_a_limit_is_driven_in_part_and_up_to_the_ceiling(
    tmp_path: Path, limit_kmh: float, driven_kmh: float
) -> None:
    assert _table(tmp_path, WHOLE).speed_kmh("residential", limit_kmh, math.inf) == driven_kmh


def test_that_the_state_of_the_road_caps_every_speed(tmp_path: Path) -> None:
    table = _table(tmp_path, WHOLE)
    assert table.cap_kmh({"surface": "gravel"}) == 20.0
    assert table.cap_kmh({"surface": "gravel", "smoothness": "bad"}) == 10.0
    assert table.cap_kmh({"surface": "asphalt"}) == math.inf
    assert table.cap_kmh({"surface": "asphalt; Gravel"}) == 20.0
    assert table.speed_kmh("residential", 100.0, 20.0) == 20.0


def test_that_shipped_speeds_never_rank_a_lesser_road_above_a_greater_one() -> None:
    ranks = ["motorway", "trunk", "primary", "secondary", "tertiary", "unclassified", "residential", "service"]
    typical = [shipped_speeds().classes[kind].typical_kmh for kind in ranks]
    assert typical == sorted(typical, reverse=True)
    assert all(speeds.ceiling_kmh > speeds.typical_kmh for speeds in shipped_speeds().classes.values())


def test_that_every_shipped_figure_names_its_source() -> None:
    text = (resources() / "roads" / "speeds.toml").read_text(encoding="utf-8")
    figures = [line for line in text.splitlines() if "typical_kmh =" in line]
    assert figures
    assert all("source = " in line for line in figures)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("typical_kmh = 30", "typical_kmh = 0", "classes.residential.typical_kmh"),
        ("typical_kmh = 30", "typical_kmh = true", "classes.residential.typical_kmh"),
        ("typical_kmh = 30, ", "", "classes.residential.typical_kmh"),
        ("walk_kmh = 5", "walk_kmh = inf", "limits.walk_kmh"),
        ("urban = 40", "urban = 'x'", "zones.urban"),
        ("tracktypes = {}", "", "tracktypes"),
        ("tracktypes = {}", "tracktypes = 3", "tracktypes"),
        ("residential = {typical_kmh = 30, ceiling_kmh = 60}", "residential = 4", "classes.residential.typical_kmh"),
        ("zones = {", "zones = ", "TOML"),
    ],
)
def test_that_a_wrong_table_of_speeds_is_refused_with_the_place(tmp_path: Path, old: str, new: str, said: str) -> None:
    assert old in WHOLE
    with pytest.raises(InputError, match=said):
        _table(tmp_path, WHOLE.replace(old, new))


def test_that_a_missing_table_of_speeds_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"nowhere\.toml"):
        SpeedTable.read(tmp_path / "nowhere.toml")
