"""The main job in one line: the demo from routes to printed itineraries."""

from __future__ import annotations

import csv
import datetime as dt
from pathlib import Path

import pytest
from pypdf import PdfReader

from tests.cli.conftest import Dimpsy, MadeDemo

pytestmark = pytest.mark.xdist_group("heath")


@pytest.fixture(scope="module")
def plan_rows(heath_made: Path) -> list[dict[str, str]]:
    """Return the rows of the demo's plan table."""
    with (heath_made / "plan.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_that_check_lists_exactly_the_planted_troubles_each_with_what_to_do(heath: Path, dimpsy: Dimpsy) -> None:
    said = dimpsy("check", heath, "--json")
    found = {
        (finding["rule"], finding["subject"]["route"] or finding["subject"]["volunteer"])
        for finding in said.data["findings"]
    }
    assert found == {
        ("route.too_long", "R17"),
        ("route.circles", "R05"),
        ("route.off_road", "R09"),
        ("volunteer.no_usable_date", "V29"),
        ("visit.nobody", "R22"),
    }
    assert len(said.data["findings"]) == 5
    assert all(finding["what"] and finding["todo"] for finding in said.data["findings"])
    assert said.status == 1


def test_that_every_visit_without_a_planted_trouble_is_filled_with_a_reserve_date(
    plan_rows: list[dict[str, str]],
) -> None:
    unfilled = {(row["route"], row["visit"]) for row in plan_rows if not row["lead"]}
    assert unfilled == {("R17", "1"), ("R17", "2"), ("R22", "2")}
    filled = [row for row in plan_rows if row["lead"]]
    assert len(filled) == 45
    assert all(row["reserve"] > row["date"] for row in filled)


def test_that_each_visit_1_has_its_set_up_at_most_a_week_before(plan_rows: list[dict[str, str]]) -> None:
    for row in plan_rows:
        if row["lead"] and row["visit"] == "1":
            before = dt.date.fromisoformat(row["date"]) - dt.date.fromisoformat(row["setup"])
            assert dt.timedelta(0) <= before <= dt.timedelta(days=7)
        else:
            assert not row["setup"]


def test_that_everyone_who_goes_out_has_a_paper_and_nobody_else(
    heath_made: Path, plan_rows: list[dict[str, str]]
) -> None:
    going = {row[role] for row in plan_rows for role in ("lead", "second") if row[role]}
    papers = {path.name.split()[0] for path in (heath_made / "itineraries").glob("*.pdf")}
    assert papers == going


def test_that_a_paper_names_its_own_volunteer_and_no_other_in_full(heath_made: Path) -> None:
    papers = sorted((heath_made / "itineraries").glob("*.pdf"))
    names = {path: path.stem.split(maxsplit=1)[1] for path in papers}
    for path in sorted(papers, key=lambda path: path.stat().st_size)[:6]:  # the shortest: reading a page takes longest
        text = " ".join(" ".join(page.extract_text() for page in PdfReader(path).pages).split())
        assert names[path] in text
        assert not [name for other, name in names.items() if other != path and name in text]


def test_that_the_demo_does_not_write_over_an_earlier_one(heath_made: Path, dimpsy: Dimpsy) -> None:
    said = dimpsy("demo", heath_made)
    assert said.status == 2
    assert "Name another folder" in said.err


def test_that_the_demo_without_a_folder_takes_the_next_free_one(reedhaven_made: MadeDemo) -> None:
    said = reedhaven_made.said
    assert said.status == 0
    assert (reedhaven_made.started_in / "dimpsy-demo-2" / "reedhaven.dimpsy").is_file()
    assert said.data["findings"] == []
    assert said.data["plan"]["filled"] == said.data["plan"]["visits"] == 10
