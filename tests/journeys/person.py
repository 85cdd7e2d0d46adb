"""A person at the window: looks for things by the names they read, uses mouse and keys, and waits for what they see."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TypeVar

from PySide6.QtCore import QPoint, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QFileDialog, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from planner.desktop.room import RoomName
from planner.desktop.window.main_window import MainWindow
from planner.desktop.window.season_pane import SeasonPane
from tests.desktop.watchdog import Watchdog
from tests.desktop.windows import pane_of, settle

_W = TypeVar("_W", bound=QWidget)
CTRL, NONE = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.NoModifier


class Person:
    """Acts on one window; the watchdog measures every act."""

    def __init__(self, window: MainWindow, qtbot: QtBot, pictures: Path) -> None:
        self.window = window
        self._qtbot = qtbot
        self._pictures = pictures
        # What an earlier window left to be put away is put away first: it is nothing of this one.
        qtbot.wait(100)
        self.watchdog = Watchdog()

    @property
    def pane(self) -> SeasonPane:
        """The season that is open."""
        return pane_of(self.window)

    def sees(self, kind: type[_W], name: str, inside: QWidget | None = None) -> _W:
        """Wait until a widget of a kind is seen whose name or text is, or begins with, what is read."""
        found: list[_W] = []

        def look() -> bool:
            found[:] = self._named(kind, name, inside)
            return bool(found)

        self._qtbot.waitUntil(look, timeout=15_000)
        return found[0]

    def clicks(self, target: QWidget | str, at: QPoint | None = None, modifiers: Qt.KeyboardModifier = NONE) -> None:
        """Click a widget, or the button of that name."""
        widget = self.sees(QAbstractButton, target) if isinstance(target, str) else target
        assert widget.isEnabled(), f"{widget} is disabled: {widget.toolTip()}"
        place = at if at is not None else widget.rect().center()
        with self.watchdog.acting(f"a click on {target}"):
            QTest.mouseClick(widget, Qt.MouseButton.LeftButton, modifiers, place)

    def drags(
        self,
        widget: QWidget,
        begin: QPoint,
        end: QPoint,
        rest: Callable[[], bool] | None = None,
        modifiers: Qt.KeyboardModifier = NONE,
        hanging: Callable[[], object] = lambda: None,
    ) -> None:
        """Drag with the mouse, by way of some places between, and let go once what is waited for is seen."""
        with self.watchdog.acting("taking hold"):
            QTest.mousePress(widget, Qt.MouseButton.LeftButton, modifiers, begin)
        for part in range(1, 9):
            with self.watchdog.acting("dragging"):
                QTest.mouseMove(widget, begin + (end - begin) * part / 8)
            self._qtbot.wait(5)
        if rest is not None:
            self.waits(rest)
        hanging()
        with self.watchdog.acting("letting go"):
            QTest.mouseRelease(widget, Qt.MouseButton.LeftButton, modifiers, end)

    def presses(self, key: Qt.Key, modifiers: Qt.KeyboardModifier = NONE, times: int = 1) -> None:
        """Press a key in whatever has the keyboard."""
        for _ in range(times):
            with self.watchdog.acting(f"the key {key.name}"):
                QTest.keyClick(self._with_keyboard(), key, modifiers)

    def types(self, text: str) -> None:
        """Type text into whatever has the keyboard."""
        with self.watchdog.acting(f"typing {text!r}"):
            QTest.keyClicks(self._with_keyboard(), text)

    def writes(self, field: str, text: str) -> None:
        """Write over what stands in a field."""
        line = self.sees(QLineEdit, field)
        line.setFocus()
        line.selectAll()
        with self.watchdog.acting(f"writing in {field}"):
            QTest.keyClicks(line, text)

    def goes_to(self, room: RoomName) -> None:
        """Go to a room by its key."""
        number = list(RoomName).index(room)
        self._is_before_the_window()
        with self.watchdog.acting(f"going to {room.value}"):
            QTest.keyClick(self.window, Qt.Key(Qt.Key.Key_1 + number), CTRL)
        self.waits(lambda: self.pane.shown is room)
        self.rests()

    def names_files(self, paths: Sequence[Path]) -> None:
        """Have the next file dialog answered: its line is written in, and Enter pressed."""
        timer = QTimer(self.window)

        def answer() -> None:
            dialog = QApplication.activeModalWidget()
            if isinstance(dialog, QFileDialog):
                timer.stop()
                line = dialog.findChild(QLineEdit, "fileNameEdit")
                assert isinstance(line, QLineEdit)
                line.setText(" ".join(f'"{path}"' for path in paths) if len(paths) > 1 else str(paths[0]))
                QTest.keyClick(line, Qt.Key.Key_Return)

        timer.timeout.connect(answer)
        timer.start(50)

    def waits(self, seen: Callable[[], bool], seconds: float = 20.0) -> None:
        """Wait until something is seen."""
        self._qtbot.waitUntil(seen, timeout=round(seconds * 1000))

    def rests(self) -> None:
        """Wait until nothing is being done any more, and the rooms are made, as they are a moment after opening."""
        pane = settle(self._qtbot, self.window)
        self.waits(lambda: pane.is_furnished)

    def takes_picture(self, name: str) -> Path:
        """Keep a picture of the window, or of the dialog before it."""
        path = self._pictures / f"{name}.png"
        with self.watchdog.looking_away():
            assert (QApplication.activeModalWidget() or self.window).grab().save(str(path))
        return path

    def _with_keyboard(self) -> QWidget:
        """Return what has the keyboard: in a dialog that is open, else in the window."""
        self._is_before_the_window()
        root = QApplication.activeModalWidget() or QApplication.activeWindow() or self.window
        focused: QWidget | None = root.focusWidget()
        return root if focused is None else focused

    def _is_before_the_window(self) -> None:
        """Bring the window back to the front once a dialog has gone: no window manager does it on this screen."""
        if QApplication.activeModalWidget() is None and QApplication.activeWindow() is not self.window:
            self.window.activateWindow()
            self.waits(self.window.isActiveWindow, 5)

    def _named(self, kind: type[_W], name: str, inside: QWidget | None) -> list[_W]:
        roots = [inside] if inside is not None else [w for w in QApplication.topLevelWidgets() if w.isVisible()]
        every = [widget for root in roots for widget in root.findChildren(kind) if widget.isVisible()]
        if not name:
            return every
        exact = [widget for widget in every if name in _names(widget)]
        return exact or [widget for widget in every if any(read.startswith(name) for read in _names(widget))]


def _names(widget: QWidget) -> list[str]:
    text = getattr(widget, "text", None)
    read = [widget.accessibleName(), str(text()) if callable(text) else ""]
    return [words.replace("&", "") for words in read if words]
