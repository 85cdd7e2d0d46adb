"""The visits page: named, reachable by keys, whole in a longer language, and sure of why nothing may be written."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.look.colours import DARK
from planner.desktop.look.style import apply_look
from planner.desktop.settings import Settings
from planner.desktop.sheets.visits.count_model import CountColumn
from planner.desktop.sheets.visits.page import VisitsPage
from planner.domain.conditions import Condition, Seen
from planner.domain.field.visit_record import RecordKey, RecordState, VisitRecord
from planner.domain.measures import Speed
from planner.domain.plan import Plan
from planner.domain.weather import LimitKind, Quantity, WeatherLimit
from planner.domain.window import Edge, Event, Pass, PassDirection
from planner.store import SeasonFile
from planner.usecases.records import keep_record
from planner.usecases.records.entry import planned_times
from tests.desktop.sheets.visits.conftest import NOW
from tests.desktop.walking import PseudoLanguage, clipped, disabled_without_reason, nameless, without_keys
from tests.unit.usecases.checked_seasons import DUSK, june, route
from tests.unit.usecases.edited_seasons import PLAN, SEASON, season_file

WIND = WeatherLimit(Quantity.WIND, LimitKind.BAR, at_most=Speed(19.0, "km/h"))
TWO_PASSES = replace(
    DUSK,
    passes=(
        Pass(Edge(Event.SUNSET, 20), Edge(Event.SUNSET, 60)),
        Pass(Edge(Event.SUNSET, 60), Edge(Event.SUNSET, 120), direction=PassDirection.REVERSE),
    ),
)
RULES = replace(SEASON.protocol, weather=(WIND, WeatherLimit(Quantity.RAIN, LimitKind.BAR, words="none")))
FIRST = RecordKey("R1", 1, june(2))

Shown = Callable[[SeasonFile], VisitsPage]


@pytest.fixture
def shown(qapp: QApplication, tmp_path: Path, qtbot: QtBot) -> Iterator[Shown]:
    """Return what shows the page on a season file; a file that is still open elsewhere may only be read."""
    apply_look(qapp, DARK)
    desks: list[Desk] = []

    def show(file: SeasonFile) -> VisitsPage:
        desk = Desk(Settings(tmp_path / "settings.ini"), now=lambda: NOW)
        desk.show_in(DARK)
        desks.append(desk)
        with qtbot.waitSignal(desk.session.checked_changed, timeout=20_000):
            desk.session.open(lambda: SeasonFile.open(file.path), lambda: None)
        page = VisitsPage(desk)
        qtbot.addWidget(page)
        # What the list of rooms, the menus, the tabs and the status line leave of a window of 1280 by 800.
        page.resize(1090, 680)
        page.show()
        qtbot.waitUntil(lambda: bool(page.visits._none.text()), timeout=5000)
        qtbot.waitUntil(lambda: page.pane.below.last.is_built or page.pane.entry.key is None, timeout=5000)
        qtbot.waitUntil(lambda: not desk.session.working, timeout=10_000)
        return page

    yield show
    for desk in desks:
        desk.session.close()


@pytest.fixture
def _longer_language(qapp: QApplication) -> Iterator[None]:
    """Have everything said in the pseudo-language."""
    language = PseudoLanguage(qapp)
    assert qapp.installTranslator(language)
    yield
    qapp.removeTranslator(language)


def file_of(folder: Path, plan: Plan = PLAN, *, passes: bool = False) -> SeasonFile:
    rules = replace(RULES, windows=(TWO_PASSES,)) if passes else RULES
    return season_file(folder, replace(SEASON, protocol=rules), plan)


def walked(page: VisitsPage) -> tuple[list[str], ...]:
    return nameless(page), without_keys(page), disabled_without_reason(page), clipped(page)


@pytest.mark.usefixtures("_longer_language")
def test_that_a_record_with_faults_is_named_reachable_and_whole_while_it_is_a_draft_and_when_it_is_not(
    shown: Shown, tmp_path: Path, qtbot: QtBot
) -> None:
    file = file_of(tmp_path)
    windy = (Condition(Quantity.WIND, Speed(30.0, "km/h")), Condition(Quantity.RAIN, seen=Seen.SOME))
    keep_record(file, VisitRecord(FIRST, ("V2",), weather_first=windy, note="gusts"), june(5))
    file.close()
    page = shown(file)
    assert walked(page) == ([], [], [], [])
    entry, session = page.pane.entry, page.desk.session
    entry.write(lambda record: replace(record, team=("V2", "V1"), second_km=18.0))
    assert page.pane.head.second_distance.isVisible()
    assert walked(page) == ([], [], [], [])
    problem, visit = session.problem, entry.visit
    assert problem is not None
    assert visit is not None
    times = planned_times(problem, visit, FIRST.date)
    entry.write(lambda record: replace(record, counts=times.counts[:2], state=RecordState.FINAL))
    page.pane.keep()
    qtbot.waitUntil(lambda: not session.working, timeout=10_000)
    assert page.pane.banner.ways.isVisible()
    # A line of more words takes its height with the layout that follows.
    qtbot.waitUntil(lambda: not clipped(page), timeout=5_000)
    assert (page.width(), page.height(), walked(page)) == (1090, 680, ([], [], [], []))


def test_that_weather_beyond_a_limit_is_said_beside_the_weather_and_at_its_count(
    shown: Shown, tmp_path: Path, qtbot: QtBot
) -> None:
    file = file_of(tmp_path)
    file.close()
    page = shown(file)
    page.activateWindow()
    qtbot.waitUntil(page.isActiveWindow, timeout=5000)
    page.pane.actions_here.all_planned.trigger()
    (wind, _rain) = page.pane.below.first._fields
    assert wind.measure is not None
    wind.measure.setFocus()
    QTest.keyClicks(wind.measure, "30 km/")
    assert page.pane.entry.all_unread
    QTest.keyClicks(wind.measure, "h")
    page.pane.grid.setFocus()
    qtbot.waitUntil(lambda: not page.desk.session.working, timeout=10_000)
    (record,) = page.desk.session.snapshot.records
    assert record.weather_first == (Condition(Quantity.WIND, Speed(30.0, "km/h")),)
    of_weather = page.pane.beside[2]
    assert of_weather.said[0].startswith("At the first count: wind is 30 km/h, past the limit.")
    first = page.pane.model.index(0, list(page.pane.model.columns).index(CountColumn.JUDGED))
    assert str(first.data()).startswith("At the first count: wind is 30 km/h")
    page.pane.grid.go_to(0)
    assert page.pane.line.words.text() == f"Point {first.siblingAtColumn(0).data()}: see the weather below."


def test_that_each_pass_has_rows_of_its_own_in_the_order_that_is_planned(shown: Shown, tmp_path: Path) -> None:
    file = file_of(tmp_path, passes=True)
    file.close()
    page = shown(file)
    assert CountColumn.PASS in page.pane.model.columns
    # Two passes of four points each; the second goes the first one's way back.
    runs = [run for _, run in page.pane.model.rows]
    assert runs == [1, 1, 1, 1, 2, 2, 2, 2]
    first, second = page.pane.model.rows[:4], page.pane.model.rows[4:]
    assert [point for point, _ in second] == [point for point, _ in reversed(first)]
    spoken = page.pane.model.index(4, 2).data(Qt.ItemDataRole.AccessibleTextRole)
    assert str(spoken).startswith(f"Point {second[0][0]}, pass 2, Arrived: blank")


def test_that_a_season_that_may_only_be_read_says_so_at_every_control(shown: Shown, tmp_path: Path) -> None:
    with file_of(tmp_path) as writer:
        keep_record(writer, VisitRecord(FIRST, ("V1",), note="kept"), june(5))
        page = shown(writer)
        reason = page.desk.session.snapshot.read_only_reason
        assert reason
        controls = [page.pane.head.date, page.pane.head.lead, page.pane.below.stopped, page.pane.below.note]
        assert {one.toolTip() for one in controls} == {reason}
        assert {one.toolTip() for one in page.pane.actions_here.all} == {reason}
        assert not any(one.isEnabled() for one in page.pane.actions_here.all)
        assert not page.pane.entry.write(lambda record: replace(record, note="other"))
        assert page.pane.line.words.text() == reason


def test_that_a_season_without_plan_and_a_route_without_points_say_what_to_do(
    shown: Shown, tmp_path: Path, qtbot: QtBot
) -> None:
    bare = replace(SEASON, routes=(route("R1"), replace(route("R2"), points=())))
    file = season_file(tmp_path, bare, Plan())
    file.close()
    page = shown(file)
    assert page.visits._none.text() == "Nothing is planned yet: plan on the Board first."
    assert page.pane._empty.text().startswith("Choose a visit at the left")
    page.pane.show_record(RecordKey("R2", 1, june(4)))
    assert page.pane._empty.text() == "R2 R2 Lane has no points yet. Give it points in the Routes room."
    page.pane.show_record(RecordKey("R9", 1, june(4)))
    qtbot.waitUntil(lambda: not page.desk.session.working, timeout=10_000)
    assert page.pane._empty.text() == "The season has no route R9 any more."
