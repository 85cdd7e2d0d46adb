"""The season at a glance: a strip of sky over all its dates, with the light window and everybody's outings in it."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QImage, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.season.strip_painting import StripScene, paint_strip
from planner.desktop.season.strip_places import LINE, StripPlaces
from planner.desktop.season.words import clock, out_words
from planner.domain.calendar import DateRange
from planner.usecases.evening.who_is_out import OutOn

if TYPE_CHECKING:
    from planner.usecases.season.sky import SeasonSky

_WEEK = 7


class SeasonStrip(QWidget):
    """Painted anew when the season, the plan or the size changes. A date is pointed at with the mouse or the arrows."""

    day_changed = Signal(object)
    """The date that is pointed at, or None."""
    day_chosen = Signal(object)
    """A date that was clicked, or entered with Enter."""

    def __init__(self, colours: Colours, dates: DateRange, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._colours = colours
        self._dates = dates
        self._visits: Sequence[DateRange] = ()
        self._sky: SeasonSky | None = None
        self._images: Sequence[QImage] = ()
        self._out: Mapping[dt.date, OutOn] = {}
        self._today = dates.first
        self._marked: dt.date | None = None
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName(self.tr("The season at a glance"))

    @property
    def day(self) -> dt.date | None:
        """The date that is pointed at."""
        return self._marked

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette; the sky stays as it is."""
        self._colours = colours
        self.update()

    def show_plan(
        self, dates: DateRange, visits: Sequence[DateRange], out: Mapping[dt.date, OutOn], today: dt.date
    ) -> None:
        """Show the dates of a season, those of its visits, and who is out when."""
        if dates != self._dates:
            self._sky, self._images = None, ()
        self._dates, self._visits, self._out, self._today = dates, visits, out, today
        if self._marked is not None and self._marked not in dates:
            self.point_at(None)
        self.update()

    def show_sky(self, sky: SeasonSky, images: Sequence[QImage]) -> None:
        """Show the sky of those dates; one that has been overtaken is left out."""
        if (sky.dates[0], sky.dates[-1]) == (self._dates.first, self._dates.last):
            self._sky, self._images = sky, images
            self.update()

    def words_for(self, day: dt.date) -> str:
        """Return what a date holds, in a sentence."""
        return out_words(day, self._out.get(day), self._window_words(day))

    def point_at(self, day: dt.date | None) -> None:
        """Point at a date; None: at none."""
        if day != self._marked:
            self._marked = day
            self.setAccessibleDescription("" if day is None else self.words_for(day))
            self.day_changed.emit(day)
            self.update()

    def sizeHint(self) -> QSize:
        """Wide and low."""
        return QSize(900, 300)

    def minimumSizeHint(self) -> QSize:
        """Room for the sky, the outings, the months and the key."""
        return QSize(420, round(LINE * (2 + len(self._visits))) + 130)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the strip."""
        painter = QPainter(self)
        paint_strip(painter, self._scene())
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(self.palette().accent().color(), 2.0))
            painter.drawRoundedRect(self.rect().adjusted(1, 1, -1, -1), 4.0, 4.0)
        painter.end()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Point at the date under the mouse."""
        self.point_at(self._places().day_at(event.position().x()))

    def leaveEvent(self, event: QEvent) -> None:
        """Point at nothing once the mouse has left, unless the keys point."""
        super().leaveEvent(event)
        if not self.hasFocus():
            self.point_at(None)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose the date under the mouse."""
        super().mousePressEvent(event)
        day = self._places().day_at(event.position().x())
        if day is not None and event.button() is Qt.MouseButton.LeftButton:
            self.point_at(day)
            self.day_chosen.emit(day)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Point at a date as soon as keys can move it."""
        super().focusInEvent(event)
        if self._marked is None and event.reason() is not Qt.FocusReason.MouseFocusReason:
            self.point_at(min(max(self._today, self._dates.first), self._dates.last))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move by days with left and right, by weeks with Page Up and Down, to the ends; Enter chooses."""
        steps = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1, Qt.Key.Key_PageUp: -_WEEK, Qt.Key.Key_PageDown: _WEEK}
        at, key = self._marked or self._dates.first, event.key()
        if key in steps:
            self._move_to(at + dt.timedelta(days=steps[Qt.Key(key)]))
        elif key in (Qt.Key.Key_Home, Qt.Key.Key_End):
            self._move_to(self._dates.first if key == Qt.Key.Key_Home else self._dates.last)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self.day_chosen.emit(at)
        else:
            super().keyPressEvent(event)

    def _move_to(self, day: dt.date) -> None:
        self.point_at(min(max(day, self._dates.first), self._dates.last))

    def _places(self) -> StripPlaces:
        panels = self._sky.panels if self._sky is not None else ()
        size = (float(self.width()), float(self.height()))
        return StripPlaces.fitting(size, self._dates, self._visits, panels, self._out)

    def _scene(self) -> StripScene:
        return StripScene(self._places(), self._images, self._out, self._today, self._marked, self._colours)

    def _window_words(self, day: dt.date) -> str:
        if self._sky is None or not self._sky.panels:
            return ""
        place = (day - self._dates.first).days
        spans = [
            f"{clock(float(band.opens[place]))}–{clock(float(band.closes[place]))}"
            for panel in self._sky.panels
            for band in panel.bands
            if math.isfinite(band.opens[place] + band.closes[place])
        ]
        if not spans:
            return self.tr("There is no light window.")
        return self.tr("Light window %1.").replace("%1", ", ".join(spans))
