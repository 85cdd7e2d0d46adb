"""The menus: every command of the frame with its key; undo and redo say what they would do."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QHBoxLayout, QMenu, QToolButton, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.look.icons import icon
from planner.desktop.room import RoomName
from planner.desktop.units import Units
from planner.desktop.window.rooms import room_title
from planner.usecases.season.snapshot import Snapshot

if TYPE_CHECKING:
    from planner.desktop.window.main_window import MainWindow
    from planner.desktop.window.season_pane import SeasonPane


class Menus(QObject):
    """What can be done from anywhere in the window."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._icons: list[tuple[QAction, str]] = []
        self.recent = QMenu(self.tr("Open &recent"), window)
        self.undo = self._action(self.tr("&Undo"), QKeySequence.StandardKey.Undo, self._undo, "undo")
        self.redo = self._action(self.tr("&Redo"), "Ctrl+Shift+Z", self._redo, "redo")
        self.find = self._action(self.tr("&Find anything …"), "Ctrl+K", self._find, "find")
        self.history = self._action(self.tr("&History"), "Ctrl+H", self._history, "history")
        self.history.setCheckable(True)
        self.close = self._action(self.tr("C&lose the season"), "Ctrl+W", window.show_start)
        self.roads = self._action(self.tr("The &road map …"), "", self._show_roads)
        self.copy = self._action(self.tr("&Save a copy …"), QKeySequence.StandardKey.SaveAs, window.save_copy)
        self.bring = self._action(self.tr("&Bring files in …"), "", lambda: self._pane().choose_files())
        self.paste = self._action(
            self.tr("Bring in from the &clipboard …"), QKeySequence.StandardKey.Paste, lambda: self._pane().paste()
        )
        self.export = self._action(self.tr("&Write files …"), "Ctrl+Shift+E", lambda: self._pane().write_files())
        self._choices: list[QAction] = []
        self.rooms = [
            self._action(room_title(name), f"Ctrl+{number}", partial(self._show_room, name), name.value)
            for number, name in enumerate(RoomName, start=1)
        ]
        self._fill()

    @property
    def season_actions(self) -> list[QAction]:
        """The commands that an open season has, for find-anything."""
        return [self.undo, self.redo, self.history, self.copy, self.paste, self.export, self.close, *self._choices]

    def set_colours(self, colours: Colours) -> None:
        """Draw the icons in another palette."""
        for action, name in self._icons:
            action.setIcon(icon(name, colours))

    def show_season(self, pane: SeasonPane | None) -> None:
        """Offer what can be done with that season; None: no season is open."""
        of_season = (self.find, self.history, self.roads, self.bring, self.paste, self.export, self.copy, self.close)
        for action in (*of_season, *self.rooms):
            action.setEnabled(pane is not None)
        self.history.setChecked(False)
        if pane is not None:
            pane.desk.session.snapshot_changed.connect(self._show_steps)
            self._show_steps(pane.desk.session.snapshot)
        else:
            self._show_steps(None)

    def _show_steps(self, snapshot: Snapshot | None) -> None:
        back = snapshot.undo_label if snapshot is not None and not snapshot.read_only_reason else ""
        forth = snapshot.redo_label if snapshot is not None and not snapshot.read_only_reason else ""
        self.undo.setEnabled(bool(back))
        self.redo.setEnabled(bool(forth))
        self.undo.setText(self.tr("&Undo: %1").replace("%1", back) if back else self.tr("&Undo"))
        self.redo.setText(self.tr("&Redo: %1").replace("%1", forth) if forth else self.tr("&Redo"))
        self.undo.setToolTip(self.undo.text().replace("&", "") if back else self.tr("There is nothing to undo"))
        self.redo.setToolTip(self.redo.text().replace("&", "") if forth else self.tr("There is nothing to redo"))

    def _fill(self) -> None:
        window, bar = self._window, self._window.menuBar()
        season = bar.addMenu(self.tr("&File"))
        season.addAction(self._action(self.tr("&New season …"), QKeySequence.StandardKey.New, window.new_season))
        season.addAction(self._action(self.tr("&Open a season …"), QKeySequence.StandardKey.Open, window.choose_season))
        season.addMenu(self.recent)
        self.recent.aboutToShow.connect(self._fill_recent)
        season.addAction(self._action(self.tr("Open the &demo"), "", window.open_demo))
        season.addSeparator()
        season.addActions([self.bring, self.paste, self.export])
        season.addSeparator()
        season.addAction(self.roads)
        season.addAction(self.copy)
        season.addAction(self.close)
        season.addAction(self._action(self.tr("&Quit"), QKeySequence.StandardKey.Quit, window.close))
        edit = bar.addMenu(self.tr("&Edit"))
        edit.addActions([self.undo, self.redo])
        edit.addSeparator()
        edit.addAction(self.find)
        go = bar.addMenu(self.tr("&Go"))
        go.addActions(self.rooms)
        view = bar.addMenu(self.tr("&View"))
        view.addAction(self.history)
        self._fill_choice(view.addMenu(self.tr("&Palette")), "palette", self._palettes(), window.choose_palette)
        units = {Units.METRIC.value: self.tr("&Metric units"), Units.IMPERIAL.value: self.tr("&Imperial units")}
        # Kept here: the menu bar alone does not keep it alive.
        self._buttons = self._corner()
        bar.setCornerWidget(self._buttons)
        self._fill_choice(
            view.addMenu(self.tr("&Units")), "units", units, lambda name: window.choose_units(Units(name))
        )

    def _corner(self) -> QWidget:
        """Return the three commands that are wanted all the time, as buttons beside the menus."""
        corner = QWidget()
        row = QHBoxLayout(corner)
        row.setContentsMargins(0, 2, 8, 2)
        row.setSpacing(4)
        for action in (self.undo, self.redo, self.find):
            button = QToolButton()
            button.setDefaultAction(action)
            button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonIconOnly)
            # Keys and menus lead there; without the keyboard they never catch it when what had it goes.
            button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            button.setProperty("keyboard", action.shortcut().toString())
            row.addWidget(button)
        return corner

    def _palettes(self) -> dict[str, str]:
        return {
            "system": self.tr("Palette as the &system has it"),
            "light": self.tr("&Light palette"),
            "dark": self.tr("&Dark palette"),
        }

    def _fill_choice(self, menu: QMenu, key: str, names: dict[str, str], choose: Callable[[str], None]) -> None:
        group = QActionGroup(self)
        chosen = self._window.settings.value(key, next(iter(names)))
        for name, words in names.items():
            action = self._action(words, "", partial(choose, name))
            action.setCheckable(True)
            action.setChecked(name == chosen)
            group.addAction(action)
            menu.addAction(action)
            self._choices.append(action)

    def _fill_recent(self) -> None:
        self.recent.clear()
        for path in self._window.settings.recent():
            self.recent.addAction(str(path), partial(self._window.open_season, path))
        if self.recent.isEmpty():
            self.recent.addAction(self.tr("None yet")).setEnabled(False)

    def _action(
        self, words: str, key: QKeySequence.StandardKey | str, do: Callable[[], object], drawing: str = ""
    ) -> QAction:
        action = QAction(words, self._window)
        action.setShortcut(QKeySequence(key))
        action.triggered.connect(lambda _checked: do())
        if drawing:
            self._icons.append((action, drawing))
        return action

    def _pane(self) -> SeasonPane:
        pane = self._window.pane
        if pane is None:
            raise RuntimeError("this is offered only while a season is open")
        return pane

    def _undo(self) -> None:
        desk = self._pane().desk
        desk.session.undo(lambda step: desk.say(self.tr("Taken back: %1").replace("%1", step.label)))

    def _redo(self) -> None:
        desk = self._pane().desk
        desk.session.redo(lambda step: desk.say(self.tr("Done again: %1").replace("%1", step.label)))

    def _find(self) -> None:
        self._pane().find_anything()

    def _history(self) -> None:
        self._pane().history.setVisible(self.history.isChecked())

    def _show_roads(self) -> None:
        """Turn to the road map, which is a page of the Season room."""
        from planner.desktop.season.room import SeasonRoom

        pane = self._pane()
        pane.enter_room(RoomName.SEASON)
        room = pane.room(RoomName.SEASON)
        if isinstance(room, SeasonRoom):
            room.pages.turn_to_roads()

    def _show_room(self, name: RoomName) -> None:
        self._pane().enter_room(name)
