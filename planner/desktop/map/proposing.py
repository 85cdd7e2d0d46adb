"""A proposal on the map, and places picked for it by mouse or keyboard."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, QPointF, Qt, Signal
from PySide6.QtGui import QKeyEvent

from planner.desktop.map.proposal_layer import CrossHairLayer, ProposalLayer
from planner.desktop.map.surface import Layer
from planner.desktop.map.things import MapProposal

if TYPE_CHECKING:
    from planner.desktop.map.view import MapView


class Proposing(QObject):
    """Shows what is proposed; while places are picked, a click means a place, whatever lies under it."""

    place_picked = Signal(object)
    """The Place that was clicked, or that lies under the cross-hair as Enter is pressed."""

    def __init__(self, view: MapView) -> None:
        super().__init__(view)
        self._view = view
        self._layer: ProposalLayer | None = None
        self._picking = False
        self._by_keys = False
        view.installEventFilter(self)

    @property
    def is_picking(self) -> bool:
        """Whether a click picks a place."""
        return self._picking

    @property
    def has_cross_hair(self) -> bool:
        """Whether Enter picks the place in the middle of the map."""
        return self._picking and self._by_keys and self._view.hasFocus()

    @property
    def shown(self) -> MapProposal | None:
        """What is shown."""
        return None if self._layer is None else self._layer.proposal

    def show(self, proposal: MapProposal | None) -> None:
        """Show a proposal; None: none."""
        if proposal is not None:
            self._view.settle_ground([*proposal.pins, *proposal.line])
        self._layer = None if proposal is None else ProposalLayer(proposal, self._view.ground)
        self._lay_out()

    def pick_places(self, picking: bool) -> None:
        """Let clicks pick places, or mean again what lies under them."""
        self._picking, self._by_keys = picking, False
        self._view.setCursor(Qt.CursorShape.CrossCursor if picking else Qt.CursorShape.ArrowCursor)
        self._lay_out()

    def pick(self, spot: QPointF) -> None:
        """Pick the place at a spot of the window."""
        self._by_keys = False
        self._lay_out()
        self.place_picked.emit(self._view.ground.place(*self._view.camera.metres(spot)))

    def pressed(self, event: QKeyEvent) -> bool:
        """Pick the place under the cross-hair with Enter, any key brings it; return whether the key did its part."""
        if not self._picking:
            return False
        had, self._by_keys = self.has_cross_hair, True
        self._lay_out()
        if event.key() not in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            return False
        if had:
            middle = QPointF(self._view.width() / 2, self._view.height() / 2)
            self.place_picked.emit(self._view.ground.place(*self._view.camera.metres(middle)))
        return True

    def words_at(self, spot: QPointF) -> str:
        """Return what of the proposal lies under a spot of the window; empty where nothing does."""
        return "" if self._layer is None else self._layer.words_at(self._view.camera, spot)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Show the cross-hair only where the map has the keyboard."""
        if watched is self._view and event.type() is QEvent.Type.FocusOut and self._by_keys:
            self._by_keys = False
            self._lay_out()
        return super().eventFilter(watched, event)

    def _lay_out(self) -> None:
        layers: list[Layer | None] = [self._layer, CrossHairLayer() if self.has_cross_hair else None]
        self._view.on_top = [layer for layer in layers if layer is not None]
        self._view.lay_out()
