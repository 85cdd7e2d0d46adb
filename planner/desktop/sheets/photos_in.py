"""Many photos at once, and those that belong to no sheet: asked for, shown, attached or cleared away."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QFileDialog, QMenu, QMessageBox, QPushButton, QWidget

from planner.desktop.desk import Desk
from planner.desktop.sheets.bring_photos import BringPhotos, Here
from planner.desktop.sheets.words import tr
from planner.store import Changed
from planner.usecases.sheets.spare_photos import SparePhotos, clear_spare_photos, spare_photos

_MOST_NAMED = 200
"""Names of pictures that are listed before they are cleared."""


class PhotosIn:
    """The commands for photos of a whole season, under one button."""

    def __init__(self, desk: Desk, parent: QWidget) -> None:
        self._desk = desk
        self._parent = parent
        self.bring = QAction(tr("Bring a folder of photos in …"), parent)
        self.bring.triggered.connect(lambda _checked=False: self._choose())
        self.clear = QAction(tr("Clear pictures of no sheet …"), parent)
        self.clear.triggered.connect(lambda _checked=False: self.ask_clearing())
        self.button = QPushButton(tr("Photos"))
        self.button.setAccessibleName(tr("Photos of the whole season"))
        menu = QMenu(self.button)
        menu.setToolTipsVisible(True)
        menu.addActions([self.bring, self.clear])
        self.button.setMenu(menu)

    def judge(self) -> None:
        """Say what may be done, and why not."""
        found = self._desk.session.snapshot
        reason = found.read_only_reason
        if found.season.protocol.habitat is None:
            reason = reason or tr("The protocol asks for no habitat, so there are no sheets to attach photos to.")
        brings = tr("Each finds its point by position, name or time; a folder or many photos may be dropped here too")
        clears = tr("Lists the pictures beside the season that no sheet names and no undoing could bring back")
        for action, does in ((self.bring, brings), (self.clear, clears)):
            action.setEnabled(not reason)
            action.setToolTip(reason or does)
        self.button.setToolTip(reason or tr("Photos of many points at once"))

    def show(self, paths: Sequence[Path], here: Here | None = None) -> BringPhotos:
        """Show which sheets photos belong to."""
        preview = BringPhotos(self._desk, paths, here, self._parent)
        preview.attached.connect(self._say_attached)
        preview.open()
        return preview

    def ask_clearing(self) -> None:
        """List the pictures that belong to no sheet, and ask whether they are to go."""
        self._desk.session.handing_over.emit()
        self._desk.session.ask(spare_photos, self._ask, owner=self._parent, words=tr("Looking for spare pictures"))

    def _choose(self) -> None:
        folder = QFileDialog.getExistingDirectory(self._parent, tr("Which folder are the photos in?"))
        if folder:
            self.show([Path(folder)])

    def _ask(self, spare: SparePhotos) -> None:
        if not spare.paths:
            self._desk.say(tr("Every picture beside the season is on a sheet, in the history, or in a backup copy."))
            return
        asked = QMessageBox(self._parent)
        asked.setWindowTitle(tr("Pictures of no sheet"))
        asked.setText(tr("No sheet names them any more, nor could undoing bring them back: %1.", spare.words))
        asked.setInformativeText(tr("They are deleted from the disk for good: this is no step, and is not undone."))
        asked.setDetailedText("\n".join(str(path) for path in spare.paths[:_MOST_NAMED]))
        delete = asked.addButton(tr("Delete them"), QMessageBox.ButtonRole.DestructiveRole)
        leave = asked.addButton(tr("Leave them"), QMessageBox.ButtonRole.RejectRole)
        asked.setDefaultButton(leave)
        delete.clicked.connect(self._clear)
        asked.finished.connect(asked.deleteLater)
        asked.open()

    def _clear(self) -> None:
        self._desk.session.ask(clear_spare_photos, self._say_cleared, owner=self._parent)

    def _say_cleared(self, cleared: SparePhotos) -> None:
        self._desk.say(tr("Deleted: %1.", cleared.words))

    def _say_attached(self, changed: Changed) -> None:
        self._desk.say(tr("%1: done.", changed.label))
