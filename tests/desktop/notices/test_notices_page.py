"""The page of calendars and messages: who must be told what, ticking, writing, and what a change brings."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QAbstractItemModelTester, QTest
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.look.colours import Colours
from planner.desktop.notices.page import NoticesPage
from planner.desktop.notices.people_model import Column, NoticePeopleModel
from planner.desktop.paper.room import PaperRoom
from planner.domain.field.telling import News
from planner.domain.plan import Plan
from planner.store import SeasonFile
from planner.usecases.sending.short_message import short_message
from tests.desktop.paper.conftest import Change, with_a_broken_rule


@pytest.fixture
def desk(small_desk: Desk) -> Desk:
    """Return the desk that the page and its rows stand on: a few routes and people do."""
    return small_desk


@pytest.fixture
def page(desk: Desk, qtbot: QtBot) -> NoticesPage:
    """Return the page, shown, once it knows who must be told what."""
    made = NoticesPage(desk)
    qtbot.addWidget(made)
    made.resize(1100, 690)
    made.show()
    settle(qtbot, made)
    return made


def settle(qtbot: QtBot, page: NoticesPage) -> None:
    qtbot.waitUntil(lambda: page.watch.fresh and not page._desk.session.working, timeout=30_000)


def write(qtbot: QtBot, page: NoticesPage, folder: Path) -> None:
    with qtbot.waitSignal(page.runs.ended, timeout=60_000):
        page.write_into(folder)
    settle(qtbot, page)


def change_plan(qtbot: QtBot, page: NoticesPage, change: Change) -> None:
    def operation(file: SeasonFile) -> None:
        with file.step("Change the plan"):
            file.save_plan(change(file.plan()))

    with qtbot.waitSignal(page._desk.session.snapshot_changed, timeout=10_000):
        page._desk.session.do(operation)


def news(page: NoticesPage) -> dict[str, News]:
    return {one.code: one.news for one in page.model.people}


def test_that_nobody_told_is_new_is_ticked_written_and_then_told(
    page: NoticesPage, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert set(news(page).values()) == {News.NEW}
    count = len(page.model.people)
    assert page.stands.text() == f"{count} not told of any outing yet."
    assert page.write.toolTip() == "Tick the people whose files are to be written"
    assert not page.write.isEnabled()
    QTest.mouseClick(page.news, Qt.MouseButton.LeftButton)
    page.model.tick(page.model.ticked[:2])
    assert page.write.text() == "Write the files of 2 people …"
    codes = page.model.ticked
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_args: str(tmp_path / "out"))
    with qtbot.waitSignal(page.runs.ended, timeout=60_000):
        QTest.mouseClick(page.write, Qt.MouseButton.LeftButton)
    settle(qtbot, page)
    assert sorted(path.name.split()[0] for path in (tmp_path / "out").iterdir()) == sorted(codes)
    assert {code for code, one in news(page).items() if one is News.SAME} == set(codes)
    assert page.model.ticked == ()
    assert page.notice.text.startswith(f"Files for 2 people, written into {tmp_path / 'out'}.")
    assert page.stands.text() == f"{count - 2} not told of any outing yet; 2 told how things stand."


def test_that_a_change_is_news_to_those_it_touches_and_the_letter_says_it(
    page: NoticesPage, qtbot: QtBot, tmp_path: Path
) -> None:
    plan = page._desk.session.snapshot.plan
    today = page._desk.today()
    visit = next(one for one in plan if one.date > today and one.reserve is not None)
    page.model.tick(visit.people)
    write(qtbot, page, tmp_path)
    change_plan(qtbot, page, lambda plan: plan.with_visit(replace(visit, reserve=None)))
    settle(qtbot, page)
    assert {code for code, one in news(page).items() if one is News.CHANGED} == set(visit.people)
    page.choose(visit.lead)
    assert "What they were told is no longer so." in page.letter.state.text()
    assert "There is no date in reserve." in page.letter.text.toPlainText()
    person = next(one for one in page.model.people if one.code == visit.lead)
    assert page.letter.short.toPlainText() == short_message(person)
    QTest.mouseClick(page.letter.copy, Qt.MouseButton.LeftButton)
    assert QGuiApplication.clipboard().text() == page.letter.text.toPlainText()
    QTest.mouseClick(page.letter.copy_short, Qt.MouseButton.LeftButton)
    assert QGuiApplication.clipboard().text() == short_message(person)


def test_that_files_that_are_nobodys_any_more_are_deleted_where_that_is_ticked(
    page: NoticesPage, qtbot: QtBot, tmp_path: Path
) -> None:
    plan, today = page._desk.session.snapshot.plan, page._desk.today()
    visit = next(one for one in plan if one.date > today and len(plan.of_volunteer(one.lead)) > 1)
    page.model.tick([visit.lead])
    write(qtbot, page, tmp_path)
    change_plan(qtbot, page, lambda plan: Plan(tuple(one for one in plan if one.key != visit.key)))
    settle(qtbot, page)
    old = f"{visit.key.route} visit {visit.key.number}.gpx"
    for tick, left in ((False, [old]), (True, [])):
        page.clear.setChecked(tick)
        page.model.tick([visit.lead])
        write(qtbot, page, tmp_path)
        assert [path.name for path in tmp_path.glob(f"*/{old}")] == left
        assert ("The tick below deletes them." in page.notice.text) == (not tick)
        assert ("deleted." in page.notice.text) == tick


def test_that_the_mail_program_gets_the_letter_and_where_none_answers_it_is_said(desk: Desk, qtbot: QtBot) -> None:
    opened: list[QUrl] = []

    def unanswered(url: QUrl) -> bool:
        opened.append(url)
        return False

    page = NoticesPage(desk, unanswered)
    qtbot.addWidget(page)
    page.show()
    settle(qtbot, page)
    QTest.mouseClick(page.letter.mail, Qt.MouseButton.LeftButton)
    parts = urlsplit(bytes(opened[0].toEncoded().data()).decode())
    assert parse_qs(parts.query)["body"] == [page.letter.text.toPlainText().replace("\n", "\r\n")]
    assert page.letter.unanswered.isVisible()


def test_that_while_a_rule_is_broken_it_is_said_why_nothing_goes_out(page: NoticesPage, qtbot: QtBot) -> None:
    change_plan(qtbot, page, with_a_broken_rule)
    qtbot.waitUntil(lambda: bool(page.watch.obstacle), timeout=30_000)
    assert "breaks these rules, so nothing goes out" in page.stands.text()
    assert not page.write.isEnabled()
    assert page.model.people == ()
    assert not page.letter.copy.isVisible()


def test_that_without_a_plan_it_is_said_that_there_is_nothing_to_tell(page: NoticesPage, qtbot: QtBot) -> None:
    change_plan(qtbot, page, lambda _plan: Plan())
    settle(qtbot, page)
    assert page.stands.text() == "Nobody has an outing yet, so there is nothing to tell."
    assert page.everybody.toolTip() == "Nobody has an outing yet"


def test_that_files_that_cannot_be_written_are_told_and_nobody_counts_as_told(
    page: NoticesPage, qtbot: QtBot, tmp_path: Path
) -> None:
    (tmp_path / "taken").write_text("x", encoding="utf-8")
    page.model.tick(["V01"])
    with qtbot.waitSignal(page.runs.failed, timeout=60_000):
        page.write_into(tmp_path / "taken")
    assert "Name another folder." in page.notice.text
    assert news(page)["V01"] is News.NEW
    assert page.write.isVisible()


def test_that_the_paper_room_turns_to_the_page_and_ticks_those_that_another_room_names(
    desk: Desk, qtbot: QtBot
) -> None:
    room = PaperRoom(desk)
    qtbot.addWidget(room)
    room.show()
    assert room.pages._made is None
    desk.tell(["V08", "V01"])
    page = room.pages.notices
    settle(qtbot, page)
    assert room.pages.currentIndex() == 1
    assert set(page.model.ticked) == {"V08", "V01"}
    assert page.letter.name.text() == page.model.people[page.table.currentIndex().row()].name


def test_that_the_model_keeps_qt_s_rules(page: NoticesPage, colours: Colours) -> None:
    zone = page._desk.session.snapshot.season.tzinfo
    model = NoticePeopleModel(colours, zone)
    QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Fatal)
    model.show_people(page.model.people)
    name = model.index(0, Column.NAME)
    assert model.setData(name, Qt.CheckState.Checked.value, Qt.ItemDataRole.CheckStateRole)
    assert model.ticked == (model.people[0].code,)
    assert name.data(Qt.ItemDataRole.AccessibleTextRole) == f"{model.people[0].name}, new"
    assert model.index(0, Column.TOLD).data() == "never"
    assert model.index(0, Column.NEWS).data(Qt.ItemDataRole.ToolTipRole).startswith("They have an outing")
    model.show_people(())
    assert len(model.ticked) == 0
