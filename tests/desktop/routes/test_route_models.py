"""The list of routes and the table of points are sound models, and show what there is to know."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.routes.point_model import MARK_ROLE, Column, PointEdit, PointModel, worst_by_point
from planner.desktop.routes.route_model import RouteFilter, RouteModel, RouteRow, findings_by_route
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.route import Route
from planner.usecases.route_fixes import PointFigures, RouteFigures

WARNING = QAbstractItemModelTester.FailureReportingMode.Fatal


def route(desk: Desk, code: str) -> Route:
    return desk.session.snapshot.season.route(code)


def finding(code: str, severity: Severity, point: int | None = None) -> Finding:
    return Finding(Rule.ROUTE_SPACING, severity, Subject(route=code, point=point), "Too near.", "Move it.")


def test_that_the_list_of_routes_is_a_sound_model_through_changes(desk: Desk, qtbot: QtBot) -> None:
    model, shown = RouteModel(), RouteFilter()
    shown.setSourceModel(model)
    testers = [QAbstractItemModelTester(one, WARNING) for one in (model, shown)]
    rows = [RouteRow(one, "10 points") for one in desk.session.snapshot.season.routes]
    model.show_rows(rows)
    assert model.rowCount() == 24
    with qtbot.waitSignal(model.dataChanged) as changed:
        model.show_rows([*rows[:3], replace(rows[3], line="11 points"), *rows[4:]])
    assert changed.args[0].row() == 3
    model.show_rows(rows[5:9])
    shown.search("e")
    shown.show_only_troubled(True)
    model.show_rows([])
    assert (model.rowCount(), shown.rowCount()) == (0, 0)
    assert not model.row_of("R01").isValid()
    assert len(testers) == 2


def test_that_the_search_looks_at_names_needs_leads_and_findings(desk: Desk) -> None:
    model, shown = RouteModel(), RouteFilter()
    shown.setSourceModel(model)
    wanted = replace(route(desk, "R02"), needs=frozenset({"kayak"}), lead="V17", area="Far Wyke")
    worst = (finding("R03", Severity.DOUBT),)
    model.show_rows([RouteRow(route(desk, "R01"), ""), RouteRow(wanted, ""), RouteRow(route(desk, "R03"), "", worst)])

    def found(text: str) -> list[str]:
        shown.search(text)
        return [str(shown.index(row, 0).data()).partition(" ")[0] for row in range(shown.rowCount())]

    assert found("fernhythe") == ["R01"]
    assert found("KAYAK v17") == ["R02"]
    assert found("far wyke") == ["R02"]
    assert found("too near") == ["R03"]
    assert found("nothing like it") == []
    assert found("") == ["R01", "R02", "R03"]
    shown.show_only_troubled(True)
    assert found("") == ["R03"]


def test_that_a_row_is_told_to_those_who_listen(desk: Desk) -> None:
    row = RouteRow(
        route(desk, "R05"), "margin 10 min", (finding("R05", Severity.DOUBT), finding("R05", Severity.TROUBLE))
    )
    assert row.worst is Severity.TROUBLE
    assert row.spoken == "R05 Candlewick Common, Orrin Vale, 10 points, margin 10 min, 2 findings, worst: trouble"
    assert RouteRow(route(desk, "R01"), "").spoken.endswith("in order")


def test_that_findings_are_sorted_by_route_and_point() -> None:
    some = (finding("R1", Severity.DOUBT, 2), finding("R1", Severity.TROUBLE, 2), finding("R2", Severity.NOTE))
    about_nothing = Finding(Rule.SEASON_ZONE, Severity.NOTE, Subject(), "?", "")
    assert findings_by_route([*some, about_nothing]) == {"R1": some[:2], "R2": some[2:]}
    assert worst_by_point(some) == {2: some[1]}


def figures(count: int, *, off_road_m: float | None = 12.0) -> RouteFigures:
    points = [PointFigures(k, off_road_m, 801.0, 950.0, 2.5) for k in range(1, count)]
    return RouteFigures((*points, PointFigures(count, None, None, None, None)))


def test_that_the_points_are_a_sound_model_through_changes(desk: Desk) -> None:
    model = PointModel(desk)
    tester = QAbstractItemModelTester(model, WARNING)
    model.show(route(desk, "R05"), None, {})
    model.show(route(desk, "R05"), figures(10), {})
    model.mark({7: finding("R05", Severity.TROUBLE, 7)})
    model.show(route(desk, "R09"), None, {})
    model.show(route(desk, "R17"), None, {})
    model.show(None, None, {})
    assert model.rowCount() == 0
    assert tester is not None


def test_that_a_point_shows_what_is_given_and_what_is_measured(desk: Desk) -> None:
    model = PointModel(desk)
    model.show(route(desk, "R05"), None, {})
    assert [model.index(6, column).data() for column in Column] == [
        "7",
        "54.68993",
        "2.36130",
        "by the field gate",
        "",
        "",
        "",
    ]
    model.show(route(desk, "R05"), figures(10), {})
    assert [model.index(6, column).data() for column in list(Column)[4:]] == ["801 m", "2.5 min", "12 m"]
    assert [model.index(9, column).data() for column in list(Column)[4:]] == ["–", "–", "–"]
    model.show(route(desk, "R05"), figures(10, off_road_m=float("inf")), {})
    assert model.index(6, Column.OFF_ROAD).data() == "no road near"


def test_that_a_point_with_a_finding_says_so_by_mark_word_and_tool_tip(desk: Desk) -> None:
    model = PointModel(desk)
    model.show(route(desk, "R05"), None, {})
    model.mark({7: finding("R05", Severity.TROUBLE, 7)})
    cell = model.index(6, Column.NUMBER)
    assert cell.data(MARK_ROLE) is Severity.TROUBLE
    assert cell.data(Qt.ItemDataRole.ToolTipRole) == "Too near."
    assert cell.data(Qt.ItemDataRole.AccessibleTextRole) == "Point: 7, trouble: Too near."
    assert model.index(5, Column.NUMBER).data(MARK_ROLE) is None
    assert model.headerData(Column.APART, Qt.Orientation.Horizontal) == "To next"
    assert "protocol" in str(model.headerData(4, Qt.Orientation.Horizontal, Qt.ItemDataRole.ToolTipRole))


def test_that_what_is_written_is_handed_on_and_the_same_is_not(desk: Desk, qtbot: QtBot) -> None:
    model = PointModel(desk)
    model.show(route(desk, "R05"), None, {})
    with qtbot.waitSignal(model.edited) as edited:
        model.setData(model.index(6, Column.NUMBER), "12")
    assert edited.args == [PointEdit(7, new_number=12)]
    with qtbot.waitSignal(model.edited) as edited:
        model.setData(model.index(6, Column.LONGITUDE), "2 21 40 E")
    place = edited.args[0].place
    assert (place.latitude, round(place.longitude, 5)) == (54.68993, 2.36111)
    with qtbot.assertNotEmitted(model.edited):
        model.setData(model.index(6, Column.NOTE), "by the field gate")
        model.setData(QModelIndex(), "nothing")


def test_that_only_what_a_person_gives_can_be_written_over(desk: Desk) -> None:
    model = PointModel(desk)
    model.show(route(desk, "R05"), None, {})
    editable = [bool(model.flags(model.index(0, column)) & Qt.ItemFlag.ItemIsEditable) for column in Column]
    assert editable == [True, True, True, True, False, False, False]
    assert model.row_of(99) == -1
    assert model.point_at(99) is None
