"""``dimpsy papers``, ``history --to`` and the list of commands."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.cli.commands import COMMANDS, GROUPS, command
from planner.store import SeasonFile
from tests.cli.conftest import Dimpsy

pytestmark = pytest.mark.xdist_group("heath")

NOW = ("--now", "2027-05-01T10:00")


def test_that_papers_that_changed_or_are_wanted_are_told_until_called_back(few_routes: Path, dimpsy: Dimpsy) -> None:
    with SeasonFile.open(few_routes) as file:
        visit = next(one for one in file.plan() if one.second)
    named = (visit.key.route, visit.key.number)
    assert dimpsy("settle", few_routes, *named, "--take-out", "--today", "2027-05-01").status == 0
    said = dimpsy("papers", few_routes, *NOW)
    assert said.status == 1
    states = {one["code"]: one["state"] for one in dimpsy("papers", few_routes, *NOW, "--json").data["people"]}
    assert states[visit.lead] in ("changed", "withdraw")
    name = next(one for one in said.out.splitlines() if one.startswith(f"{visit.lead} "))
    assert states[visit.lead] in name
    void = next(code for code, state in states.items() if state == "withdraw")
    back = dimpsy("papers", few_routes, "--called-back", void, *NOW)
    assert back.out.startswith(f"Written down: the paper of {void} ")
    assert f"\n{void} " not in back.out
    again = dimpsy("papers", few_routes, "--called-back", void, *NOW)
    assert again.status == 3
    assert f"{void} holds no paper" in again.err


def test_that_the_file_goes_to_a_step_and_back(few_routes: Path, dimpsy: Dimpsy) -> None:
    with SeasonFile.open(few_routes) as file:
        before, name = file.revision, file.season().name
    for other in ("One", "Two"):
        assert dimpsy("season", few_routes, "--name", other).status == 0
    back = dimpsy("history", few_routes, "--to", before)
    assert back.status == 0
    assert back.out.count("  (undone)") == 2
    assert f"Went to step {before}: 2 steps undone or done again.\n" in back.out
    with SeasonFile.open(few_routes) as file:
        assert file.season().name == name
    assert dimpsy("history", few_routes, "--to", before + 2, "--json").data["moved"] == 2
    with SeasonFile.open(few_routes) as file:
        assert file.season().name == "Two"
    assert dimpsy("history", few_routes, "--to", before + 9).status == 3
    assert dimpsy("history", few_routes, "--json").data["moved"] is None


def test_that_help_lists_every_command_once_under_what_is_being_done(dimpsy: Dimpsy) -> None:
    said = dimpsy().out
    for doing, group in GROUPS:
        listed = said.split(f"\n{doing}:\n")[1]
        for name in group:
            assert name == command(name).NAME
            assert f"  {name} " in listed
            assert said.count(f"\n    {name} ") == 1
    assert len(set(COMMANDS)) == len(COMMANDS)
    assert "exit status:" in said


@pytest.mark.parametrize("name", COMMANDS)
def test_that_every_command_explains_itself_within_a_terminal(
    name: str, capsys: pytest.CaptureFixture[str], dimpsy: Dimpsy
) -> None:
    with pytest.raises(SystemExit) as left:
        dimpsy(name, "--help")
    assert left.value.code == 0
    out = capsys.readouterr().out
    assert out.startswith(f"usage: dimpsy {name} ")
    assert all(len(line) <= 120 for line in out.splitlines())
