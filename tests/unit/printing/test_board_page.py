"""The page for the board: one page whatever the season, everything on it whole, and what it says is right."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pypdf
import pytest

from planner.domain.geo import Place
from planner.domain.habitat import HabitatClass
from planner.domain.plan import VisitKey
from planner.domain.reports.driving_saved import DrivingSaved
from planner.domain.reports.habitat_summary import ClassCover, HabitatReport, RouteHabitat
from planner.domain.reports.hours import HoursReport
from planner.domain.reports.progress import Progress, SheetCount, Tally, VisitStanding, VisitState
from planner.domain.reports.season_report import (
    Chances,
    LossKind,
    LostEvening,
    RouteChance,
    RouteMark,
    RoutePlace,
    SeasonReport,
)
from planner.printing import BoardPage, Paper, write_board_page
from planner.printing.canvas import TextMark
from planner.printing.geometry import Box

DAY = dt.date(2027, 6, 5)
CLASSES = tuple(HabitatClass(f"C{number}", f"ground of kind {number}", stable=True) for number in range(12))


def _report(routes: int, visits: int = 2, asked: int = 3) -> SeasonReport:
    """A season of so many routes, its states in turn."""
    states = list(VisitState)
    standings = tuple(
        VisitStanding(
            key=VisitKey(f"R{route:03d}", number),
            title=f"R{route:03d} Common with a rather long name",
            area="north",
            state=states[(route + number) % len(states)],
            date=DAY,
            reserve=None,
            points=10,
            counted=4,
            standing=3,
            evenings=1,
            sheets=SheetCount(10, 4, 1, 2),
        )
        for route in range(routes)
        for number in range(1, visits + 1)
    )
    by_visit = tuple(
        Tally.of(f"visit {number}", [one for one in standings if one.key.number == number])
        for number in range(1, visits + 1)
    )
    whole = Tally.of("all visits", standings)
    chances = tuple(RouteChance(f"R{route:03d}", f"R{route:03d} Common", 0.5, 1, 0.6, True) for route in range(routes))
    return SeasonReport(
        season="A season of invented heaths, 2027",
        survey="Invented dusk count",
        invented=True,
        first=dt.date(2027, 5, 1),
        last=dt.date(2027, 7, 1),
        today=DAY,
        revision=7,
        routes=routes,
        progress=Progress(standings, whole, by_visit, (Tally.of("north", standings),), "Areas are invented."),
        chances=Chances("10 % of the evenings lost", 3.0, 4, chances),
        lost=(LostEvening(LossKind.LIGHT, DAY, VisitKey("R000", 1)),),
        lost_unknown_until=DAY,
        hours=HoursReport((), (), 0, "Said."),
        saved=DrivingSaved((), 2 * routes),
        habitat=_habitat(visits),
        places=tuple(
            RoutePlace(f"R{route:03d}", Place(51.0 + (route % 17) / 50, -1.0 + (route // 17) / 50), mark)
            for route in range(routes)
            for mark in [list(RouteMark)[route % 4]]
        ),
        asked=tuple(f"Request {number} that is asked with some words more." for number in range(1, asked + 1)),
    )


def _habitat(visits: int) -> HabitatReport:
    covers = tuple(ClassCover(one.code, 100.0 / len(CLASSES), 0.0, 50.0) for one in CLASSES)
    whole = tuple(RouteHabitat("", number, 5, covers, 0, None, None) for number in range(1, visits + 1))
    return HabitatReport(tuple((one.code, one.name) for one in CLASSES), (), whole, True, True)


SEASONS = {
    "three routes": _report(3),
    "300 routes": _report(300, asked=30),
    "one visit": _report(40, visits=1),
    "nine visits": _report(40, visits=9),
    "no routes with points": replace(_report(3), places=(), habitat=None, chances=None, lost=(), asked=()),
    "no sheets yet": replace(_report(3), habitat=replace(_habitat(1), whole=())),
    "long words": replace(_report(3), season="Very long " * 40, survey="Endless " * 60, asked=("words " * 200,) * 3),
    "one place": replace(_report(1), places=(RoutePlace("R000", Place(-90.0, 180.0), RouteMark.DONE),)),
}


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("name", list(SEASONS))
def test_that_it_is_one_page_and_nothing_lies_outside_or_over_another(name: str, paper: Paper) -> None:
    marks: list[TextMark] = []
    BoardPage(SEASONS[name], paper).image(50.0, watch=marks.append)
    width, height = paper.size_mm
    sheet = Box(0.0, 0.0, width, height).inset(8.0)
    assert marks
    for mark in marks:
        assert sheet.holds(mark.box), mark
        assert mark.face.points >= 10
    boxes = [mark.box.inset(0.05, mark.box.height * 0.16) for mark in marks]
    over = [
        (marks[a].text, marks[b].text)
        for a, one in enumerate(boxes)
        for b, other in enumerate(boxes[:a])
        if one.meets(other)
    ]
    assert over == []


def test_that_the_file_has_one_page_and_says_the_figures(tmp_path: Path) -> None:
    report = SEASONS["300 routes"]
    path = tmp_path / "board.pdf"
    write_board_page(report, path)
    reader = pypdf.PdfReader(path)
    assert len(reader.pages) == 1
    text = " ".join(reader.pages[0].extract_text().split())
    whole = report.progress.whole
    assert f"{whole.count(VisitState.DONE)} of {whole.visits}" in text
    assert f"{whole.sheets.final} of {whole.sheets.due}" in text
    assert "1 out of light" in text
    assert "visit 2, 5 points" in text, "visits may be of other points"
    assert "Saturday 5 June 2027" in text
    assert "1. Request 1" in text
    assert "more, in the Reports room" in text
    assert "local law" in text
    assert reader.metadata is not None
    assert reader.metadata.title == "A season of invented heaths, 2027: how the season stands"


def test_that_the_same_report_gives_the_same_bytes(tmp_path: Path) -> None:
    for name in ("one.pdf", "two.pdf"):
        write_board_page(SEASONS["three routes"], tmp_path / name)
    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()
    assert [path.name for path in sorted(tmp_path.iterdir())] == ["one.pdf", "two.pdf"]


def test_that_marks_differ_by_shape_alone() -> None:
    page = BoardPage(SEASONS["three routes"])
    image = page.image(60.0)
    colours = {
        image.pixelColor(x, y).saturation() for x in range(0, image.width(), 3) for y in range(0, image.height(), 3)
    }
    assert colours == {0}


def test_that_a_route_that_cannot_be_completed_any_more_says_why_in_place_of_a_chance(tmp_path: Path) -> None:
    report = _report(4)
    assert report.chances is not None
    usual, missed, left, unfilled = report.chances.routes
    routes = (
        usual,
        replace(missed, complete=0.0, missed=True, past_words="visit 1 is past and not done"),
        replace(left, complete=0.4, past_words="visit 1 is past and not done"),
        replace(unfilled, whole=False),
    )
    to_come = tuple(replace(one, state=VisitState.PLANNED) for one in report.progress.standings)
    known = replace(
        report,
        chances=replace(report.chances, routes=routes),
        progress=replace(report.progress, standings=to_come),
    )
    write_board_page(known, tmp_path / "board.pdf")
    text = " ".join(pypdf.PdfReader(tmp_path / "board.pdf").pages[0].extract_text().split())
    for words in ("50 %", "past, no finished record", "40 %, in reserve", "a visit has nobody"):
        assert words in text
