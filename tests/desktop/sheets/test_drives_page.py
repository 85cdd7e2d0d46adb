"""The Drives page: recorded drives before and after, planned with and taken back, read and written, by keyboard too."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QPixmap
from PySide6.QtTest import QAbstractItemModelTester, QTest
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.look.colours import DARK, LIGHT
from planner.desktop.look.style import apply_look
from planner.desktop.reports.figures_model import Figure
from planner.desktop.room import RoomName
from planner.desktop.rule_rooms import room_of
from planner.desktop.season.findings_model import FINDING_ROLE
from planner.desktop.season.words import said_of
from planner.desktop.sheets.drives.legend import legend_height
from planner.desktop.sheets.drives.model import RoutesModel, RowsModel
from planner.desktop.sheets.drives.page import DrivesPage
from planner.desktop.sheets.drives.said import visits_words
from planner.desktop.sheets.drives.scale import MinuteScale, bounds
from planner.desktop.sheets.page import PAGES
from planner.desktop.sheets.room import SheetsRoom
from planner.domain.field.visit_record import RecordState, VisitRecord
from planner.domain.finding import Rule, Subject
from planner.domain.plan import VisitKey
from planner.domain.season import RoadMap
from planner.store import SeasonFile
from planner.usecases.calibrating import Calibrated, RouteChange, VisitChange, calibration
from planner.usecases.season.history import undo
from tests.desktop.sheets.conftest import Hands
from tests.desktop.walking import PseudoLanguage, clipped, disabled_without_reason, nameless, without_keys
from tests.unit.usecases.checked_seasons import june
from tests.unit.usecases.edited_seasons import PLAN
from tests.unit.usecases.recorded_visits import Truth, record_visits
from tests.unit.usecases.sheet_seasons import SEASON

Wait = Callable[[], None]
TRUTH = Truth({"": 4.2}, {}, spread=0.05)
"""Drives so slow that V1 would have farther than they agreed to."""


def records(truth: Truth = TRUTH) -> tuple[VisitRecord, ...]:
    """Records of the first visits of both routes: ten drives, none of them on roads of a map."""
    return record_visits(SEASON, None, [visit for visit in PLAN if visit.key.number == 1], truth)


def keep(desk: Desk, settled: Wait, some: tuple[VisitRecord, ...]) -> None:
    """Let records stand in the file, past the window."""

    def save(file: SeasonFile) -> None:
        with file.step("Records"):
            file.save_records(some)

    desk.session.do(save)
    settled()


@pytest.fixture
def drives(desk: Desk, qtbot: QtBot, settled: Wait) -> DrivesPage:
    """Return the page on the small season with its records, shown."""
    keep(desk, settled, records())
    return shown(desk, qtbot, settled)


def shown(desk: Desk, qtbot: QtBot, settled: Wait) -> DrivesPage:
    page = DrivesPage(desk)
    page.resize(1086, 660)
    qtbot.addWidget(page)
    with qtbot.waitExposed(page):
        page.show()
    settled()
    return page


def whole(page: DrivesPage, qtbot: QtBot) -> None:
    """Wait until all words have the room they need: Qt lays out anew once it is back at its events."""

    def look() -> None:
        assert clipped(page) == []

    qtbot.waitUntil(look, timeout=3000)


def found_on(page: DrivesPage) -> Calibrated:
    assert page.watch.found is not None, page.watch.obstacle
    return page.watch.found


def cells(model: RowsModel) -> list[list[str]]:
    columns = range(model.columnCount())
    return [[str(model.index(row, one).data()) for one in columns] for row in range(model.rowCount())]


def test_that_the_page_says_what_the_use_case_found(drives: DrivesPage, desk: Desk) -> None:
    problem = desk.session.problem
    assert problem is not None
    found = calibration(problem, PLAN, None, records())
    assert found.season is not None
    assert f"{len(found.legs)} drives took {found.recorded_minutes:.0f} min" in drives.came_to.text()
    in_all = sum(leg.driven_minutes for leg in found.legs) / sum(leg.expected_minutes for leg in found.legs)
    assert f"{in_all:.2f} times as long" in drives.came_to.text()
    assert f"The season's figure is {found.season.after:.2f}" in drives.came_to.text()
    assert "as they are estimated without roads" in drives.planned.text()
    assert "road map" not in drives.came_to.text() + drives.planned.text()
    figures = drives.figures
    assert [row[0] for row in cells(figures.route_model)] == [route.route for route in found.routes]
    assert [row[1] for row in cells(figures.route_model)] == [str(route.legs) for route in found.routes]
    assert cells(figures.road_model)[0][3] == f"1.00 → {found.season.after:.2f}"
    assert len(cells(figures.leg_model)) == len(found.legs)
    assert list(figures.broken_model.findings) == list(found.broken)
    assert found.broken
    assert not drives.first.isVisible()
    assert figures.broken_title.text() == f"Would no longer fit ({len(found.broken)})"
    assert f"{found.season.after:.2f}" in figures.plot.accessibleDescription()
    for model in (figures.route_model, figures.road_model, figures.leg_model, figures.left_out_model):
        QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Fatal)


def test_that_the_legend_ends_above_the_field_at_every_width(drives: DrivesPage) -> None:
    plot = drives.figures.plot
    for width in range(280, 640):
        plot.resize(width, 320)
        field = plot._field()
        assert field.top() > legend_height(plot._samples(), field.width(), plot.font()), width


def test_that_planning_with_them_is_one_step_that_is_said_and_taken_back(
    drives: DrivesPage, desk: Desk, settled: Wait
) -> None:
    actions, found = drives.actions_here, found_on(drives)
    steps = len(desk.session.snapshot.steps)
    assert not actions.forget.isEnabled()
    actions.use.trigger()
    settled()
    assert len(desk.session.snapshot.steps) == steps + 1
    assert desk.session.snapshot.season.drive_factors == found.factors
    assert "it breaks rules: plan the season anew" in drives.planned.text()
    assert drives.figures.broken_title.text().startswith("No longer fits (")
    assert {one.subject.route for one in drives.figures.broken_model.findings} == {
        one.subject.route for one in found.broken
    }
    assert not actions.use.isEnabled()
    assert actions.use.toolTip() == "Drives are planned so already."
    actions.forget.trigger()
    settled()
    assert desk.session.snapshot.season.drive_factors.season is None
    assert drives.figures.broken_title.text().startswith("Would no longer fit (")
    desk.session.do(undo)
    settled()
    assert desk.session.snapshot.season.drive_factors == found.factors
    assert not actions.use.isEnabled()


def test_that_a_finding_on_recorded_drives_leads_to_the_page(drives: DrivesPage, desk: Desk) -> None:
    checked = desk.session.checked
    assert checked is not None
    found = [one for one in checked.findings if one.rule is Rule.ROADS_RECORDED]
    assert len(found) == 1
    assert room_of(found[0].rule) is RoomName.SHEETS
    assert "Drives page" in said_of(found[0])
    assert "dimpsy" not in said_of(found[0])
    assert drives.takes(found[0].subject)


def test_that_newer_records_are_offered_in_place_of_what_is_planned_with(
    drives: DrivesPage, desk: Desk, settled: Wait
) -> None:
    drives.actions_here.use.trigger()
    settled()
    keep(desk, settled, records(replace(TRUTH, classes={"": 1.1})))
    assert "Records that came in since say otherwise" in drives.planned.text()
    assert drives.actions_here.use.isEnabled()


def test_that_without_enough_drives_it_says_how_many_and_where_they_are_typed(
    desk: Desk, qtbot: QtBot, settled: Wait
) -> None:
    keep(desk, settled, tuple(replace(one, state=RecordState.DRAFT) for one in records()))
    page = shown(desk, qtbot, settled)
    assert "It takes 3 recorded drives" in page.came_to.text()
    assert "0 can be read so far" in page.came_to.text()
    assert "2 visit records are drafts" in page.came_to.text()
    assert page.actions_here.use.toolTip() == "It takes 3 recorded drives."
    assert page.actions_here.write.toolTip() == "There is no figure yet."
    assert not page.figures.tabs.isVisible()
    assert page.first.isVisible()
    went: list[tuple[RoomName, Subject]] = []
    desk.went.connect(lambda room, subject: went.append((room, subject)))
    page.first.click()
    first = min(PLAN, key=lambda visit: visit.date)
    assert went == [(RoomName.SHEETS, Subject(first.key.route, visit=1, date=first.date))]


def test_that_the_figure_goes_out_and_comes_in_and_what_is_wrong_is_said_in_place(
    drives: DrivesPage, desk: Desk, settled: Wait, tmp_path: Path
) -> None:
    actions, figure = drives.actions_here, tmp_path / "drives.toml"
    actions.write_to(figure)
    settled()
    assert figure.exists()
    assert str(figure) in drives.notice.text
    bad = tmp_path / "bad.toml"
    bad.write_text("kind = 1", encoding="utf-8")
    steps = desk.session.snapshot.steps
    for wrong in (bad, tmp_path / "none.toml"):
        actions.read_from(wrong)
        settled()
        assert str(wrong) in drives.notice.text
        assert desk.session.snapshot.steps == steps
    actions.write_to(tmp_path / "none" / "drives.toml")
    settled()
    assert "none" in drives.notice.text
    actions.read_from(figure)
    settled()
    assert drives.notice.text == ""
    assert desk.session.snapshot.season.drive_factors.source.startswith("the recorded drives of ")


def test_that_a_season_that_may_only_be_read_says_so(
    new_desk: Callable[[], Desk], desk: Desk, qtbot: QtBot, settled: Wait
) -> None:
    keep(desk, settled, records())
    other = new_desk()
    path = desk.session.snapshot.path
    with qtbot.waitSignal(other.session.checked_changed, timeout=20_000):
        other.session.open(lambda: SeasonFile.open(path), lambda: None)
    page = shown(other, qtbot, lambda: qtbot.waitUntil(lambda: not other.session.working, timeout=10_000))
    reason = other.session.snapshot.read_only_reason
    assert reason
    for action in (page.actions_here.use, page.actions_here.forget, page.actions_here.read, page.actions_here.plan):
        assert not action.isEnabled()
        assert action.toolTip() == reason
    assert page.actions_here.write.isEnabled()


def test_that_a_lost_road_map_is_said_and_nothing_is_reckoned_with_estimates(
    drives: DrivesPage, desk: Desk, settled: Wait
) -> None:
    def lose(file: SeasonFile) -> None:
        with file.step("A road map"):
            file.save_season(replace(file.season(), roads=RoadMap("heath.osm", "0" * 64, "invented")))

    desk.session.do(lose)
    settled()
    assert "heath.osm" in drives.came_to.text()
    assert not drives.actions_here.use.isEnabled()
    assert not drives.figures.tabs.isVisible()


def test_that_the_picture_and_the_list_show_the_same_drive_however_it_is_ordered(
    drives: DrivesPage,
) -> None:
    figures = drives.figures
    legs = found_on(drives).legs
    figures.legs.sortByColumn(3, Qt.SortOrder.DescendingOrder)
    times = [float(row[3]) for row in cells(figures.leg_model)]
    assert times == sorted(times, reverse=True)
    for place in (0, len(legs) - 1):
        spot = figures.plot.place_of(place)
        nearest = figures.plot.nearest(spot)
        assert nearest is not None
        assert figures.plot.place_of(nearest) == spot
        QTest.mouseClick(figures.plot, Qt.MouseButton.LeftButton, pos=QPoint(round(spot.x()), round(spot.y())))
        row = figures.legs.currentIndex().row()
        assert figures.plot.place_of(figures.leg_model.place(row)) == spot
        shown_leg = legs[figures.leg_model.place(row)]
        assert figures.leg_model.index(row, 1).data() == f"{shown_leg.expected_minutes:.1f}"
    chosen = figures.leg_model.place(figures.legs.currentIndex().row())
    figures.legs.sortByColumn(1, Qt.SortOrder.AscendingOrder)
    assert figures.leg_model.place(figures.legs.currentIndex().row()) == chosen
    assert figures.plot.nearest(figures.plot.rect().topRight().toPointF()) is None


@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"], indirect=False)
def test_that_all_of_it_is_named_reached_by_keyboard_and_whole(
    colours: object, drives: DrivesPage, desk: Desk, qapp: QApplication, qtbot: QtBot
) -> None:
    chosen = DARK if colours is DARK else LIGHT
    apply_look(qapp, chosen)
    desk.show_in(chosen)
    assert nameless(drives) == []
    assert without_keys(drives) == []
    assert disabled_without_reason(drives) == []
    whole(drives, qtbot)
    assert not drives.grab().isNull()
    apply_look(qapp, LIGHT)


def test_that_it_finds_room_in_a_longer_language(desk: Desk, qtbot: QtBot, settled: Wait, qapp: QApplication) -> None:
    keep(desk, settled, records())
    longer = PseudoLanguage()
    qapp.installTranslator(longer)
    try:
        page = shown(desk, qtbot, settled)
        whole(page, qtbot)
        assert page.width() == 1086
    finally:
        qapp.removeTranslator(longer)


def _tabbed_to(hands: Hands, wanted: Callable[[], bool], most: int = 25) -> None:
    """Press Tab until something has the keyboard."""
    for _ in range(most):
        if wanted():
            return
        hands.presses(Qt.Key.Key_Tab)
    raise AssertionError("the Tab key does not lead there")


def test_that_it_is_walked_by_keyboard(desk: Desk, room: SheetsRoom, hands: Hands, settled: Wait, qtbot: QtBot) -> None:
    keep(desk, settled, records())
    went: list[tuple[RoomName, Subject]] = []
    desk.went.connect(lambda name, subject: went.append((name, subject)))
    number = [kind.title for kind in PAGES].index("Drives")
    room.tabs.tabBar().setFocus()
    for _ in range(number):
        hands.presses(Qt.Key.Key_Right)
    page = room.page(number)
    assert isinstance(page, DrivesPage)
    qtbot.waitUntil(lambda: page.watch.fresh and page.actions_here.use.isEnabled(), timeout=10_000)

    def focused(name: str) -> Callable[[], bool]:
        def look() -> bool:
            widget = room.window().focusWidget()
            return isinstance(widget, QPushButton) and widget.text() == name

        return look

    _tabbed_to(hands, focused("Plan with these"))
    hands.presses(Qt.Key.Key_Space)
    settled()
    assert desk.session.snapshot.season.drive_factors == found_on(page).factors
    _tabbed_to(hands, page.figures.legs.hasFocus)
    hands.presses(Qt.Key.Key_Down)
    hands.presses(Qt.Key.Key_Down)
    assert page.figures.legs.currentIndex().row() == 2
    _tabbed_to(hands, page.figures.routes.hasFocus)
    hands.presses(Qt.Key.Key_Down)
    hands.presses(Qt.Key.Key_Return)
    _tabbed_to(hands, page.figures.broken.hasFocus)
    hands.presses(Qt.Key.Key_Down)
    hands.presses(Qt.Key.Key_Return)
    assert [name for name, _ in went] == [RoomName.OUTING, RoomName.OUTING]
    assert went[1][1] == page.figures.broken.currentIndex().data(FINDING_ROLE).subject
    room.tabs.setFocus()
    _tabbed_to(hands, focused("Plan the season anew"))
    with qtbot.waitSignal(desk.planning_wanted):
        hands.presses(Qt.Key.Key_Space)
    assert went[-1][0] is RoomName.BOARD


def test_that_margins_are_said_before_and_after_and_what_no_longer_fits_is_marked() -> None:
    fits = VisitChange(VisitKey("R1", 1), june(2), 14.2, 4.6, 0, 0)
    late = VisitChange(VisitKey("R1", 2), june(12), 7.0, 3.0, 0, 2)
    gone = VisitChange(VisitKey("R1", 2), june(12), 7.0, None, 0, 0)
    assert visits_words([fits, late]) == "1: 14 → 5; 2: 7 → 2 late"
    assert visits_words([gone]) == "2: 7 → none"
    assert visits_words([]) == "–"
    model = RoutesModel(LIGHT)
    route = RouteChange("R1", 0, 0.0, 0.0, 1.0, 1.0, None, None, False, 22.0, 30.0, (fits,))
    model.show_routes([route, replace(route, visits=(fits, late))])
    last = model.columnCount() - 1
    marks = [model.index(row, last).data(Qt.ItemDataRole.DecorationRole) for row in (0, 1)]
    assert marks[0] is None
    assert isinstance(marks[1], QPixmap)
    assert "then 2 points too late" in model.index(1, 0).data(Qt.ItemDataRole.ToolTipRole)
    model.sort(last)
    assert model.route(0).visits == (fits, late)


MINUTES = st.floats(0.01, 2000.0, allow_nan=False)


@given(st.lists(MINUTES, min_size=1, max_size=20), st.booleans())
def test_that_the_scale_holds_all_minutes_in_their_order(minutes: list[float], upwards: bool) -> None:
    least, most = bounds(minutes)
    scale = MinuteScale(least, most, 300.0 if upwards else 0.0, 0.0 if upwards else 300.0)
    places = [scale.at(one) for one in sorted(minutes, reverse=upwards)]
    assert places == sorted(places)
    assert all(-1e-9 <= place <= 300.0 + 1e-9 for place in places)
    held = [one for one in minutes if 0.5 <= one <= 1000.0]
    assert all(least <= one <= most for one in held)
    assert len(scale.ticks()) >= 2
    # Twice as long is as far on every part of the scale.
    steps = [scale.at(2 * one) - scale.at(one) for one in (least, most / 2)]
    assert steps[0] == pytest.approx(steps[1])


@given(st.lists(st.integers(0, 5), max_size=12), st.integers(-1, 1), st.booleans())
def test_that_ordered_rows_are_the_same_rows(values: list[int], column: int, falling: bool) -> None:
    model = RowsModel((("a", ""), ("b", "")))
    model.show_rows([(Figure(str(value), float(value)), Figure(f"row {at}")) for at, value in enumerate(values)])
    model.sort(column, Qt.SortOrder.DescendingOrder if falling else Qt.SortOrder.AscendingOrder)
    rows = range(len(values))
    assert sorted(map(model.place, rows)) == list(rows)
    assert all(model.row(model.place(row)) == row for row in rows)
    assert all(model.index(row, 1).data() == f"row {model.place(row)}" for row in rows)
    if column == 0:
        told = [int(model.index(row, 0).data()) for row in rows]
        assert told == sorted(values, reverse=falling)
    if column == -1:
        assert [model.place(row) for row in rows] == list(rows)
