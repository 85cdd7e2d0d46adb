"""A planning run from the window: live figures, a Stop that keeps the best, and three different ends."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from planner.desktop.board.planning import A_SECOND, End, Planning, RunEnd, _throttled
from planner.desktop.board.planning_strip import PlanningStrip, proven_said
from planner.desktop.desk import Desk
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.paper.watch import PaperWatch
from planner.desktop.room import RoomName
from planner.domain.finding import Severity, Subject
from planner.domain.plan import Plan, Status, VisitKey
from planner.scheduling import Progress
from planner.store import SeasonFile
from planner.usecases.plan.planning import Scope
from tests.desktop.board.few_routes import known_early, paper_hashes, season_path

__all__ = ["known_early", "paper_hashes", "season_path"]

Rest = Callable[[Desk], None]


@pytest.fixture
def strip(early_desk: Desk, qtbot: QtBot) -> PlanningStrip:
    planning = Planning(early_desk, early_desk)
    made = PlanningStrip(early_desk, planning)
    qtbot.addWidget(made)
    return made


def _planning(strip: PlanningStrip) -> Planning:
    planning = strip._planning
    assert isinstance(planning, Planning)
    return planning


def _save(desk: Desk, rest: Rest, plan: Plan) -> None:
    def save(file: SeasonFile) -> None:
        with file.step("Another plan"):
            file.save_plan(plan)

    desk.session.do(save)
    rest(desk)


def _ended(strip: PlanningStrip, qtbot: QtBot, scope: Scope, *, routes: tuple[str, ...] = ()) -> RunEnd:
    planning = _planning(strip)
    with qtbot.waitSignal(planning.ended, timeout=60_000) as told:
        planning.start(scope, routes)
        assert not strip.isHidden()
    end = told.args[0]
    assert isinstance(end, RunEnd)
    return end


def test_that_a_run_shows_its_figures_and_finishes_with_a_plan_kept_as_one_step(
    strip: PlanningStrip, early_desk: Desk, qtbot: QtBot, rest: Rest
) -> None:
    _save(early_desk, rest, Plan())
    steps = len(early_desk.session.snapshot.steps)
    seen: list[Progress] = []
    _planning(strip).progressed.connect(seen.append)
    end = _ended(strip, qtbot, Scope.ALL)
    assert end.end is End.FINISHED
    assert end.words == strip.text
    assert end.words.startswith("Finished: 7 of 10 visits filled, 7 with a reserve date. 3 are unfilled.")
    assert "says why, and what would help" in end.words
    assert [step.label for step in early_desk.session.snapshot.steps[steps:]] == [
        "Plan the season: 7 of 10 visits filled"
    ]
    assert seen
    assert strip.figures["filled"] != "–"
    assert end.offer is not None
    assert {str(one.key) for one in end.offer.explanations} == {"R17 visit 1", "R17 visit 2", "R22 visit 2"}
    assert end.offer.plan is early_desk.session.snapshot.plan


def test_that_stopping_keeps_the_best_so_far_and_says_so(
    strip: PlanningStrip, early_desk: Desk, qtbot: QtBot, rest: Rest
) -> None:
    _save(early_desk, rest, Plan())
    planning = _planning(strip)
    with qtbot.waitSignal(planning.ended, timeout=60_000) as told:
        planning.start(Scope.ALL)
        planning.stop()
    assert told.args[0].end is End.STOPPED
    assert "Stopped. The best plan found so far is kept: " in strip.text
    assert len(early_desk.session.snapshot.plan) > 0


def test_that_a_run_that_fails_says_why_and_changes_nothing(
    strip: PlanningStrip, early_desk: Desk, qtbot: QtBot, rest: Rest
) -> None:
    def leave(file: SeasonFile) -> None:
        with file.step("Everybody leaves"):
            file.save_plan(Plan())
            file.save_season(replace(file.season(), volunteers=()))

    early_desk.session.do(leave)
    rest(early_desk)
    revision = early_desk.session.snapshot.revision
    end = _ended(strip, qtbot, Scope.ALL)
    assert end.end is End.FAILED
    assert end.words.startswith("Planning failed, nothing was changed. The season has no volunteers yet.")
    assert early_desk.session.snapshot.revision == revision
    assert not _planning(strip).runs


def test_that_only_chosen_routes_change_and_their_run_says_nothing_of_the_others(
    strip: PlanningStrip, early_desk: Desk, qtbot: QtBot, rest: Rest
) -> None:
    before = early_desk.session.snapshot.plan
    _save(early_desk, rest, Plan(tuple(one for one in before if one.key.route not in ("R01", "R05"))))
    end = _ended(strip, qtbot, Scope.SELECTED, routes=("R01",))
    after = early_desk.session.snapshot.plan
    assert {visit.key.route for visit in after} == {visit.key.route for visit in before} - {"R05"}
    assert end.offer is None
    assert all(after.by_key[one.key] == one for one in before if one.key.route not in ("R01", "R05"))


def test_that_a_run_without_roads_says_how_far_its_drives_may_be_off(
    strip: PlanningStrip, early_desk: Desk, qtbot: QtBot, rest: Rest
) -> None:
    def forget_roads(file: SeasonFile) -> None:
        with file.step("No road map"):
            file.save_season(replace(file.season(), roads=None))
            file.save_plan(Plan())

    assert "estimate" not in _ended(strip, qtbot, Scope.SELECTED, routes=("R01",)).words
    early_desk.session.do(forget_roads)
    rest(early_desk)
    end = _ended(strip, qtbot, Scope.SELECTED, routes=("R01",))
    assert end.words.endswith("the truth may be 35 % less than the estimate, or 100 % and 3 minutes more.")


def test_that_planning_what_is_missing_leaves_the_rest_and_says_when_nothing_was_found(
    strip: PlanningStrip, early_desk: Desk, qtbot: QtBot
) -> None:
    before = early_desk.session.snapshot.plan
    end = _ended(strip, qtbot, Scope.MISSING)
    assert end.words.startswith("Finished. Nothing better was found, the plan stays as it was: 7 of 10")
    assert early_desk.session.snapshot.plan is before


def _with_a_broken_rule(desk: Desk, rest: Rest) -> VisitKey:
    first = desk.session.snapshot.plan.visits[0]
    wrong = replace(first, reserve=first.date, status=Status.CONFIRMED)
    _save(desk, rest, desk.session.snapshot.plan.with_visit(wrong))
    return first.key


@pytest.mark.parametrize("scope", [Scope.MISSING, Scope.ALL])
def test_that_what_still_breaks_a_rule_is_said_first_and_shown(
    scope: Scope, strip: PlanningStrip, early_desk: Desk, qtbot: QtBot, rest: Rest
) -> None:
    key = _with_a_broken_rule(early_desk, rest)
    end = _ended(strip, qtbot, scope)
    assert end.broken == (key,)
    assert strip.text.startswith(f"1 visit still breaks a rule: {key}. It was left as it was; the Board shows it. Fin")
    assert strip._mark.accessibleName() == "broken"
    mark = mark_pixmap(Severity.BROKEN, early_desk.colours, 18, strip.devicePixelRatioF())
    assert strip._mark.pixmap().toImage() == mark.toImage()
    assert "The plan is proven best" not in strip.text
    with qtbot.waitSignal(early_desk.went) as told:
        QTest.mouseClick(strip._show_broken, Qt.MouseButton.LeftButton)
    assert told.args == [RoomName.BOARD, Subject(route=key.route, visit=key.number)]


def test_that_papers_made_untrue_are_told_afterwards_and_all_goes_with_the_next_change(
    strip: PlanningStrip, early_desk: Desk, qtbot: QtBot, rest: Rest
) -> None:
    whole = early_desk.session.snapshot.plan
    gone, kept = whole.visits[0], replace(whole.visits[2], reserve=None)
    _save(early_desk, rest, whole.without(gone.key).with_visit(kept))
    PaperWatch.of(early_desk).want()
    with qtbot.waitSignal(_planning(strip).ended, timeout=60_000):
        _planning(strip).start(Scope.MISSING)
    rest(early_desk)
    papers = PaperWatch.of(early_desk).papers
    assert papers is not None
    untrue = len(papers.wrong)
    assert untrue == len(kept.people) > 1
    assert strip.text.endswith(f"{untrue} printed papers are no longer true.")
    assert not strip._to_papers.isHidden()
    with qtbot.waitSignal(early_desk.went) as told:
        QTest.mouseClick(strip._to_papers, Qt.MouseButton.LeftButton)
    assert told.args[0] is RoomName.PAPER
    _save(early_desk, rest, whole)
    assert strip.isHidden()


def test_that_a_second_run_is_not_begun_while_one_goes_on(strip: PlanningStrip, qtbot: QtBot) -> None:
    planning = _planning(strip)
    with qtbot.waitSignal(planning.ended, timeout=60_000):
        planning.start(Scope.MISSING)
        with qtbot.assertNotEmitted(planning.began):
            planning.start(Scope.ALL)
    assert not planning.runs


def test_that_no_more_than_ten_events_a_second_are_shown() -> None:
    seen: list[Progress] = []
    tell = _throttled(seen.append)
    for number in range(5_000):
        tell(Progress("dive", float(number), number, 0, 0, 0.0))
    assert 1 <= len(seen) <= A_SECOND


@pytest.mark.parametrize(
    ("objective", "bound", "said"),
    [
        (None, 1.0, "not yet known"),
        (10.0, None, "not yet known"),
        (9_000.0, 10.0, "not yet known"),
        (100.0, 64.6, "≤ 35 min"),
        (100.0, 99.9, "none is better"),
        (99.0, 100.0, "none is better"),
    ],
)
def test_that_the_proven_gap_is_told_only_where_it_means_driving(
    objective: float | None, bound: float | None, said: str
) -> None:
    assert proven_said(objective, bound) == said
