"""The main window: its menus, and the start page or the season that stands in it."""

from __future__ import annotations

import base64
import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QStandardPaths, Qt, Signal
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import QApplication, QFileDialog, QMainWindow, QScrollArea, QStackedWidget, QVBoxLayout, QWidget

from planner.desktop.desk import Desk, system_now
from planner.desktop.look.colours import DARK, LIGHT, Colours
from planner.desktop.look.style import apply_look, system_colours
from planner.desktop.room import RoomName
from planner.desktop.session import season_path
from planner.desktop.settings import Settings
from planner.desktop.units import Units
from planner.desktop.window.menus import Menus
from planner.desktop.window.message_bar import MessageBar
from planner.desktop.window.rooms import load_room
from planner.desktop.window.season_pane import SeasonPane
from planner.desktop.window.start_page import StartPage
from planner.desktop.worker import Worker
from planner.domain.errors import DimpsyError

if TYPE_CHECKING:
    from planner.store import SeasonFile
    from planner.usecases.season.new_season import SeasonWish
    from planner.usecases.season.protocols import ProtocolOffer

PALETTES = {"light": LIGHT, "dark": DARK}
WIDTH, HEIGHT = 1280, 800
_FRAME = 30
"""Pixels that the system's own title bar takes of the screen."""


class MainWindow(QMainWindow):
    """The program's one window."""

    opened = Signal(object)
    """The SeasonPane of a season that has just been opened."""

    def __init__(self, settings: Settings, now: Callable[[], dt.datetime] = system_now) -> None:
        super().__init__()
        self.settings = settings
        self._now = now
        self.pane: SeasonPane | None = None
        self._worker = Worker("start", self)
        self._colours = self._chosen_colours()
        apply_look(application(), self._colours)
        self._start = StartPage(self._colours)
        self._messages = MessageBar(self._colours)
        self._stack = QStackedWidget()
        self._stack.addWidget(self._start_part())
        self.setCentralWidget(self._stack)
        self.menus = Menus(self)
        self._connect()
        self._show_palette()
        self._back_to_place()
        self.show_start()

    def open_season(self, path: Path) -> None:
        """Open a season file."""
        from planner.store import SeasonFile

        self._open(lambda: SeasonFile.open(season_path(path)))

    def open_demo(self, folder: Path | None = None) -> None:
        """Make the invented demo season and open it.

        Args:
            folder: where it is to lie; None: in the person's documents, beside demos made before.
        """
        place = Path(QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation) or ".")

        def make() -> SeasonFile:
            from planner.store import SeasonFile
            from planner.usecases.demo import Scenario, free_demo_folder, make_demo_season

            return SeasonFile.open(make_demo_season(Scenario.HEATH, folder or free_demo_folder(place)))

        self._open(make)

    def new_season(self) -> None:
        """Ask what a new season is made from, make it, and open it."""

        def offers() -> tuple[ProtocolOffer, ...]:
            from planner.usecases.season.protocols import protocol_offers

            return protocol_offers()

        self._worker.give(offers, self._ask_new_season, self._failed)

    def choose_season(self) -> None:
        """Ask which season file to open."""
        recent = self.settings.recent()
        folder = str(recent[0].parent if recent else Path.home())
        words = self.tr("Season files (*.dimpsy)")
        path, _ = QFileDialog.getOpenFileName(self, self.tr("Open a season"), folder, words)
        if path:
            self.open_season(Path(path))

    def save_copy(self) -> None:
        """Ask where to, and copy the season as it stands, its history with it."""
        if self.pane is None:
            return
        desk = self.pane.desk
        beside = desk.session.snapshot.path
        words = self.tr("Season files (*.dimpsy)")
        path, _ = QFileDialog.getSaveFileName(
            self, self.tr("Save a copy"), str(beside.with_stem(f"{beside.stem} copy")), words
        )
        if path:
            from planner.usecases.copying import copy_season

            target = season_path(path if path.endswith(".dimpsy") else f"{path}.dimpsy")
            said = self.tr("A copy lies in %1.").replace("%1", str(target))
            desk.session.ask(
                lambda file: copy_season(file, target), lambda copied: desk.say(f"{said} {copied.words}".rstrip())
            )

    def show_start(self) -> None:
        """Close the season that is open, if one is, and show the start page."""
        self._leave_season()
        self._start.setEnabled(True)
        self._start.show_recent(self.settings.recent())
        self._stack.setCurrentIndex(0)
        self.setWindowTitle("Dimpsy")
        self.menus.show_season(None)

    def choose_palette(self, name: str) -> None:
        """Change to 'light', 'dark', or 'system', and remember it."""
        self.settings.keep("palette", name)
        self._show_palette()

    def choose_units(self, units: Units) -> None:
        """Change to other units, and remember them."""
        self.settings.keep("units", units.value)
        if self.pane is not None:
            self.pane.desk.count_in(units)

    def show_fault(self, words: str) -> None:
        """Say that something in the program itself went wrong."""
        said = self.tr("The program made a mistake; every finished step is safe in the season file. It was: %1")
        self._show_message(said.replace("%1", words))

    def closeEvent(self, event: QCloseEvent) -> None:
        """Remember the window's place, let go of the file, and close."""
        self.settings.keep("geometry", base64.b64encode(self.saveGeometry().data()).decode())
        self._leave_season()
        self._worker.close()
        self.settings.write()
        event.accept()

    @property
    def message(self) -> str:
        """What the start page's message says; empty where there is none."""
        return self._messages.text

    def _ask_new_season(self, offers: tuple[ProtocolOffer, ...]) -> None:
        from planner.desktop.window.new_season import NewSeason

        place = Path(QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation) or ".")
        wizard = NewSeason(offers, self._now().date(), place, self)

        wizard.accepted.connect(lambda: self._make_season(wizard.path, wizard.wish))
        wizard.finished.connect(wizard.deleteLater)
        wizard.open()

    def _make_season(self, path: Path, wish: SeasonWish) -> None:
        def make() -> SeasonFile:
            from planner.store import SeasonFile
            from planner.usecases.season.new_season import new_season

            return SeasonFile.open(new_season(path, wish).path)

        self.settings.keep("room", RoomName.SEASON.value)
        self._open(make)

    def _open(self, make: Callable[[], SeasonFile]) -> None:
        desk = Desk(self.settings, self._now, self)
        desk.show_in(self._colours)
        self._messages.hide()
        self._start.setEnabled(False)

        def failed(error: DimpsyError) -> None:
            desk.session.close()
            desk.deleteLater()
            self._failed(error)

        desk.session.failed.connect(failed)
        first = self._remembered_room()

        def make_ready() -> SeasonFile:
            # What a room needs is loaded on the file's thread: the window goes on answering.
            load_room(first)
            return make()

        def opened() -> None:
            desk.session.failed.disconnect(failed)
            self._show_season(desk, first)

        desk.session.open(make_ready, opened)

    def _remembered_room(self) -> RoomName:
        remembered = self.settings.value("room", RoomName.SEASON.value)
        return RoomName(remembered) if remembered in set(RoomName) else RoomName.SEASON

    def _show_season(self, desk: Desk, first: RoomName) -> None:
        self._leave_season()
        self.pane = SeasonPane(desk, first)
        self.pane.room_changed.connect(lambda name: self.settings.keep("room", name.value))
        self._stack.addWidget(self.pane)
        self._stack.setCurrentWidget(self.pane)
        self.settings.opened(desk.session.snapshot.path)
        self.menus.show_season(self.pane)
        self.pane.addActions(self.menus.season_actions)
        self._name_window()
        if desk.session.snapshot.read_only_reason:
            self.pane.messages.show_message(desk.session.snapshot.read_only_reason)
        desk.session.snapshot_changed.connect(lambda _snapshot: self._name_window())
        self.opened.emit(self.pane)

    def _name_window(self) -> None:
        if self.pane is not None:
            snapshot = self.pane.desk.session.snapshot
            only = self.tr(" (only to be read)") if snapshot.read_only_reason else ""
            self.setWindowTitle(f"{snapshot.season.name}{only} – Dimpsy")

    def _leave_season(self) -> None:
        if self.pane is None:
            return
        pane, self.pane = self.pane, None
        pane.desk.session.close()
        self._stack.removeWidget(pane)
        pane.deleteLater()
        pane.desk.deleteLater()

    def _failed(self, error: BaseException) -> None:
        if not isinstance(error, DimpsyError):
            raise error
        self._start.setEnabled(True)
        self._show_message(str(error))

    def _show_message(self, words: str) -> None:
        bar = self._messages if self.pane is None else self.pane.messages
        bar.show_message(words)

    def _start_part(self) -> QWidget:
        part = QWidget()
        column = QVBoxLayout(part)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._messages)
        # On a small screen, or with large letters, the page is scrolled rather than cut.
        scrolled = QScrollArea()
        scrolled.setWidgetResizable(True)
        scrolled.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scrolled.setWidget(self._start)
        column.addWidget(scrolled, 1)
        return part

    def _connect(self) -> None:
        self._start.wants_open.connect(self.choose_season)
        self._start.wants_new.connect(self.new_season)
        self._start.wants_demo.connect(self.open_demo)
        self._start.wants_recent.connect(self.open_season)
        application().styleHints().colorSchemeChanged.connect(lambda _scheme: self._show_palette())

    def _chosen_colours(self) -> Colours:
        chosen = PALETTES.get(self.settings.value("palette", "system"))
        return chosen if chosen is not None else system_colours(application())

    def _show_palette(self) -> None:
        self._colours = self._chosen_colours()
        apply_look(application(), self._colours)
        self._start.set_colours(self._colours)
        self._messages.set_colours(self._colours)
        self.menus.set_colours(self._colours)
        if self.pane is not None:
            self.pane.desk.show_in(self._colours)

    def _back_to_place(self) -> None:
        room = self.screen().availableSize()
        self.resize(min(WIDTH, room.width()), min(HEIGHT, room.height() - _FRAME))
        kept = self.settings.value("geometry", "")
        if kept:
            self.restoreGeometry(QByteArray.fromBase64(kept.encode()))


def application() -> QApplication:
    """Return the application object; raises TypeError where there is none yet."""
    running = QApplication.instance()
    if not isinstance(running, QApplication):
        raise TypeError("a window needs an application object first")
    return running
