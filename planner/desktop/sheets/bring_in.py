"""What every preview of things that come back has in common: it says how they stand, keeps them or leaves them."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QPushButton, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.words import statement
from planner.desktop.sheets.words import tr
from planner.domain.errors import DimpsyError

_WIDTH, _HEIGHT, _MARGIN = 1060, 640, 40


class BringIn(QDialog):
    """Nothing is changed until a person says so, and then in one step."""

    def __init__(self, desk: Desk, heading: str, keep: str, again: str, parent: QWidget | None = None) -> None:
        """Make it; ``keep`` stands on the button that keeps things, ``again`` is what to do after a failure."""
        super().__init__(parent)
        self._desk = desk
        self._again = again
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(heading)
        room = self.screen().availableSize()
        self.resize(min(_WIDTH, room.width() - _MARGIN), min(_HEIGHT, room.height() - _MARGIN))
        self.stands = statement("")
        self.keep = QPushButton(keep)
        self.keep.setProperty("main", True)

    def _say_keep(self, why_not: str) -> None:
        self.keep.setEnabled(not why_not)
        self.keep.setToolTip(why_not or tr("One step; Ctrl+Z takes it back"))

    def _failed(self, error: DimpsyError) -> None:
        self.stands.setText(str(error))
        self._say_keep(self._again)

    def _be_done(self) -> None:
        self.accept()
        self.close()

    def _buttons(self, between: QPushButton | None = None) -> QDialogButtonBox:
        """Return the buttons at the foot: keep, what stands between, and leave."""
        buttons = QDialogButtonBox()
        for button in (self.keep, between):
            if button is not None:
                buttons.addButton(button, QDialogButtonBox.ButtonRole.ActionRole)
        leave = buttons.addButton(tr("Leave it"), QDialogButtonBox.ButtonRole.RejectRole)
        leave.setToolTip(tr("Close without changing anything"))
        buttons.rejected.connect(self.reject)
        return buttons
