"""The preview of many photos: which sheet each belongs to and why, which are left, and nothing changed until then."""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from planner.desktop.desk import Desk
from planner.desktop.look.tables import give_shares, plain_table
from planner.desktop.look.words import heading, title
from planner.desktop.sheets.back_model import TextModel, TextRow
from planner.desktop.sheets.bring_in import BringIn
from planner.desktop.sheets.words import tr
from planner.domain.field.sheet_places import habitat_visits
from planner.store import Changed
from planner.usecases.sheets.photo_batch import PhotosFound, attach_found, find_photos, pictures_in
from planner.usecases.sheets.photo_ground import PhotoGround

_SHARES = (0.2, 0.42)
"""Of the width, for all columns but the last."""


@dataclass(frozen=True, slots=True)
class Here:
    """The point that is stood on: all photos may go there instead."""

    words: str
    attach: Callable[[], None]


class BringPhotos(BringIn):
    """Looks at photos in the background, shows what they belong to, and attaches them once a person says so."""

    attached = Signal(object)
    """The Changed."""
    _looked_at = Signal(int, int)

    def __init__(
        self, desk: Desk, paths: Sequence[Path], here: Here | None = None, parent: QWidget | None = None
    ) -> None:
        again = tr("Close this, see to what is said above, and bring the photos in again.")
        super().__init__(desk, tr("Bring photos in"), tr("Attach"), again, parent)
        self._paths = tuple(paths)
        self._stop = threading.Event()
        self.found: PhotosFound | None = None
        """What they belong to; None while they are being looked at."""
        self.placed = TextModel((tr("Photo"), tr("Goes to the sheet of"), tr("Because")), self)
        self.left = TextModel((tr("Photo"), tr("Why it is left"), tr("What to do")), self)
        self.placed_view = plain_table(self.placed, tr("Photos that will be attached"), 2)
        self.left_view = plain_table(self.left, tr("Photos that are left"), 2)
        give_shares(self.left_view, _SHARES, self.width())
        self.left_title = heading(tr("Photos that are left"))
        self.visit = self._visits()
        self.here = QPushButton(tr("All to %1", here.words)) if here is not None else None
        self._lay_out(here)
        self._looked_at.connect(self._say_progress)
        self.finished.connect(lambda _result: self._stop.set())
        self.visit.currentIndexChanged.connect(lambda _at: self._look())
        self._look()

    def _look(self) -> None:
        """Look at the photos, after what is typed stands in the file."""
        self._stop.set()
        self._stop = stop = threading.Event()
        visit, paths = self.visit.currentData(), self._paths
        self.found = None
        self._say_keep(tr("The photos are still being looked at."))
        self.stands.setText(tr("Looking at the photos …"))

        def on_photo(done: int, of: int) -> bool:
            if not stop.is_set():
                self._looked_at.emit(done, of)
            return not stop.is_set()

        def look(ground: PhotoGround) -> None:
            self._desk.session.think_long(
                lambda: find_photos(ground, pictures_in(paths), visit, on_photo),
                lambda found: self._show(found, stop),
                words=tr("Looking at photos"),
                stop=stop,
                owner=self,
                failed=self._failed,
            )

        self._desk.session.handing_over.emit()
        self._desk.session.ask(PhotoGround.of, look, owner=self, failed=self._failed)

    def _show(self, found: PhotosFound, stop: threading.Event) -> None:
        if stop is not self._stop:
            return
        self.found = found
        self.placed.show([_row(one.path, str(one.key), one.why) for one in found.found])
        there = [_row(one.path, one.why, tr("Nothing: it is there")) for one in found.there]
        self.left.show([*(_row(one.path, one.why, one.todo) for one in found.left), *there])
        self.left_view.setVisible(bool(found.left or found.there))
        self.left_title.setVisible(bool(found.left or found.there))
        self.stands.setText(_stands(found))
        why_not = "" if found.found else tr("There is nothing to attach.")
        self._say_keep(self._desk.session.snapshot.read_only_reason or why_not)

    def _say_progress(self, done: int, of: int) -> None:
        if self.found is None:
            self.stands.setText(tr("Looking at the photos … %1 of %2", done, of))

    def _attach(self) -> None:
        found = self.found
        if found is None:
            return
        self._say_keep(tr("They are being attached."))
        self._desk.session.do(
            lambda file: attach_found(file, found), self._has_attached, self._failed, tr("Attaching photos")
        )

    def _has_attached(self, changed: Changed) -> None:
        self.attached.emit(changed)
        self._be_done()

    def _attach_here(self, here: Here) -> None:
        here.attach()
        self._be_done()

    def _visits(self) -> QComboBox:
        box = QComboBox()
        box.setAccessibleName(tr("Which visit the photos are of"))
        box.addItem(tr("the visit of their date"), None)
        for number in habitat_visits(self._desk.session.snapshot.season.protocol):
            box.addItem(tr("visit %1, all of them", number), number)
        return box

    def _lay_out(self, here: Here | None) -> None:
        self.left_view.hide()
        self.left_title.hide()
        self.keep.clicked.connect(lambda _checked: self._attach())
        if self.here is not None and here is not None:
            self.here.setToolTip(tr("Attach all of them to the point that you stand on, wherever they were taken"))
            self.here.clicked.connect(lambda _checked: self._attach_here(here))
        of = QLabel(tr("The photos are of"))
        of.setBuddy(self.visit)
        row = QHBoxLayout()
        row.addWidget(of)
        row.addWidget(self.visit)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 14, 16, 14)
        column.setSpacing(10)
        column.addWidget(title(tr("Photos that came back")))
        column.addWidget(self.stands)
        column.addLayout(row)
        column.addWidget(self.placed_view, 3)
        column.addWidget(self.left_title)
        column.addWidget(self.left_view, 2)
        column.addWidget(self._buttons(self.here))


def _row(path: Path, what: str, why: str) -> TextRow:
    return TextRow((path.name, what, why), f"{path}: {what}. {why}")


def _stands(found: PhotosFound) -> str:
    """Return what became of the photos, in a sentence or two."""
    said = [tr("%1.", found.words)]
    if found.other_files:
        said.append(tr("Other files in the folder, which are no photos: %1.", found.other_files))
    if found.found:
        said.append(tr("Nothing is changed yet. Attaching them is one step, and Ctrl+Z takes it back."))
    return " ".join(said)
