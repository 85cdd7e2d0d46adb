"""The board's item models keep Qt's rules, and say what they show."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from planner.desktop.board.feed import BoardFeed
from planner.desktop.board.lacking_model import LackingModel
from planner.desktop.board.lines import BoardSources, Fold
from planner.desktop.board.model import BoardModel, BoardRole
from planner.desktop.board.people_model import PeopleModel, PeopleRole
from planner.desktop.desk import Desk
from planner.domain.plan import Plan, VisitKey
from planner.usecases.plan.proposing import Role
from planner.usecases.plan.relaxing import lacking_visits
from tests.unit.scheduling.seasons import day, planned, problem, route, volunteer

_FATAL = QAbstractItemModelTester.FailureReportingMode.Fatal
_SEASON = problem(routes=[route("R1"), route("R2")], volunteers=[volunteer("V0"), volunteer("V1")]).season
_PLAN = Plan((planned("R1/1", "V1", 3, reserve=5), planned("R1/2", "V0", 9)))


def test_that_the_model_keeps_qts_rules_through_plans_folds_and_other_seasons() -> None:
    model = BoardModel()
    _tester = QAbstractItemModelTester(model, _FATAL)
    sources = BoardSources(_SEASON, _PLAN)
    model.show(sources)
    assert (model.rowCount(), model.columnCount()) == (2, 14)
    model.show(replace(sources, plan=Plan()))
    model.show(replace(sources, fold=Fold.LEAD))
    model.show(replace(sources, fold=Fold.LEAD, folded=frozenset({"V1 Ann V1"})))
    assert model.rowCount() == 3
    shorter = replace(_SEASON, routes=_SEASON.routes[:1])
    model.show(replace(sources, season=shorter))
    assert model.rowCount() == 1


def test_that_only_rows_that_differ_are_told_of(qtbot: QtBot) -> None:
    model = BoardModel()
    model.show(BoardSources(_SEASON, _PLAN))
    with qtbot.waitSignal(model.dataChanged) as told:
        model.show(BoardSources(_SEASON, _PLAN.without(VisitKey("R1", 2))))
    assert [told.args[0].row(), told.args[1].row(), told.args[1].column()] == [0, 0, 13]
    with qtbot.assertNotEmitted(model.modelReset), qtbot.assertNotEmitted(model.dataChanged):
        model.show(BoardSources(_SEASON, _PLAN.without(VisitKey("R1", 2))))


def test_that_a_cell_says_in_words_what_is_painted_in_it() -> None:
    model = BoardModel()
    model.show(BoardSources(_SEASON, _PLAN, without={"R2": frozenset({day(4)})}))
    model.show_sky({}, frozenset(), {day(4): "the sun stays above"})

    def said(row: int, column: int) -> str:
        return str(model.data(model.index(row, column), Qt.ItemDataRole.AccessibleTextRole))

    assert said(0, 3) == "R1 Lane R1, Fri 4 Jun: R1 visit 1, lead V1 Ann V1, planned"
    assert said(0, 5) == "R1 Lane R1, Sun 6 Jun: reserve date of R1 visit 1, lead V1 Ann V1"
    assert said(1, 3) == "R2 Lane R2, Fri 4 Jun: visit 1 may lie here; it is unfilled"
    assert said(1, 4).endswith("it is unfilled; no light window: the sun stays above")
    assert model.data(model.index(0, 5)) == "reserve V1"
    assert model.data(model.index(0, 3), BoardRole.DAY) == day(3)
    assert model.headerData(0, Qt.Orientation.Vertical) == "R1 Lane R1"
    assert model.headerData(3, Qt.Orientation.Horizontal) == "Fri 4 Jun"
    assert model.headerData(99, Qt.Orientation.Horizontal) is None


def test_that_a_head_of_a_group_says_how_much_of_it_is_filled() -> None:
    model = BoardModel()
    model.show(BoardSources(_SEASON, _PLAN, fold=Fold.LEAD))
    words = str(model.data(model.index(0, 0), Qt.ItemDataRole.ToolTipRole))
    assert words == "V1 Ann V1, 2 of 2 visits filled, open"


def test_that_the_feed_shows_light_and_findings_as_they_come(desk: Desk, qtbot: QtBot) -> None:
    model = BoardModel()
    _tester = QAbstractItemModelTester(model, _FATAL)
    feed = BoardFeed(desk, model)
    qtbot.waitUntil(lambda: bool(model.why), timeout=10_000)
    assert len(model.lines) == 24
    assert any(line.without for line in model.lines)
    assert dict(model.lines[21].marks).keys() == {2}  # R22 visit 2: nobody can lead it
    feed.gather(Fold.AREA)
    assert [line.heads for line in model.lines].count(True) == 5


def test_that_the_list_of_people_fills_and_keeps_qts_rules(
    desk: Desk, qtbot: QtBot, rest: Callable[[Desk], None]
) -> None:
    model = PeopleModel(desk, desk)
    _tester = QAbstractItemModelTester(model, _FATAL)
    visit = desk.session.snapshot.plan.by_key[VisitKey("R09", 2)]
    with qtbot.waitSignal(model.found, timeout=20_000):
        model.look(visit, Role.LEAD)
    codes = [str(model.data(model.index(row, 0), PeopleRole.CODE)) for row in range(model.rowCount())]
    assert visit.lead in codes
    assert len(codes) > 10
    allowed = [one.verdict.allowed for one in model.candidates]
    assert allowed == sorted(allowed, reverse=True)
    first = model.data(model.index(0, 0), Qt.ItemDataRole.AccessibleTextRole)
    assert ": fits" in str(first)
    model.look(None, Role.LEAD)
    assert model.rowCount() == 0
    rest(desk)


def test_that_what_lacks_something_is_listed(desk: Desk) -> None:
    model = LackingModel(desk)
    _tester = QAbstractItemModelTester(model, _FATAL)
    snapshot = desk.session.snapshot
    plan = snapshot.plan.with_visit(replace(snapshot.plan.visits[3], reserve=None))
    model.show(lacking_visits(snapshot.season, plan))
    said = [str(model.data(model.index(row, 0))) for row in range(model.rowCount())]
    assert said == [
        "R17 visit 1, unfilled",
        "R17 visit 2, unfilled",
        "R22 visit 2, unfilled",
        f"{plan.visits[3].key.route} visit {plan.visits[3].key.number}, no reserve date",
    ]
