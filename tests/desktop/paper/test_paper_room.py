"""Whose paper is stale, choosing it, putting it out, and what is then written down."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import QModelIndex, Qt, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.paper.room import PaperRoom
from planner.desktop.paper.watch import PaperWatch
from planner.desktop.room import RoomName
from planner.domain.finding import Rule, Subject
from planner.printing import Paper
from planner.store import SeasonFile
from planner.usecases.paper.papers import PaperState
from tests.desktop.paper.conftest import change_plan, settle, with_a_broken_rule, without_a_lead, without_reserve


def _states(room: PaperRoom) -> dict[str, PaperState]:
    return {person.code: person.state for person in room.people.model.people}


def _put_into(qtbot: QtBot, room: PaperRoom, folder: Path) -> None:
    with qtbot.waitSignal(room.runs.ended, timeout=60_000):
        room.write_into(folder)
    settle(qtbot, room)


def test_that_with_all_papers_up_to_date_nothing_is_ticked_and_it_is_said_why_nothing_is_printed(
    room: PaperRoom,
) -> None:
    assert set(_states(room).values()) == {PaperState.CURRENT}
    assert room.people.stands.text() == "33 up to date."
    assert room.people.model.ticked == ()
    for button in (room.bar.files, room.bar.printer):
        assert not button.isEnabled()
        assert button.toolTip() == "Tick the people whose itineraries are to be printed"
    assert room.people.due.toolTip().startswith("Nobody's paper is due")


def test_that_a_change_makes_the_papers_of_those_it_touches_stale_and_they_are_ticked(
    room: PaperRoom, qtbot: QtBot
) -> None:
    visit = room.desk.session.snapshot.plan.visits[0]
    change_plan(qtbot, room, without_reserve)
    changed = {code for code, state in _states(room).items() if state is PaperState.CHANGED}
    assert changed == set(visit.people)
    QTest.mouseClick(room.people.due, Qt.MouseButton.LeftButton)
    assert set(room.people.model.ticked) == changed
    assert room.people.stands.text().startswith(f"{len(changed)} changed since they were printed; ")
    room.people.choose(visit.lead)
    assert f"{visit.key}: its reserve date is none, was " in room.note.said.text()
    person = room.desk.session.snapshot.season.volunteer(visit.lead)
    assert person.telephone in room.note.reached.text()


def test_that_those_due_are_ticked_when_the_room_is_first_seen(desk: Desk, qtbot: QtBot) -> None:
    def operation(file: SeasonFile) -> None:
        with file.step("Change the plan"):
            file.save_plan(without_reserve(file.plan()))

    with qtbot.waitSignal(desk.session.problem_changed, timeout=10_000):
        desk.session.do(operation)
    late = PaperRoom(desk)
    qtbot.addWidget(late)
    late.show()
    settle(qtbot, late)
    assert set(late.people.model.ticked) == set(desk.session.snapshot.plan.visits[0].people)


def test_that_nothing_is_looked_at_before_the_room_is_seen(desk: Desk, qtbot: QtBot) -> None:
    unseen = PaperRoom(desk)
    qtbot.addWidget(unseen)
    qtbot.waitUntil(lambda: not desk.session.working, timeout=10_000)
    assert unseen.watch.papers is None
    assert unseen.bar.files.toolTip() == "The papers are still being looked through"


def test_that_the_ticked_papers_are_written_recorded_and_then_up_to_date(
    room: PaperRoom, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    change_plan(qtbot, room, without_reserve)
    room.people.tick_due()
    ticked = room.people.model.ticked
    revision, runs = room.desk.session.snapshot.revision, len(room.desk.session.snapshot.print_runs)
    folder = tmp_path / "for the post"
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_args: str(folder))
    with qtbot.waitSignal(room.runs.ended, timeout=60_000):
        QTest.mouseClick(room.bar.files, Qt.MouseButton.LeftButton)
    settle(qtbot, room)
    assert len(list(folder.glob("*.pdf"))) == len(ticked)
    new = room.desk.session.snapshot.print_runs[runs:]
    assert {(run.volunteer, run.revision) for run in new} == {(code, revision) for code in ticked}
    assert set(_states(room).values()) == {PaperState.CURRENT}
    assert room.people.model.ticked == ()
    pages = sum(len(PdfReader(path).pages) for path in folder.glob("*.pdf"))
    assert room.notice.text == f"{len(ticked)} itineraries, {pages} pages, written into {folder}."
    opened: list[QUrl] = []
    monkeypatch.setattr(QDesktopServices, "openUrl", opened.append)
    QTest.mouseClick(room.notice.button, Qt.MouseButton.LeftButton)
    assert opened == [QUrl.fromLocalFile(str(folder))]


def test_that_the_printer_gets_the_same_words_as_the_pdf_file(room: PaperRoom, qtbot: QtBot, tmp_path: Path) -> None:
    room.people.model.tick(["V05", "V08"])
    _put_into(qtbot, room, tmp_path / "files")
    room.people.model.tick(["V05", "V08"])
    room.ask_printer()
    dialog = room.findChild(QPrintDialog)
    assert dialog is not None
    dialog.printer().setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    dialog.printer().setOutputFileName(str(tmp_path / "printed.pdf"))
    with qtbot.waitSignal(room.runs.ended, timeout=60_000):
        dialog.accepted.emit(dialog.printer())
    dialog.close()
    files = sorted((tmp_path / "files").glob("*.pdf"))
    apart = [page.extract_text() for path in files for page in PdfReader(path).pages]
    assert [page.extract_text() for page in PdfReader(tmp_path / "printed.pdf").pages] == apart
    assert room.notice.text == f"2 itineraries, {len(apart)} pages, sent to the printer."


def test_that_stop_keeps_what_is_written_and_says_so(room: PaperRoom, qtbot: QtBot, tmp_path: Path) -> None:
    room.people.model.tick(_states(room))
    runs = len(room.desk.session.snapshot.print_runs)
    done: list[int] = []

    def stop_after_two(number: int, _of: int) -> None:
        done.append(number)
        if number == 2:
            QTest.mouseClick(room.bar.stop, Qt.MouseButton.LeftButton)

    room.runs.progressed.connect(stop_after_two)
    _put_into(qtbot, room, tmp_path / "some")
    written = len(list((tmp_path / "some").glob("*.pdf")))
    assert 2 <= written < 33
    assert done == list(range(1, written + 1))
    assert len(room.desk.session.snapshot.print_runs) == runs + written
    assert room.notice.text.startswith(f"Stopped. {written} itineraries")


def test_that_a_broken_rule_keeps_all_paper_in_and_leads_to_where_it_is_mended(room: PaperRoom, qtbot: QtBot) -> None:
    change_plan(qtbot, room, with_a_broken_rule)
    room.people.model.tick(["V05"])
    assert not room.bar.files.isEnabled()
    assert "breaks a rule" in room.bar.files.toolTip()
    assert room.images.count == 0
    went: list[tuple[RoomName, Subject]] = []
    room.desk.went.connect(lambda name, subject: went.append((name, subject)))
    QTest.mouseClick(room.bars.button, Qt.MouseButton.LeftButton)
    papers = room.watch.papers
    assert papers is not None
    assert papers.bars[0].rule is Rule.RESERVE_DATE
    assert went == [(RoomName.BOARD, papers.bars[0].subject)]


def test_that_papers_are_said_not_to_be_compared_while_a_rule_is_broken(room: PaperRoom, qtbot: QtBot) -> None:
    def ring_another_number(file: SeasonFile) -> None:
        season = file.season()
        with file.step("Another number"):
            file.save_season(replace(season, coordinator=replace(season.coordinator, telephone="07700 900111")))

    with qtbot.waitSignal(room.desk.session.snapshot_changed, timeout=10_000):
        room.desk.session.do(ring_another_number)
    settle(qtbot, room)
    change_plan(qtbot, room, with_a_broken_rule)
    states = set(_states(room).values())
    assert states == {PaperState.CHANGED, PaperState.BARRED}
    assert "cannot be compared while the plan breaks a rule" in room.people.stands.text()
    waiting = next(code for code, state in _states(room).items() if state is PaperState.BARRED)
    room.people.choose(waiting)
    assert room.note.said.text().startswith("Their paper cannot be compared while the plan breaks a rule")
    assert "earlier version" not in room.note.said.text()
    assert room.bars.button.isVisible()


def test_that_a_folder_that_no_program_shows_is_named(
    room: PaperRoom, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    room.people.model.tick(["V05"])
    _put_into(qtbot, room, tmp_path / "out")
    monkeypatch.setattr(QDesktopServices, "openUrl", lambda _address: False)
    QTest.mouseClick(room.notice.button, Qt.MouseButton.LeftButton)
    assert room.notice.text.startswith("No program answered")
    assert str(tmp_path / "out") in room.notice.text


def test_that_who_has_no_outing_any_more_is_called_back_and_that_is_taken_back(room: PaperRoom, qtbot: QtBot) -> None:
    lead = room.desk.session.snapshot.plan.visits[4].lead
    change_plan(qtbot, room, without_a_lead)
    assert _states(room)[lead] is PaperState.WITHDRAW
    room.people.choose(lead)
    row = room.people.model.row_of(lead)
    assert row == 0
    assert not room.people.model.flags(room.people.model.index(0, 0)) & Qt.ItemFlag.ItemIsUserCheckable
    qtbot.waitUntil(lambda: "no paper to show" in room.images.trouble)
    with qtbot.waitSignal(room.desk.session.snapshot_changed, timeout=10_000):
        QTest.mouseClick(room.note.called, Qt.MouseButton.LeftButton)
    settle(qtbot, room)
    assert lead not in _states(room)
    with qtbot.waitSignal(room.desk.session.snapshot_changed, timeout=10_000):
        QTest.mouseClick(room.notice.button, Qt.MouseButton.LeftButton)
    settle(qtbot, room)
    assert _states(room)[lead] is PaperState.WITHDRAW


def test_that_without_its_road_map_a_season_is_not_printed(desk: Desk, qtbot: QtBot, season_path: Path) -> None:
    for path in season_path.parent.glob("*.npz"):
        path.unlink()
    desk.session.network = None
    room = PaperRoom(desk)
    qtbot.addWidget(room)
    room.show()
    qtbot.waitUntil(lambda: bool(room.watch.obstacle), timeout=10_000)
    assert "is not beside the season file" in room.bars.text
    assert room.bar.printer.toolTip() == room.watch.obstacle


def test_that_ticks_and_pages_are_reached_by_keys_alone(room: PaperRoom, qtbot: QtBot) -> None:
    room.people.search.setFocus()
    QTest.keyClicks(room.people.search, "larkin")
    room.people.table.setFocus()
    room.people.table.setCurrentIndex(room.people.table.model().index(0, 0))
    QTest.keyClick(room.people.table.viewport(), Qt.Key.Key_Space)
    assert room.people.model.ticked == ("V10",)
    qtbot.waitUntil(lambda: room.images.count > 3, timeout=10_000)
    view = room.preview.view
    QTest.keyClick(view, Qt.Key.Key_PageDown)
    assert view.page == 1
    QTest.keyClick(view, Qt.Key.Key_End)
    assert view.page == room.images.count - 1
    before = view.dots_per_inch
    QTest.keyClick(view, Qt.Key.Key_Plus)
    assert view.dots_per_inch == pytest.approx(before * 1.2)
    QTest.keyClick(view, Qt.Key.Key_0)
    assert view.dots_per_inch == pytest.approx(before, rel=0.05)


def test_that_the_size_of_the_sheets_is_remembered_and_shown(room: PaperRoom, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: room.images.count > 0, timeout=10_000)
    with qtbot.waitSignal(room.images.changed, timeout=10_000):
        room.bar.sizes.setCurrentIndex(room.bar.sizes.findData(Paper.LETTER.value))
    assert room.images.pages is not None
    assert room.images.pages.paper is Paper.LETTER
    again = PaperRoom(room.desk)
    qtbot.addWidget(again)
    assert again.bar.paper is Paper.LETTER


def test_that_a_subject_brings_up_the_paper_of_the_volunteer(room: PaperRoom, qtbot: QtBot) -> None:
    room.show_subject(Subject(volunteer="V21"))
    assert room.people.chosen is not None
    assert room.people.chosen.code == "V21"
    qtbot.waitUntil(
        lambda: room.images.pages is not None and room.images.pages.itinerary.volunteer.code == "V21", timeout=10_000
    )
    lead = room.desk.session.snapshot.plan.of_route("R07")[0].lead
    room.show_subject(Subject(route="R07"))
    assert room.people.chosen.code == lead


def test_that_two_rooms_share_one_watch_and_the_later_one_shows_what_it_knows(room: PaperRoom, qtbot: QtBot) -> None:
    later = PaperRoom(room.desk)
    qtbot.addWidget(later)
    assert later.watch is PaperWatch.of(room.desk) is room.watch
    assert later.people.model.people == room.people.model.people


def test_that_commands_say_why_they_cannot_be_given(room: PaperRoom) -> None:
    printing = [action for action in room.commands() if not action.isEnabled()]
    assert len(printing) == 2
    assert {action.toolTip() for action in printing} == {"Tick the people whose itineraries are to be printed"}
    room.people.model.tick(["V05"])
    assert all(action.isEnabled() for action in room.commands())


def test_that_a_file_open_for_reading_prints_and_says_that_it_is_not_written_down(
    desk: Desk, knowing: Callable[[], Desk], season_path: Path, qtbot: QtBot, tmp_path: Path
) -> None:
    assert not desk.session.snapshot.read_only_reason
    other = knowing()
    with qtbot.waitSignal(other.session.checked_changed, timeout=20_000):
        other.session.open(lambda: SeasonFile.open(season_path), lambda: None)
    second = PaperRoom(other)
    qtbot.addWidget(second)
    second.show()
    settle(qtbot, second)
    second.people.model.tick(["V05"])
    runs = len(other.session.snapshot.print_runs)
    _put_into(qtbot, second, tmp_path / "read only")
    assert len(list((tmp_path / "read only").glob("*.pdf"))) == 1
    assert "It is not written down in the season file:" in second.notice.text
    assert len(other.session.snapshot.print_runs) == runs


def test_that_a_folder_that_cannot_be_made_is_said_and_nothing_is_written_down(
    room: PaperRoom, qtbot: QtBot, tmp_path: Path
) -> None:
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    room.people.model.tick(["V05"])
    runs = room.desk.session.snapshot.print_runs
    with qtbot.waitSignal(room.runs.failed, timeout=20_000):
        room.write_into(tmp_path / "taken")
    assert "expected a folder" in room.notice.text
    assert room.bar.files.isEnabled()
    assert room.desk.session.snapshot.print_runs == runs


def _index(room: PaperRoom, row: int) -> QModelIndex:
    return room.people.table.model().index(row, 0)


def test_that_a_search_that_finds_nobody_leaves_no_pages(room: PaperRoom, qtbot: QtBot) -> None:
    QTest.keyClicks(room.people.search, "zzz")
    assert not _index(room, 0).isValid()
    qtbot.waitUntil(lambda: room.images.count == 0, timeout=10_000)
    room.people.choose("V02")
    assert room.people.search.text() == ""
    assert room.people.chosen is not None
    assert room.people.chosen.code == "V02"
