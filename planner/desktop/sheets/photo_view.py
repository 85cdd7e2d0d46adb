"""One photo as large as the page."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.words import heading
from planner.desktop.sheets.photo_images import PhotoImages
from planner.desktop.sheets.words import tr
from planner.domain.field.habitat_sheet import HabitatSheet
from planner.usecases.sheets import photo_path
from planner.usecases.sheets.photo_places import photo_metres

LARGE = 1800
"""Pixels that a large picture is read in at most."""


class PhotoView(QWidget):
    """A photo, and the way to the next one and back; the arrow keys turn, Escape goes back."""

    left = Signal()
    """A person wants back to the sheets."""

    def __init__(self, desk: Desk, images: PhotoImages, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._images = images
        self._sheet: HabitatSheet | None = None
        self._at = 0
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(tr("Photo"))
        self.title = heading()
        self._back = QPushButton(tr("Back to the sheets"))
        self._back.clicked.connect(self.left)
        self._previous, self._next = QPushButton(tr("Photo before")), QPushButton(tr("Next photo"))
        self._previous.clicked.connect(lambda: self._turn(-1))
        self._next.clicked.connect(lambda: self._turn(1))
        row = QHBoxLayout()
        row.addWidget(self.title, 1)
        for button in (self._previous, self._next, self._back):
            row.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(row)
        column.addStretch(1)
        images.read.connect(lambda _path: self.update())

    def show_photo(self, sheet: HabitatSheet, at: int) -> None:
        """Show one of the photos of a sheet."""
        self._sheet, self._at = sheet, at
        self._turn(0)
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Turn with the arrows; Escape goes back."""
        if event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        elif event.key() in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            self._turn(-1 if event.key() == Qt.Key.Key_Left else 1)
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the photo under its title, whole."""
        super().paintEvent(event)
        if self._sheet is None:
            return
        photo = self._sheet.photos[self._at]
        image = self._images.picture(photo_path(self._desk.session.snapshot.path, photo), LARGE)
        box = self.rect().adjusted(0, self._back.height() + 10, 0, 0)
        painter = QPainter(self)
        if image is None or image.isNull():
            words = tr("Reading the photo …") if image is None else tr("The picture is gone, or damaged.")
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)
            return
        size = image.size().scaled(box.size(), Qt.AspectRatioMode.KeepAspectRatio)
        box.setLeft(box.left() + (box.width() - size.width()) // 2)
        box.setSize(size)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.drawImage(box, image)

    def _turn(self, way: int) -> None:
        sheet = self._sheet
        if sheet is None:
            return
        self._at = min(max(0, self._at + way), len(sheet.photos) - 1)
        first, last = self._at == 0, self._at == len(sheet.photos) - 1
        self._previous.setEnabled(not first)
        self._previous.setToolTip(tr("It is the first photo.") if first else "")
        self._next.setEnabled(not last)
        self._next.setToolTip(tr("It is the last photo.") if last else "")
        photo = sheet.photos[self._at]
        metres = photo_metres(self._desk.session.snapshot.season, sheet.key, photo)
        away = tr(", %1 from the point", self._desk.units.short_length(metres)) if metres is not None else ""
        self.title.setText(tr("%1 of %2: %3%4", self._at + 1, len(sheet.photos), photo.name, away))
        self.setAccessibleDescription(self.title.text())
        self.update()
