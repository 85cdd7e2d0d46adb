"""The shipped protocols are listed, and copied to begin one's own with."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Dimpsy


def test_that_the_protocols_are_listed_by_the_names_that_new_takes(dimpsy: Dimpsy) -> None:
    lines = dimpsy("protocols").out.splitlines()
    assert any(line.split() == ["heath_nightjars", "Heath", "nightjars", "at", "dusk", "(invented)"] for line in lines)
    names = [one["name"] for one in dimpsy("protocols", "--json").data["protocols"]]
    assert [line.split()[0] for line in lines[: len(names)]] == names


def test_that_a_season_is_made_under_a_copy_that_was_changed(dimpsy: Dimpsy, tmp_path: Path) -> None:
    mine = tmp_path / "mine.toml"
    said = dimpsy("protocols", "--copy", "heath_nightjars", "--to", mine)
    assert (said.status, said.err) == (0, "")
    text = mine.read_text(encoding="utf-8")
    mine.write_text(text.replace("Heath nightjars at dusk (invented)", "Nightjars of ours"), encoding="utf-8")
    dates = ("--from", "2027-05-03", "--to", "2027-07-02", "--zone", "Europe/London")
    assert "Nightjars of ours" in dimpsy("new", tmp_path / "a.dimpsy", "--protocol", mine, *dates).out
    again = dimpsy("protocols", "--copy", "heath_nightjars", "--to", mine)
    assert again.status == 2
    assert "Nightjars of ours" in mine.read_text(encoding="utf-8")


@pytest.mark.parametrize("half", [("--copy", "heath_nightjars"), ("--to", "mine.toml")])
def test_that_half_a_copy_is_wrong_usage(half: tuple[str, str], dimpsy: Dimpsy) -> None:
    said = dimpsy("protocols", *half)
    assert said.status == 2
    assert "--copy NAME and --to FILE go together" in said.err


def test_that_the_help_of_new_says_how_to_come_by_ones_own(dimpsy: Dimpsy, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        dimpsy("new", "--help")
    assert "dimpsy protocols --copy NAME --to MY_SURVEY.toml" in capsys.readouterr().out
