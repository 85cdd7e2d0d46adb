"""``dimpsy report``: what it writes and says, and what it refuses."""

from __future__ import annotations

from pathlib import Path

import pypdf
import pytest

from planner.store import SeasonFile
from tests.cli.conftest import Dimpsy
from tests.field_returns import REPORT_DAY, bring_back

pytestmark = pytest.mark.xdist_group("heath")


def test_that_figures_are_said_and_files_written_and_told_in_json_too(
    heath: Path, tmp_path: Path, dimpsy: Dimpsy
) -> None:
    with SeasonFile.open(heath) as file:
        bring_back(file)
    out = tmp_path / "out"
    said = dimpsy("report", heath, "--to", out, "--today", REPORT_DAY.isoformat())
    assert said.status == 0
    assert "visit 1: 1 nobody planned, 1 date passed, no record, 2 partly done, 20 done" in said.out
    assert "asked of the board: Find volunteers: 3 visits have nobody" in said.out
    assert len(pypdf.PdfReader(out / "board.pdf").pages) == 1
    told = dimpsy("report", heath, "--to", out, "--today", REPORT_DAY.isoformat(), "--json")
    assert {Path(one["path"]).name for one in told.data["files"]} == {path.name for path in out.iterdir()}
    assert told.data["report"]["today"] == REPORT_DAY.isoformat()


def test_that_the_page_alone_is_written_where_that_is_asked_for(heath: Path, tmp_path: Path, dimpsy: Dimpsy) -> None:
    said = dimpsy("report", heath, "--to", tmp_path / "out", "--pdf-only", "--paper", "letter")
    assert said.status == 0
    assert [path.name for path in (tmp_path / "out").iterdir()] == ["board.pdf"]


def test_that_a_season_without_routes_is_refused_in_words(tmp_path: Path, dimpsy: Dimpsy) -> None:
    path = tmp_path / "new.dimpsy"
    protocol = "heath_nightjars"
    made = dimpsy("new", path, "--protocol", protocol, "--from", "2027-05-03", "--to", "2027-07-02", "--zone", "UTC")
    assert made.status == 0, made.err
    said = dimpsy("report", path, "--to", tmp_path / "out")
    assert (said.status, (tmp_path / "out").exists()) == (3, False)
    assert "no routes yet" in said.err
