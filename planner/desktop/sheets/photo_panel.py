"""The photos of the point that is stood on: attached, looked at, taken off."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QModelIndex, QSize, Qt, Signal
from PySide6.QtGui import QAction, QIcon, QPixmap, QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QListView, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.words import quiet
from planner.desktop.sheets.grid_head import action_button
from planner.desktop.sheets.own_list import OwnEnterList
from planner.desktop.sheets.photo_images import PhotoImages
from planner.desktop.sheets.words import tr
from planner.domain.errors import DimpsyError
from planner.domain.field.habitat_sheet import HabitatSheet, Photo, SheetState
from planner.usecases.sheets import Attached, attach_photos, detach_photo, photo_path
from planner.usecases.sheets.photo_places import photo_metres

THUMB = 112
PICTURE_ENDINGS = ("*.jpg", "*.jpeg", "*.png", "*.webp", "*.tif", "*.tiff", "*.heic")
_PHOTO_ROLE = Qt.ItemDataRole.UserRole


class PhotoPanel(QWidget):
    """Small pictures in a row; Enter or a click shows one large."""

    wanted_large = Signal(object, int)
    """The HabitatSheet, and which of its photos."""

    def __init__(self, desk: Desk, images: PhotoImages, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._images = images
        self._sheet: HabitatSheet | None = None
        self._why_not = ""
        self._rows = QStandardItemModel(self)
        self.view = self._made_view()
        self.attach = QAction(tr("Attach photos …"), self)
        self.attach.triggered.connect(lambda _checked=False: self._choose())
        self.detach = QAction(tr("Take the photo off"), self)
        self.detach.triggered.connect(lambda _checked=False: self._take_off())
        self.said = quiet()
        self._lay_out()
        images.read.connect(lambda _path: self._draw())
        self.view.selectionModel().currentChanged.connect(lambda _now, _before: self._judge())
        self.view.entered_one.connect(self._open)

    def show_sheet(self, sheet: HabitatSheet | None, why_not: str) -> None:
        """Show the photos of a sheet; ``why_not``: why nothing may be changed, empty where it may."""
        before, self._sheet, self._why_not = self._sheet, sheet, why_not
        photos = () if sheet is None else sheet.photos
        if before is None or sheet is None or before.photos != photos or before.key != sheet.key:
            self._fill(photos)
        self._judge()

    def take(self, paths: Sequence[Path]) -> None:
        """Attach pictures to the sheet that is shown, in one step."""
        sheet = self._sheet
        if sheet is None or not paths or self._why_not:
            self.said.setText(self._why_not or tr("Choose a point first."))
            return
        self._desk.session.do(
            lambda file: attach_photos(file, sheet.key, paths), self._attached, self._failed, tr("Attaching photos")
        )

    def _attached(self, attached: Attached) -> None:
        self.said.setText(". ".join(attached.notes) or tr("%1 attached.", len(attached.photos)))

    def _failed(self, error: DimpsyError) -> None:
        self.said.setText(str(error))

    def _fill(self, photos: Sequence[Photo]) -> None:
        self._rows.clear()
        for photo in photos:
            words = self._words(photo)
            item = QStandardItem(words)
            item.setData(photo, _PHOTO_ROLE)
            item.setToolTip(f"{words}\n{photo.taken}".strip())
            item.setEditable(False)
            self._rows.appendRow(item)
        self.view.setVisible(bool(photos))
        self.said.setText("" if photos else tr("No photos of this point yet. Attach them, or drop them here."))
        self._draw()

    def _draw(self) -> None:
        season = self._desk.session.snapshot.path
        for row in range(self._rows.rowCount()):
            item = self._rows.item(row)
            image = self._images.picture(photo_path(season, item.data(_PHOTO_ROLE)), 2 * THUMB)
            if image is not None:
                item.setIcon(QIcon(QPixmap.fromImage(image)))
                if image.isNull():
                    item.setText(tr("%1: the picture is gone or damaged", item.data(_PHOTO_ROLE).name))

    def _words(self, photo: Photo) -> str:
        key = self._sheet.key if self._sheet is not None else None
        metres = photo_metres(self._desk.session.snapshot.season, key, photo) if key is not None else None
        if metres is None:
            return tr("%1\nno position", photo.name)
        return tr("%1\n%2 from the point", photo.name, self._desk.units.short_length(metres))

    def _judge(self) -> None:
        none = tr("Choose a point first.") if self._sheet is None else ""
        final = self._sheet is not None and self._sheet.state is SheetState.FINAL
        locked = self._why_not or (tr("The sheet is handed in. Reopen it to change it.") if final else "")
        self._allow(self.attach, none or locked, tr("Pictures are copied beside the season file"))
        chosen = self.view.currentIndex().isValid()
        why_not = none or locked or ("" if chosen else tr("Choose a photo first."))
        self._allow(self.detach, why_not, tr("Take the photo off the sheet; Ctrl+Z puts it back"))

    def _allow(self, action: QAction, why_not: str, does: str) -> None:
        action.setEnabled(not why_not)
        action.setToolTip(why_not or does)

    def _choose(self) -> None:
        words = tr("Pictures (%1)", " ".join(PICTURE_ENDINGS))
        paths, _ = QFileDialog.getOpenFileNames(self, tr("Attach photos"), "", words)
        self.take([Path(path) for path in paths])

    def _take_off(self) -> None:
        sheet, photo = self._sheet, self.view.currentIndex().data(_PHOTO_ROLE)
        if sheet is not None and isinstance(photo, Photo):
            self._desk.session.do(lambda file: detach_photo(file, sheet.key, photo.content_hash), failed=self._failed)

    def _open(self, index: QModelIndex) -> None:
        if self._sheet is not None and index.isValid():
            self.wanted_large.emit(self._sheet, index.row())

    def _made_view(self) -> OwnEnterList:
        view = OwnEnterList()
        view.setModel(self._rows)
        view.setAccessibleName(tr("Photos of the point"))
        view.setViewMode(QListView.ViewMode.IconMode)
        view.setFlow(QListView.Flow.LeftToRight)
        view.setWrapping(False)
        view.setMovement(QListView.Movement.Static)
        view.setIconSize(QSize(THUMB, THUMB))
        view.setGridSize(QSize(THUMB + 48, THUMB + 2 * view.fontMetrics().height() + 14))
        view.setSpacing(6)
        return view

    def _lay_out(self) -> None:
        bar = QHBoxLayout()
        bar.addWidget(action_button(self.attach))
        bar.addWidget(action_button(self.detach))
        bar.addWidget(self.said, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 6, 0, 0)
        column.addLayout(bar)
        column.addWidget(self.view, 1)
        column.addStretch(0)
