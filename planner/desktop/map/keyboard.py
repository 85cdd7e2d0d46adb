"""The keyboard on the map."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent

from planner.desktop.map.hand import STEPS_A_NOTCH

if TYPE_CHECKING:
    from planner.desktop.map.view import MapView

PUSH_PX = 80.0
_ARROWS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}
_SIGNS = {Qt.Key.Key_Plus: 1, Qt.Key.Key_Equal: 1, Qt.Key.Key_Minus: -1, Qt.Key.Key_Underscore: -1}
_PAGES = {Qt.Key.Key_PageDown: 1, Qt.Key.Key_PageUp: -1}


def pressed(view: MapView, event: QKeyEvent) -> bool:
    """Do what a key stands for; return whether it stands for anything here.

    Arrows push the ground, with Alt they move the selected point; + and - zoom; Home or F shows all, with Shift the
    selected route; Page Down and Page Up go from point to point, with Ctrl from route to route; Enter drops the point
    that is carried, or chooses the selected one; Escape brings it back. While places are picked, Enter picks the one
    under the cross-hair.
    """
    if view.proposing.pressed(event):
        return True
    key = Qt.Key(event.key())
    ctrl = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
    if key in _ARROWS:
        return _arrow(view, event, _ARROWS[key])
    if key in _SIGNS and not ctrl:
        view.zoom(_SIGNS[key] * STEPS_A_NOTCH)
    elif key in _PAGES:
        view.step(_PAGES[key], by_route=ctrl)
    elif key in (Qt.Key.Key_Home, Qt.Key.Key_F) and not ctrl:
        _fit(view, event)
    elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
        return view.drop() or view.choose_selected()
    elif key == Qt.Key.Key_Escape:
        return view.give_up()
    else:
        return False
    return True


def _arrow(view: MapView, event: QKeyEvent, direction: tuple[int, int]) -> bool:
    held = event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
    if held == Qt.KeyboardModifier.AltModifier:
        return view.carry_by(*direction)
    if held != Qt.KeyboardModifier.NoModifier:
        return False
    view.push(-direction[0] * PUSH_PX, -direction[1] * PUSH_PX)
    return True


def _fit(view: MapView, event: QKeyEvent) -> None:
    code = view.selected[0]
    if event.modifiers() & Qt.KeyboardModifier.ShiftModifier and code:
        view.fit_route(code)
    else:
        view.fit_all()
