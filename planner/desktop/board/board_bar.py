"""The bar above the board: plan, gather, zoom, and how the plan stands in words."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QMenu, QPushButton, QToolButton, QWidget

from planner.desktop.board.actions import BoardActions
from planner.desktop.board.lines import Fold
from planner.desktop.board.said import tr
from planner.desktop.look.words import quiet


class BoardBar(QWidget):
    """One row of controls."""

    fold_chosen = Signal(object)
    """A Fold."""

    def __init__(self, actions: BoardActions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.stands = quiet()
        self.plan = QPushButton(tr("Plan"))
        self.plan.setProperty("main", "true")
        self.plan.setToolTip(tr("Plan all visits, what is missing, or the chosen routes."))
        menu = QMenu(self.plan)
        menu.setToolTipsVisible(True)
        menu.addActions([actions.plan_all, actions.plan_missing, actions.plan_chosen])
        self.plan.setMenu(menu)
        self.fold = QComboBox()
        self.fold.setAccessibleName(tr("Gather routes"))
        for words, fold in (
            (tr("Not gathered"), Fold.NOTHING),
            (tr("By area"), Fold.AREA),
            (tr("By lead"), Fold.LEAD),
        ):
            self.fold.addItem(words, fold)
        self.fold.activated.connect(lambda: self.fold_chosen.emit(Fold(self.fold.currentData())))
        label = QLabel(tr("Routes:"))
        label.setBuddy(self.fold)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.plan)
        row.addSpacing(6)
        row.addWidget(label)
        row.addWidget(self.fold)
        row.addSpacing(6)
        for action in (actions.narrower, actions.wider, actions.whole, actions.today):
            row.addWidget(_button(action))
        row.addSpacing(6)
        row.addWidget(self.stands, 1)

    def show_fold(self, fold: Fold) -> None:
        """Show by what the routes are gathered."""
        self.fold.setCurrentIndex(max(self.fold.findData(fold), 0))


def _button(action: QAction) -> QToolButton:
    button = QToolButton()
    button.setDefaultAction(action)
    button.setAccessibleName(action.text())
    button.setFocusPolicy(button.focusPolicy() | button.focusPolicy().StrongFocus)
    return button
