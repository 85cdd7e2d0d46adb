"""One open season in the window: the list of rooms, the room that is shown, messages, history and the status line."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial

from PySide6.QtCore import QMimeData, Qt, QTimer, Signal
from PySide6.QtGui import QAction, QDragEnterEvent, QDropEvent, QGuiApplication
from PySide6.QtWidgets import QHBoxLayout, QSplitter, QStackedWidget, QVBoxLayout, QWidget

from planner.desktop.collecting import Collecting
from planner.desktop.desk import Desk
from planner.desktop.look.low import low
from planner.desktop.look.words import quiet
from planner.desktop.paper.watch import PaperWatch
from planner.desktop.room import OpenFindings, Room, RoomName
from planner.desktop.rule_rooms import room_of
from planner.desktop.window.find import FindAnything
from planner.desktop.window.findables import Findable, matching, of_date, of_season
from planner.desktop.window.history_pane import HistoryPane
from planner.desktop.window.message_bar import MessageBar
from planner.desktop.window.room_list import RoomList
from planner.desktop.window.rooms import is_loaded, load_room, make_room, room_title
from planner.desktop.window.standing import standing
from planner.desktop.window.status_line import StatusLine
from planner.domain.errors import DimpsyError
from planner.domain.finding import Severity, Subject

NEXT_ROOM_MS = 30
"""Between two rooms that are made ahead of being shown: time for the window to answer."""


class SeasonPane(QWidget):
    """Everything about one season; rooms are made when they are first shown, or ahead of it when nothing else is on."""

    room_changed = Signal(object)
    """The RoomName that is shown now."""

    def __init__(self, desk: Desk, first: RoomName, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.setAcceptDrops(True)
        self._made: dict[RoomName, Room] = {}
        self._shown = first
        self.rooms = RoomList(desk.colours)
        self._stack = QStackedWidget()
        self._waiting = low(quiet())
        self._stack.addWidget(self._waiting)
        self.messages = MessageBar(desk.colours)
        self.history = HistoryPane(desk)
        self.history.hide()
        self.status = StatusLine(desk.session, desk.colours)
        self._lay_out()
        self.rooms.chosen.connect(self.show_room)
        desk.went.connect(self._go)
        desk.said.connect(self.status.say)
        desk.look_changed.connect(self._dress)
        session = desk.session
        session.failed.connect(self._show_failure)
        session.snapshot_changed.connect(lambda _snapshot: self._show_news())
        session.checked_changed.connect(lambda _checked: self._show_open())
        PaperWatch.of(desk).changed.connect(self._show_news)
        self._show_news()
        # The frame is painted before the first room is made: neither keeps the window from its events for long.
        QTimer.singleShot(0, self, lambda: self.show_room(first))
        self._ahead = QTimer(self)
        self._ahead.setInterval(NEXT_ROOM_MS)
        self._ahead.timeout.connect(self._make_next)
        collecting = Collecting.of_application()
        if collecting is not None and not all(map(is_loaded, RoomName)):
            collecting.hold()
        session.think_long(_load_rooms, lambda _none: self._ahead.start(), words="", owner=self)

    @property
    def shown(self) -> RoomName:
        """The room that is shown."""
        return self._shown

    @property
    def is_furnished(self) -> bool:
        """Whether every room has been made."""
        return len(self._made) == len(RoomName)

    def room(self, name: RoomName) -> Room:
        """Return a room, made now if it was not."""
        if name not in self._made:
            self._made[name] = make_room(name, self.desk)
            self._stack.addWidget(self._made[name])
            self._made[name].open_changed.connect(self._show_open)
        return self._made[name]

    def show_room(self, name: RoomName) -> None:
        """Show a room, as soon as it is made."""
        self._turn_to(name, lambda: None)

    def enter_room(self, name: RoomName) -> None:
        """Show a room and give it the keyboard, so that its own keys work at once."""
        self._turn_to(name, lambda: self._give_keyboard(name))

    def _turn_to(self, name: RoomName, then: Callable[[], None]) -> None:
        """Show a room and do something with it.

        One that is not made yet is loaded on another thread, then made, then shown: each in a turn of its own, so that
        the window answers meanwhile.
        """
        self._shown = name
        self.rooms.show_current(name)
        if name in self._made:
            self._show_made(name, then)
            return
        self._waiting.setText(self.tr("%1 is being made ready …").replace("%1", room_title(name)))
        self._stack.setCurrentWidget(self._waiting)
        self.desk.session.think(lambda: load_room(name), lambda _none: self._make_wanted(name, then), owner=self)

    def _make_wanted(self, name: RoomName, then: Callable[[], None]) -> None:
        if self._shown is name:
            self.room(name)
            self.desk.session.think(lambda: None, lambda _none: self._show_made(name, then), owner=self)

    def _show_made(self, name: RoomName, then: Callable[[], None]) -> None:
        """Show a room that is made, unless another one was turned to."""
        if self._shown is name:
            self._stack.setCurrentWidget(self.room(name))
            self.room_changed.emit(name)
            then()

    def _give_keyboard(self, name: RoomName) -> None:
        room = self.room(name)
        focused: QWidget | None = self.focusWidget()
        if focused is None or not room.isAncestorOf(focused):
            room.setFocus(Qt.FocusReason.OtherFocusReason)

    def find_anything(self) -> None:
        """Open the line that finds routes, volunteers, dates, rooms and commands."""
        dialog = FindAnything(self.search, self)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open()

    def search(self, query: str) -> Sequence[Findable]:
        """Return what a query finds, the best first."""
        season = self.desk.session.snapshot.season
        dates = list(of_date(query, season, self._go, self.tr("date")))
        others = [
            *self._findable_rooms(),
            *of_season(season, self._go, (self.tr("route"), self.tr("volunteer"))),
            *self._findable_commands(),
        ]
        return [*dates, *matching(query, others)]

    def choose_files(self) -> None:
        """Ask for files, and show what they would bring."""
        from planner.desktop.importing import ImportPreview, choose_files

        paths = choose_files(self)
        if paths:
            ImportPreview(self.desk, paths, self).open()

    def paste(self) -> None:
        """Show what the files or the text on the clipboard would bring."""
        if not self._bring_in(QGuiApplication.clipboard().mimeData()):
            self.desk.say(self.tr("There are no files and no text on the clipboard."))

    def write_files(self) -> None:
        """Ask which routes to write as which files, and where to."""
        from planner.desktop.exporting import WriteFiles

        WriteFiles(self.desk, self).open()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take files and text that are dragged in, whatever room is shown."""
        data = event.mimeData()
        if (data.hasUrls() or data.hasText()) and not self.desk.session.snapshot.read_only_reason:
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Show what the files or the text would bring."""
        event.acceptProposedAction()
        self._bring_in(event.mimeData())

    def _bring_in(self, data: QMimeData) -> bool:
        """Show what data would bring; return whether there is anything in it that can be looked at."""
        from planner.desktop.importing import ImportPreview, Incoming

        incoming = Incoming.of(data)
        if incoming:
            ImportPreview(self.desk, incoming, self).open()
        return bool(incoming)

    def _findable_rooms(self) -> Iterator[Findable]:
        for name in RoomName:
            yield Findable(room_title(name), self.tr("room"), partial(self._go, name, Subject()))

    def _findable_commands(self) -> Iterator[Findable]:
        actions: list[tuple[RoomName | None, QAction]] = [(None, action) for action in self.actions()]
        for made, room in self._made.items():
            actions += [(made, action) for action in room.commands()]
        for name, action in actions:
            words = action.text().replace("&", "")
            if words:
                kind = self.tr("command") if name is None else f"{self.tr('command')}, {room_title(name)}"
                why_not = "" if action.isEnabled() else action.toolTip() or self.tr("Not possible now")
                yield Findable(words, kind, partial(self._give, name, action), why_not=why_not)

    def _give(self, name: RoomName | None, action: QAction) -> None:
        if name is not None:
            self.enter_room(name)
        action.trigger()

    def _go(self, name: RoomName, subject: Subject) -> None:
        """Go to a room at once: what sends a person there may ask something of it in the same breath."""
        self.room(name)
        self.enter_room(name)
        if subject != Subject():
            self.room(name).show_subject(subject)

    def _make_next(self) -> None:
        waiting = [name for name in RoomName if name not in self._made]
        if not waiting:
            self._ahead.stop()
            collecting = Collecting.of_application()
            if collecting is not None:
                collecting.settle()
        elif not self.desk.session.working:
            self.room(waiting[0])

    def _show_failure(self, error: DimpsyError) -> None:
        self.messages.show_message(str(error))

    def _show_news(self) -> None:
        session = self.desk.session
        self.status.show_stands(f"{standing(session.snapshot)} {self._next_words()}".rstrip())

    def _next_words(self) -> str:
        """Return what to do next; nothing before the findings are there, for it hangs on them."""
        session = self.desk.session
        if session.checked is None:
            return ""
        from planner.desktop.season.words import step_words
        from planner.usecases.season_news import what_next

        found, watch = session.snapshot, PaperWatch.of(self.desk)
        papers = watch.papers if watch.fresh else None
        step = what_next(found.season, found.plan, session.checked, papers, self.desk.today()).first
        return self.tr("Next: %1").replace("%1", step_words(step).say)

    def _show_open(self) -> None:
        checked = self.desk.session.checked
        found = [one for one in checked.findings if one.severity <= Severity.DOUBT] if checked is not None else []
        open_here: dict[RoomName, list[Severity]] = {}
        for finding in found:
            open_here.setdefault(room_of(finding.rule), []).append(finding.severity)
        for name, room in self._made.items():
            more = room.open_here()
            if more is not None:
                open_here.setdefault(name, []).extend([more.worst] * more.count)
        self.rooms.set_open({name: OpenFindings(len(all_), min(all_)) for name, all_ in open_here.items()})
        self._show_news()

    def _dress(self) -> None:
        for part in (self.rooms, self.messages, self.status):
            part.set_colours(self.desk.colours)

    def _lay_out(self) -> None:
        beside = QSplitter(Qt.Orientation.Horizontal)
        beside.addWidget(self._stack)
        beside.addWidget(self.history)
        beside.setStretchFactor(0, 4)
        beside.setStretchFactor(1, 1)
        beside.setChildrenCollapsible(False)
        column = QVBoxLayout()
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.messages)
        column.addWidget(beside, 1)
        row = QHBoxLayout()
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(self.rooms)
        row.addLayout(column, 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(row, 1)
        whole.addWidget(self.status)


def _load_rooms() -> None:
    """Load the code of every room before it is asked for."""
    for name in RoomName:
        load_room(name)
