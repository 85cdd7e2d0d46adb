"""What stands under the grid: what the sheets say to each other, the photos of a point, the class key."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QTabWidget, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.sheets.findings_panel import FindingsPanel
from planner.desktop.sheets.key_panel import KeyPanel
from planner.desktop.sheets.photo_images import PhotoImages
from planner.desktop.sheets.photo_panel import PhotoPanel
from planner.desktop.sheets.words import tr
from planner.domain.field.habitat_sheet import HabitatSheet
from planner.domain.finding import Finding

_LEAST_HEIGHT = 150


class Beside(QTabWidget):
    """Three panels; each is made when it is first turned to, the first a moment after the grid."""

    correct = Signal(object)
    """The SheetKey of a sheet that is to be mended."""
    put = Signal(str)
    """Code of the class that is to take the rest of the point."""
    opened = Signal(str)
    """Code of the class whose cell is to be gone to."""
    left = Signal()
    """A person wants back to the grid."""
    wanted_large = Signal(object, int)
    """The HabitatSheet, and which of its photos."""

    def __init__(self, desk: Desk, images: PhotoImages, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._images = images
        self._route: tuple[str, Sequence[Finding]] = ("", ())
        self._sheet: HabitatSheet | None = None
        self._findings: FindingsPanel | None = None
        self._photos: PhotoPanel | None = None
        self._key: KeyPanel | None = None
        self._places = [QWidget() for _ in range(3)]
        for place, title in zip(self._places, (tr("Between visits"), tr("Photos"), tr("Class key")), strict=True):
            QVBoxLayout(place).setContentsMargins(0, 0, 0, 0)
            self.addTab(place, title)
        self.setAccessibleName(tr("Beside the grid"))
        self.tabBar().setAccessibleName(tr("Beside the grid"))
        self.setStyleSheet("QTabWidget::pane { border: 0; }")
        self.setMinimumHeight(_LEAST_HEIGHT)
        self.currentChanged.connect(lambda _tab: self._bring_up_to_date())
        # The grid is there first; neither keeps the window from its events for long.
        QTimer.singleShot(0, self, self._bring_up_to_date)

    @property
    def findings(self) -> FindingsPanel:
        """What the sheets of the route say to each other."""
        if self._findings is None:
            self._findings = FindingsPanel(self._desk, self._images, self._places[0])
            self._findings.correct.connect(self.correct)
            self._put_in(0, self._findings)
        return self._findings

    @property
    def photos(self) -> PhotoPanel:
        """The photos of the point."""
        if self._photos is None:
            self._photos = PhotoPanel(self._desk, self._images, self._places[1])
            self._photos.wanted_large.connect(self.wanted_large)
            self._put_in(1, self._photos)
            self._show_photos(self._photos)
        return self._photos

    @property
    def key(self) -> KeyPanel:
        """The class key."""
        if self._key is None:
            self._key = KeyPanel(self._places[2])
            self._key.put.connect(self.put)
            self._key.opened.connect(self.opened)
            self._key.left.connect(self.left)
            self._put_in(2, self._key)
            self._key.show_rule(self._desk.session.snapshot.season.protocol.habitat)
        return self._key

    def show_route(self, code: str, findings: Sequence[Finding]) -> None:
        """Show what is found on the sheets of a route."""
        self._route = (code, findings)
        self.setTabText(0, tr("Between visits (%1)", len(findings)))
        if self._findings is not None:
            self._findings.show_route(code, findings)

    def show_point(self, sheet: HabitatSheet | None) -> None:
        """Show what belongs to the point that is stood on."""
        self._sheet = sheet
        words = tr("Photos of point %1 (%2)", sheet.key.point, len(sheet.photos)) if sheet is not None else tr("Photos")
        self.setTabText(1, words)
        if self._findings is not None:
            self._findings.show_point(sheet.key if sheet is not None else None)
        if self._photos is not None:
            self._show_photos(self._photos)

    def show_season(self) -> None:
        """Follow the season's protocol."""
        if self._key is not None:
            self._key.show_rule(self._desk.session.snapshot.season.protocol.habitat)

    def ask_key(self) -> None:
        """Turn to the class key and begin it."""
        self.setCurrentIndex(2)
        self.key.begin()

    def take_pictures(self, paths: Sequence[Path]) -> None:
        """Turn to the photos, and attach some."""
        self.setCurrentIndex(1)
        self.photos.take(paths)

    def _bring_up_to_date(self) -> None:
        """Make the panel that is turned to, and show on it what there is."""
        tab = self.currentIndex()
        if tab == 0 and self._findings is None:
            self.findings.show_route(*self._route)
            self.findings.show_point(self._sheet.key if self._sheet is not None else None)
        elif tab == 1:
            self._show_photos(self.photos)
        elif tab == 2:
            self.key.setVisible(True)

    def _show_photos(self, photos: PhotoPanel) -> None:
        photos.show_sheet(self._sheet, self._desk.session.snapshot.read_only_reason)

    def _put_in(self, tab: int, panel: QWidget) -> None:
        layout = self._places[tab].layout()
        if layout is not None:
            layout.addWidget(panel)
        panel.show()
