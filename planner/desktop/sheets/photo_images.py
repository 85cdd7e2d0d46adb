"""Pictures of the ground, read small and off the interface thread."""

from __future__ import annotations

from collections import OrderedDict
from pathlib import Path

from PySide6.QtCore import QObject, QSize, Qt, Signal
from PySide6.QtGui import QImage, QImageReader

from planner.desktop.session import SeasonSession

MOST_KEPT = 96
"""Pictures kept in memory at a time."""
Wish = tuple[Path, int]
"""A picture, and the most pixels that it is wanted wide or high."""


class PhotoImages(QObject):
    """Reads pictures that are wished for, one after the other; each in no more pixels than it is wanted in."""

    read = Signal(object)
    """The path of a picture that is there now, or cannot be."""

    def __init__(self, session: SeasonSession, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._made: OrderedDict[Wish, QImage] = OrderedDict()
        self._asked: set[Wish] = set()

    def picture(self, path: Path, pixels: int) -> QImage | None:
        """Return a picture; None where it is still to be read: ``read`` follows. A null one cannot be read."""
        wish = (path, pixels)
        if wish in self._made:
            self._made.move_to_end(wish)
            return self._made[wish]
        if wish not in self._asked:
            self._asked.add(wish)
            self._session.think(lambda: read_small(path, pixels), lambda image: self._keep(wish, image), owner=self)
        return None

    def _keep(self, wish: Wish, image: QImage) -> None:
        self._asked.discard(wish)
        self._made[wish] = image
        while len(self._made) > MOST_KEPT:
            self._made.popitem(last=False)
        self.read.emit(wish[0])


def read_small(path: Path, pixels: int) -> QImage:
    """Return a picture no wider or higher than so many pixels, the right way up; a null one where it cannot be read."""
    reader = QImageReader(str(path))
    reader.setAutoTransform(True)
    size = reader.size()
    if size.isValid() and max(size.width(), size.height()) > pixels:
        reader.setScaledSize(size.scaled(QSize(pixels, pixels), Qt.AspectRatioMode.KeepAspectRatio))
    image = reader.read()
    if max(image.width(), image.height()) > pixels:
        image = image.scaled(pixels, pixels, Qt.AspectRatioMode.KeepAspectRatio)
    return image
