"""``dimpsy calibrate``: from recorded times to the next plan, and on to the next season."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from planner.store import SeasonFile
from planner.usecases.season.opening import road_network
from tests.cli.conftest import Dimpsy
from tests.unit.usecases.recorded_visits import Truth, record_visits

pytestmark = pytest.mark.xdist_group("heath")


@pytest.fixture(scope="session")
def recorded_made(heath_made: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with the dusk demo after six visits, whose drives took 1.4 times what the map says."""
    folder = tmp_path_factory.mktemp("recorded")
    for path in heath_made.glob("heath*"):
        if not path.name.endswith(".lock"):
            shutil.copy(path, folder / path.name)
    with SeasonFile.open(folder / "heath.dimpsy") as file:
        season, first = file.season(), [visit for visit in file.plan() if visit.key.number == 1]
        network = road_network(file.path, season.roads)
        records = record_visits(season, network, first[:6], Truth({}, {}, other=1.4, gross=0.08), seed=4)
        with file.step("Records of six visits"):
            file.save_records(records)
    return folder


@pytest.fixture
def recorded(recorded_made: Path, tmp_path: Path) -> Path:
    """Return a copy of that season that a test may change."""
    for path in recorded_made.glob("heath*"):
        if not path.name.endswith(".lock"):
            shutil.copy(path, tmp_path / path.name)
    return tmp_path / "heath.dimpsy"


def test_that_before_and_after_are_shown_and_nothing_is_changed(dimpsy: Dimpsy, recorded: Path) -> None:
    before = recorded.read_bytes()
    said = dimpsy("calibrate", str(recorded))
    assert said.status == 1
    assert said.out.startswith("Recorded drives of 6 visits: ")
    assert "95 of 100 lie in" in said.out
    assert "a slip or a long stop" in said.out
    assert "too late" in said.out
    assert "What would break a rule of the plan" in said.out
    assert f"To plan with it:  dimpsy calibrate {recorded} --yes" in said.out
    assert recorded.read_bytes() == before


def test_that_what_is_used_is_said_by_plan_and_check_and_taken_back_by_undo(dimpsy: Dimpsy, recorded: Path) -> None:
    used = dimpsy("calibrate", str(recorded), "--yes", "--json")
    assert used.status == 1
    assert used.data["changed"].startswith("Plan with recorded drives of 6 visits: drives x 1.")
    season = used.data["season"]
    assert season["least"] <= 1.4 <= season["most"]
    assert used.data["driving_after_minutes"] > used.data["driving_before_minutes"]
    checked = dimpsy("check", str(recorded), "--json")
    assert [one["severity"] for one in checked.data["findings"] if one["rule"] == "roads.recorded"] == ["note"]
    broken = {one["subject"]["route"] for one in checked.data["findings"] if one["severity"] == "broken"}
    assert broken == {one["subject"]["route"] for one in used.data["broken"]}
    again = dimpsy("calibrate", str(recorded), "--yes")
    assert "Nothing to change: drives are planned so already." in again.out
    assert dimpsy("undo", str(recorded)).status == 0
    after = dimpsy("check", str(recorded), "--json")
    assert not [one for one in after.data["findings"] if one["severity"] == "broken"]


def test_that_the_figure_goes_on_to_the_next_season_and_is_forgotten_again(
    dimpsy: Dimpsy, recorded: Path, tmp_path: Path
) -> None:
    figure = tmp_path / "drives.toml"
    said = dimpsy("calibrate", str(recorded), "--to", str(figure))
    assert "drives x 1." in said.out
    text = figure.read_text("utf-8")
    with SeasonFile.open(recorded) as file:
        season, records = file.season(), file.records()
        for person in season.volunteers:
            assert person.name not in text
            assert f'"{person.code}"' not in text
        with file.step("The next season has no records yet"):
            file.save_records(())
    assert records
    taken = dimpsy("calibrate", str(recorded), "--from", str(figure))
    assert taken.status == 0
    assert taken.out.startswith(f"Plan with the recorded drives of {season.name}: drives x 1.")
    # What another season's drives came to can be handed on as well, without any record.
    onward = tmp_path / "onward.toml"
    assert dimpsy("calibrate", str(recorded), "--to", str(onward)).status == 0
    assert onward.read_text("utf-8") == text
    assert dimpsy("roads", str(recorded), "--factor", "0.9").status == 0
    noted = dimpsy("calibrate", str(recorded), "--from", str(figure))
    assert "Road speeds differ" in noted.out
    assert dimpsy("calibrate", str(recorded), "--forget").out == "Plan with drives as the road map gives them.\n"
    assert dimpsy("calibrate", str(recorded), "--forget").out == "Nothing to change: drives are planned so already.\n"


def test_that_without_records_it_is_impossible_and_says_why(dimpsy: Dimpsy, heath: Path, tmp_path: Path) -> None:
    for more in ((), ("--yes",), ("--to", str(tmp_path / "drives.toml"))):
        said = dimpsy("calibrate", str(heath), *more)
        assert said.status == 3
        assert "recorded" in said.err
    assert not (tmp_path / "drives.toml").exists()
    asked = dimpsy("calibrate", str(heath), "--json")
    assert asked.data["reasons"] == ["there are no visit records yet"]


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (("--from", "none.toml"), "No such file"),
        (("--from", "heath.dimpsy"), "a season file or other database"),
        (("--yes", "--forget"), "not allowed with"),
        (("--to", "none/drives.toml"), "Choose another folder"),
        (("--yes", "--to", "none/drives.toml"), "Choose another folder"),
        (("--yes", "--to", "heath.dimpsy"), "another file"),
    ],
)
def test_that_wrong_use_and_wrong_files_are_refused(
    dimpsy: Dimpsy, recorded: Path, monkeypatch: pytest.MonkeyPatch, more: tuple[str, ...], words: str
) -> None:
    monkeypatch.chdir(recorded.parent)
    shutil.copy(recorded, "small.dimpsy")
    before = recorded.read_bytes()
    said = dimpsy("calibrate", "heath.dimpsy", *more)
    assert said.status == 2
    assert words in said.err or "at most" in said.err
    assert recorded.read_bytes() == before
