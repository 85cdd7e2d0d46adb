"""The item models of the Paper room, held against Qt's own tester while their rows change."""

from __future__ import annotations

import datetime as dt

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QImage
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from planner.desktop.look.colours import DARK, LIGHT
from planner.desktop.paper.page_images import PageImages
from planner.desktop.paper.page_list import PageListModel
from planner.desktop.paper.people_model import Column, PeopleModel
from planner.desktop.paper.room import PaperRoom
from planner.usecases.paper.papers import PaperState, VolunteerPaper

WHEN = dt.datetime(2027, 5, 3, 19, 30, tzinfo=dt.UTC)
FATAL = QAbstractItemModelTester.FailureReportingMode.Fatal
CHECK = Qt.ItemDataRole.CheckStateRole


def _paper(code: str, state: PaperState, outings: int = 2) -> VolunteerPaper:
    printed = None if state is PaperState.NEVER else WHEN
    return VolunteerPaper(code, f"Ada {code}", outings, state, printed, ("R1 visit 1 is new.",))


PEOPLE = (
    _paper("V1", PaperState.CURRENT),
    _paper("V2", PaperState.NEVER),
    _paper("V3", PaperState.WITHDRAW, outings=0),
    _paper("V4", PaperState.CHANGED),
)


def test_that_the_most_urgent_come_first_and_the_words_stand_with_their_marks(qtbot: QtBot) -> None:
    model = PeopleModel(LIGHT, dt.UTC)
    tester = QAbstractItemModelTester(model, FATAL)
    model.show_people(PEOPLE)
    assert [person.code for person in model.people] == ["V3", "V4", "V2", "V1"]
    words = [model.index(row, Column.PAPER).data() for row in range(4)]
    assert words == ["call back", "changed since", "never printed", "up to date"]
    assert model.index(1, Column.PRINTED).data() == "3 May 2027"
    assert model.index(2, Column.PRINTED).data() == ""
    assert "R1 visit 1 is new." in model.index(1, Column.PAPER).data(Qt.ItemDataRole.ToolTipRole)
    marks = [model.index(row, Column.PAPER).data(Qt.ItemDataRole.DecorationRole).toImage() for row in range(4)]
    assert len({bytes(mark.constBits()) for mark in marks}) == 4
    with qtbot.waitSignal(model.dataChanged):
        model.set_colours(DARK)
    model.show_people(PEOPLE[:1])
    assert model.rowCount() == 1
    del tester


def test_that_only_those_with_an_outing_are_ticked_and_ticks_outlive_a_change() -> None:
    model = PeopleModel(LIGHT, dt.UTC)
    tester = QAbstractItemModelTester(model, FATAL)
    model.show_people(PEOPLE)
    withdrawn, changed = model.index(0, 0), model.index(1, 0)
    assert not model.setData(withdrawn, Qt.CheckState.Checked, CHECK)
    assert withdrawn.data(CHECK) is None
    assert model.setData(changed, Qt.CheckState.Checked, CHECK)
    assert list(model.ticked) == ["V4"]
    model.tick(["V1", "V3", "V4"])
    assert list(model.ticked) == ["V4", "V1"]
    model.show_people(PEOPLE[1:])
    assert list(model.ticked) == ["V4"]
    assert model.setData(model.index(1, 0), Qt.CheckState.Unchecked, CHECK)
    assert not model.ticked
    del tester


def test_that_the_list_of_pages_follows_the_itinerary(room: PaperRoom, qtbot: QtBot) -> None:
    images = PageImages(room.desk.session)
    model = PageListModel(images)
    tester = QAbstractItemModelTester(model, FATAL)
    assert model.rowCount() == 0
    facts = room.watch.facts
    assert facts is not None
    with qtbot.waitSignal(images.changed, timeout=10_000):
        images.show_itinerary(facts, "V05", room.bar.paper)
    assert model.rowCount() == images.count > 1
    assert model.index(1).data(Qt.ItemDataRole.AccessibleTextRole) == f"Page 2 of {images.count}"
    with qtbot.waitSignal(model.dataChanged, timeout=10_000):
        images.wish("test", [(0, 40.0)])
    with qtbot.waitSignal(images.changed, timeout=10_000):
        images.show_nothing("why")
    assert (model.rowCount(), images.trouble) == (0, "why")
    del tester


def test_that_the_preview_shows_what_the_renderer_of_the_paper_draws(room: PaperRoom, qtbot: QtBot) -> None:
    """The picture on the screen is the renderer's own, page for page."""
    images = room.images
    qtbot.waitUntil(lambda: images.count > 0, timeout=10_000)
    pages = images.pages
    assert pages is not None
    view = room.preview.view
    drawn = round(view.dots_per_inch * view.devicePixelRatioF(), 1)
    expected = pages.image(0, drawn)
    # The list's small picture of the page may be there first.
    qtbot.waitUntil(lambda: _size(images.picture(0, drawn)) == expected.size(), timeout=30_000)
    assert images.picture(0, drawn) == expected
    shown = view.viewport().grab().toImage()
    assert _dark(shown) > 0.01


def _size(image: QImage | None) -> QSize | None:
    return None if image is None else image.size()


def _dark(image: QImage) -> float:
    """Return the share of pixels that are nearly black."""
    step = 3
    spots = [
        image.pixelColor(x, y).lightnessF() < 0.3
        for x in range(0, image.width(), step)
        for y in range(0, image.height(), step)
    ]
    return sum(spots) / len(spots)
