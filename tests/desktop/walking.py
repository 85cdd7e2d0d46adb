"""Walks over every widget of a window: names, roles, keyboard ways, reasons for being disabled, words that are cut."""

from __future__ import annotations

import re
from collections.abc import Iterator

from PySide6.QtCore import Qt, QTranslator
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractScrollArea,
    QAbstractSlider,
    QAbstractSpinBox,
    QComboBox,
    QHeaderView,
    QLabel,
    QLineEdit,
    QMenu,
    QMenuBar,
    QScrollBar,
    QSplitterHandle,
    QTabBar,
    QWidget,
)

LONGER = 0.4
"""How much longer the pseudo-language is than English."""
_INNER = ("qt_spinbox_lineedit", "qt_scrollarea_viewport", "qt_toolbar_ext_button")
_GAP = re.compile(r"(\{[^}]*\}|%\w+)")
"""Places in a text that are filled in; no language changes them."""
_LETTERS = str.maketrans("aeiouAEIOUcnsy", "áéíóúÁÉÍÓÚçñšý")


class PseudoLanguage(QTranslator):
    """A language that says the same with accents, and 40 % longer; what is left in English is seen at once."""

    def translate(self, _context: str, text: str, _disambiguation: str | None = None, _number: int = -1) -> str:
        """Return the text in the pseudo-language."""
        if not text.strip():
            return text
        said = "".join(part if _GAP.fullmatch(part) else part.translate(_LETTERS) for part in _GAP.split(text))
        return f"{said}{'·' * max(1, round(len(text) * LONGER))}"

    def isEmpty(self) -> bool:
        """It has something to say."""
        return False


def shown(root: QWidget) -> Iterator[QWidget]:
    """Yield every widget below one that is on the screen."""
    for widget in root.findChildren(QWidget):
        if widget.isVisibleTo(root) and widget.width() > 0 and widget.height() > 0:
            yield widget


def acted_on(root: QWidget) -> Iterator[QWidget]:
    """Yield every widget on the screen that a person acts on."""
    kinds = (QAbstractButton, QAbstractItemView, QAbstractSlider, QAbstractSpinBox, QComboBox, QLineEdit, QTabBar)
    for widget in shown(root):
        if isinstance(widget, (QScrollBar, QHeaderView, QMenu, QMenuBar, QSplitterHandle)) or _is_part(widget):
            continue
        if isinstance(widget, kinds) or (
            widget.focusPolicy() & Qt.FocusPolicy.TabFocus and not isinstance(widget, QLabel)
        ):
            yield widget


def nameless(root: QWidget) -> list[str]:
    """Return what a screen reader would have no name or no role for."""
    found = []
    for widget in acted_on(root):
        spoken = QAccessible.queryAccessibleInterface(widget)
        if not spoken.text(QAccessible.Text.Name).strip():
            found.append(f"{_said(widget)}: no name")
        if spoken.role() is QAccessible.Role.NoRole:
            found.append(f"{_said(widget)}: no role")
    return found


def without_keys(root: QWidget) -> list[str]:
    """Return what the Tab key, or an arrow key within its group, does not reach."""
    return [
        _said(widget)
        for widget in acted_on(root)
        if widget.isEnabled() and not widget.focusPolicy() & Qt.FocusPolicy.TabFocus and not widget.property("keyboard")
    ]


def disabled_without_reason(root: QWidget) -> list[str]:
    """Return buttons that are disabled and do not say why."""
    return [
        _said(widget)
        for widget in acted_on(root)
        if isinstance(widget, QAbstractButton) and not widget.isEnabled() and not widget.toolTip().strip()
    ]


def clipped(root: QWidget) -> list[str]:
    """Return labels and buttons whose words do not fit in them."""
    return [f"{_said(widget)}: {_lack(widget)}" for widget in shown(root) if _lack(widget)]


def _lack(widget: QWidget) -> str:
    if isinstance(widget, QLabel) and widget.text():
        if widget.wordWrap():
            needed = widget.heightForWidth(widget.width())
            return f"{needed - widget.height()} px too low" if needed > widget.height() + 2 else ""
        needed = widget.sizeHint().width()
        return f"{needed - widget.width()} px too narrow" if needed > widget.width() + 2 else ""
    if isinstance(widget, QAbstractButton) and widget.text() and not _is_part(widget):
        needed = widget.minimumSizeHint().width()
        return f"{needed - widget.width()} px too narrow" if needed > widget.width() + 2 else ""
    return ""


def _is_part(widget: QWidget) -> bool:
    """Whether a widget is an inner part of another: a spin box's line, a view's viewport, a clear button."""
    if widget.objectName() in _INNER:
        return True
    parent = widget.parentWidget()
    if isinstance(parent, QAbstractScrollArea) and parent.viewport() is widget:
        return True
    return isinstance(parent, (QAbstractSpinBox, QComboBox, QLineEdit, QTabBar, QHeaderView)) or (
        isinstance(parent, QAbstractItemView) and isinstance(widget, QAbstractButton)
    )


def _said(widget: QWidget) -> str:
    text = getattr(widget, "text", lambda: "")()
    return f"{type(widget).__name__} {widget.objectName() or text!r} in {type(widget.parentWidget()).__name__}"
