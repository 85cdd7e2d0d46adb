"""Two sheets side by side: figures, bars, how much they share, their words and photos."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import QHBoxLayout, QHeaderView, QLabel, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.tables import plain_table
from planner.desktop.look.words import quiet
from planner.desktop.sheets.pair_model import PairColumn, PairModel, PairPainter
from planner.desktop.sheets.photo_images import PhotoImages
from planner.desktop.sheets.words import tr
from planner.domain.field.habitat_sheet import SheetKey
from planner.usecases.sheets import photo_path
from planner.usecases.sheets.pairs import SheetPair

_THUMB = 56
_LEAST_HEIGHT = 70
_MOST_THUMBS = 3


class PairView(QWidget):
    """The classes of two sheets in a table, with what else is on them below."""

    def __init__(self, desk: Desk, images: PhotoImages, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._images = images
        self._pair: SheetPair | None = None
        self.model = PairModel(self)
        self.table = plain_table(self.model, tr("The two sheets side by side"), PairColumn.SECOND)
        self.table.setItemDelegate(PairPainter(desk))
        header = self.table.horizontalHeader()
        header.setSectionResizeMode(PairColumn.FIRST, QHeaderView.ResizeMode.Stretch)
        self.table.setMinimumHeight(_LEAST_HEIGHT)
        self.said = quiet()
        self._thumbs = [QLabel() for _ in range(2 * _MOST_THUMBS)]
        self._lay_out()
        images.read.connect(lambda _path: self._draw())
        desk.look_changed.connect(self.table.viewport().update)

    def show_pair(self, pair: SheetPair | None) -> None:
        """Show two sheets; None: nothing."""
        self._pair = pair
        if pair is None:
            self.model.show(None, ("", ""))
            self.said.setText("")
        else:
            self.model.show(pair, names_apart(pair.first.key, pair.second.key))
            self.said.setText(_said(pair))
        self._draw()

    def _draw(self) -> None:
        pair, season = self._pair, self._desk.session.snapshot.path
        sheets = () if pair is None else (pair.first, pair.second)
        shown = [photo for sheet in sheets for photo in sheet.photos[:_MOST_THUMBS]]
        for at, label in enumerate(self._thumbs):
            image = self._images.picture(photo_path(season, shown[at]), 2 * _THUMB) if at < len(shown) else None
            there = image is not None and not image.isNull()
            label.setVisible(there)
            if image is not None and there:
                height = _THUMB
                small = QPixmap.fromImage(image).scaledToHeight(
                    round(height * self.devicePixelRatioF()), Qt.TransformationMode.SmoothTransformation
                )
                small.setDevicePixelRatio(self.devicePixelRatioF())
                label.setPixmap(small)
                label.setToolTip(shown[at].name)

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.addWidget(self.said, 1)
        for label in self._thumbs:
            row.addWidget(label)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.table, 1)
        column.addLayout(row)


def sheet_name(key: SheetKey) -> str:
    """Return what a sheet of the route is called beside another one."""
    by = f", {key.observer}" if key.observer else ""
    return tr("Visit %1 point %2%3", key.visit, key.point, by)


def names_apart(first: SheetKey, second: SheetKey) -> tuple[str, str]:
    """Return what two sheets are called by what tells them apart: a narrow column has no room for more."""
    apart = [
        (one, other)
        for one, other in (
            (tr("Visit %1", first.visit), tr("Visit %1", second.visit)),
            (tr("Point %1", first.point), tr("Point %1", second.point)),
            (first.observer or tr("Nobody named"), second.observer or tr("Nobody named")),
        )
        if one != other
    ]
    return ", ".join(one for one, _ in apart), ", ".join(other for _, other in apart)


def _said(pair: SheetPair) -> str:
    """Return how much two sheets share, and what else differs on them."""
    said = [] if pair.overlap_percent is None else [tr("They share %1 %.", f"{pair.overlap_percent:.0f}")]
    for words, first, second in (
        (tr("Grazed"), pair.first.grazed_percent, pair.second.grazed_percent),
        (tr("Livestock"), pair.first.livestock, pair.second.livestock),
    ):
        if first is not None or second is not None:
            said.append(f"{words}: {'–' if first is None else first} / {'–' if second is None else second}.")
    notes = " / ".join(sheet.note or "–" for sheet in (pair.first, pair.second))
    return " ".join([*said, *([tr("Notes: %1", notes)] if notes != "– / –" else [])])
