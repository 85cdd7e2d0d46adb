"""The Sheets room: its pages, one for each kind of what comes back from the field, and files in and out."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import ClassVar

from PySide6.QtCore import QMimeData, Qt, QTimer
from PySide6.QtGui import QAction, QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QHBoxLayout, QTabWidget, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.room import Room, RoomName
from planner.desktop.sheets.bring_back import BringBack, choose_filled
from planner.desktop.sheets.bring_photos import BringPhotos, Here
from planner.desktop.sheets.fill_in import FillInWriting
from planner.desktop.sheets.grid_head import action_button
from planner.desktop.sheets.page import PAGES, SheetsPage
from planner.desktop.sheets.photos_in import PhotosIn
from planner.desktop.sheets.words import tr
from planner.domain.finding import Subject
from planner.usecases.field_files import KeptBack
from planner.usecases.field_files.parting import Parted, parted

_NEXT_PAGE_MS = 40
"""Between two pages that are made ahead: time for the window to answer."""


class SheetsRoom(Room):
    """Pages beside one another; the first is there at once, the others when they are turned to."""

    name: ClassVar[RoomName] = RoomName.SHEETS

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.setAcceptDrops(True)
        self.tabs = QTabWidget()
        self.tabs.setAccessibleName(tr("What came back"))
        self.tabs.tabBar().setAccessibleName(tr("What came back"))
        self.tabs.setStyleSheet("QTabWidget::pane { border: 0; }")
        self._places = [QWidget() for _ in PAGES]
        self._pages: dict[int, SheetsPage] = {}
        self._filling = FillInWriting(desk, self)
        self.bring = self._action(tr("Bring filled-in sheets in …"), self._choose)
        self.write = self._action(tr("Write fill-in workbooks …"), self._filling.ask)
        self.photos = PhotosIn(desk, self)
        self._turns = [self._turn_action(number) for number in range(len(PAGES))]
        self._lay_out()
        self.tabs.currentChanged.connect(self.page)
        desk.session.snapshot_changed.connect(lambda _found: self._judge())
        self._judge()
        # The frame of the room is there first; neither keeps the window from its events for long.
        QTimer.singleShot(0, self, lambda: self.page(0))
        self._ahead = QTimer(self)
        self._ahead.setInterval(_NEXT_PAGE_MS)
        self._ahead.timeout.connect(self._make_next)
        desk.session.think(_load_pages, lambda _none: self._ahead.start(), owner=self)

    def page(self, number: int) -> SheetsPage:
        """Return a page, made now if it was not."""
        if number not in self._pages:
            self._pages[number] = made = PAGES[number].make(self.desk)
            layout = self._places[number].layout()
            if layout is not None:
                layout.addWidget(made)
            if number == 0:
                self.setFocusProxy(made)
        return self._pages[number]

    def _make_next(self) -> None:
        """Make a page ahead of its being turned to, when nothing else is on."""
        waiting = [number for number in range(len(PAGES)) if number not in self._pages]
        if not waiting:
            self._ahead.stop()
        elif not self.desk.session.working:
            self.page(waiting[0])

    def show_subject(self, subject: Subject) -> None:
        """Turn to the page that the subject belongs to, and show it there."""
        number = next((at for at in range(len(PAGES)) if self.page(at).takes(subject)), 0)
        self.tabs.setCurrentIndex(number)
        self.page(number).show_subject(subject)

    def commands(self) -> Sequence[QAction]:
        """Return what can be done on the pages, and how to turn to them."""
        of_pages = [action for page in self._pages.values() for action in page.commands()]
        return [self.bring, self.write, self.photos.bring, self.photos.clear, *self._turns, *of_pages]

    def bring_in(self, paths: Sequence[Path]) -> BringBack:
        """Show what filled-in files hold."""
        preview = BringBack(self.desk, paths, self)
        preview.kept.connect(self._say_kept)
        preview.open()
        return preview

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take files that are dragged in."""
        if _paths(event.mimeData()) and not self.desk.session.snapshot.read_only_reason:
            event.acceptProposedAction()

    def bring_photos(self, paths: Sequence[Path]) -> BringPhotos:
        """Show which sheets photos belong to; all of them may go to the point that is stood on instead."""
        page = self.page(self.tabs.currentIndex())
        pictures = [path for path in paths if not path.is_dir()]
        at = page.stands_on if len(pictures) == len(paths) else ""
        return self.photos.show(paths, Here(at, lambda: page.take_pictures(pictures)) if at else None)

    def dropEvent(self, event: QDropEvent) -> None:
        """Attach one picture to the point that is stood on; show what else was dropped before anything is done."""
        paths = _paths(event.mimeData())
        event.acceptProposedAction()
        if any(path.is_dir() for path in paths):
            self.desk.session.think(lambda: parted(paths), self._take_in, owner=self)
        else:
            self._take_in(parted(paths))

    def _take_in(self, dropped: Parted) -> None:
        """Show photos once what other files hold is dealt with: their sheets may come in with those."""
        photos = dropped.photos
        if len(photos) == 1 and not photos[0].is_dir():
            self.page(self.tabs.currentIndex()).take_pictures(photos)
            photos = ()
        if dropped.tables:
            preview = self.bring_in(dropped.tables)
            if photos:
                preview.finished.connect(lambda _result: self.bring_photos(photos))
        elif photos:
            self.bring_photos(photos)

    def _choose(self) -> None:
        paths = choose_filled(self)
        if paths:
            self.bring_in(paths)

    def _say_kept(self, kept: KeptBack) -> None:
        done = tr(" Done now: %1.", ", ".join(map(str, kept.done))) if kept.done else ""
        self.desk.say(tr("What came back is kept.%1", done))

    def _judge(self) -> None:
        reason = self.desk.session.snapshot.read_only_reason
        self.bring.setEnabled(not reason)
        self.bring.setToolTip(reason or tr("Workbooks and tables that came back; they may be dropped here too"))
        planned = bool(len(self.desk.session.snapshot.plan))
        self.write.setEnabled(planned)
        words = tr("A workbook for each volunteer, with their own visits, to be filled in at home")
        self.write.setToolTip(words if planned else tr("Nothing is planned yet: plan on the Board first."))
        self.photos.judge()

    def _action(self, words: str, do: object) -> QAction:
        action = QAction(words, self)
        action.triggered.connect(do)
        return action

    def _turn_action(self, number: int) -> QAction:
        action = QAction(tr("Sheets: %1", tr(PAGES[number].title)), self)
        action.triggered.connect(lambda _checked=False: self._turn_to(number))
        return action

    def _turn_to(self, number: int) -> None:
        """Turn to a page, and give it the keyboard once it is there."""
        self.tabs.setCurrentIndex(number)
        begins_at = self.page(number).focusProxy()
        if isinstance(begins_at, QWidget):
            QTimer.singleShot(0, begins_at, lambda: begins_at.setFocus(Qt.FocusReason.OtherFocusReason))

    def _lay_out(self) -> None:
        for kind, place in zip(PAGES, self._places, strict=True):
            QVBoxLayout(place).setContentsMargins(0, 8, 0, 0)
            self.tabs.addTab(place, tr(kind.title))
        corner = QWidget()
        row = QHBoxLayout(corner)
        row.setContentsMargins(0, 0, 0, 0)
        for action in (self.bring, self.write):
            row.addWidget(action_button(action))
        row.addWidget(self.photos.button)
        self.tabs.setCornerWidget(corner)
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 8, 12, 8)
        column.addWidget(self.tabs, 1)


def _load_pages() -> None:
    """Load the code of every page before it is turned to."""
    for kind in PAGES:
        kind.load()


def _paths(data: QMimeData) -> list[Path]:
    return [Path(url.toLocalFile()) for url in data.urls() if url.isLocalFile()]
