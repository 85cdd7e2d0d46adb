"""All findings, worst first, with a filter; each leads to the room where it is mended."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QLineEdit,
    QListView,
    QStackedLayout,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from planner.desktop.look.colours import Colours
from planner.desktop.look.low import low
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.look.words import heading, quiet
from planner.desktop.season.finding_delegate import FindingDelegate
from planner.desktop.season.findings_model import FINDING_ROLE, FindingsFilter, FindingsModel
from planner.desktop.season.words import severity_word
from planner.domain.finding import Finding, Severity


class FindingsList(QListView):
    """A click or Enter leads to where a finding is mended; the arrows only move."""

    entered = Signal(object)
    """A Finding."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(self.tr("Findings"))
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        self.setMouseTracking(True)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.clicked.connect(self._enter)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes where the current finding is mended."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentIndex().isValid():
            self._enter(self.currentIndex())
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Give the rows the height that their words need at the new width."""
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()

    def _enter(self, index: QModelIndex) -> None:
        self.entered.emit(index.data(FINDING_ROLE))


class FindingsPane(QWidget):
    """The list under its filter."""

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._colours = colours
        self.model = FindingsModel(self)
        self.shown = FindingsFilter(self.model, self)
        self.list = FindingsList()
        self._delegate = FindingDelegate(self.list, colours, self)
        self.list.setModel(self.shown)
        self.list.setItemDelegate(self._delegate)
        self.search = QLineEdit()
        self.search.setPlaceholderText(self.tr("Find in the findings"))
        self.search.setAccessibleName(self.tr("Find in the findings"))
        self.search.setClearButtonEnabled(True)
        self.search.textChanged.connect(self.shown.setFilterFixedString)
        self.wanted = {severity: self._switch(severity) for severity in Severity}
        self._none = low(quiet())
        self._stack = QStackedLayout()
        self._lay_out()
        self.shown.modelReset.connect(self._show_none)
        self.shown.rowsInserted.connect(self._show_none)
        self.shown.rowsRemoved.connect(self._show_none)
        self.set_colours(colours)
        self.show_findings(None)

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self._colours = self._delegate.colours = colours
        for severity, button in self.wanted.items():
            button.setIcon(mark_pixmap(severity, colours, 16, 2.0))
        self.list.viewport().update()

    def show_findings(self, findings: Sequence[Finding] | None) -> None:
        """Show findings; None: they are still being looked for."""
        self._looking = findings is None
        self.model.show_findings(findings or ())
        counts = Counter(finding.severity for finding in findings or ())
        for severity, button in self.wanted.items():
            button.setText(str(counts[severity]))
            words = self.tr("Show findings of the severity '%1': %2")
            words = words.replace("%1", severity_word(severity)).replace("%2", str(counts[severity]))
            button.setToolTip(words)
            button.setAccessibleName(words)
        self._show_none()

    def _switch(self, severity: Severity) -> QToolButton:
        button = QToolButton()
        button.setCheckable(True)
        button.setChecked(True)
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        button.setIconSize(QSize(14, 14))
        button.setObjectName(severity.words)
        button.toggled.connect(lambda _on: self._filter())
        return button

    def _filter(self) -> None:
        self.shown.want(frozenset(severity for severity, button in self.wanted.items() if button.isChecked()))
        self._show_none()

    def _show_none(self) -> None:
        """Say in words why the list is empty."""
        if self._looking:
            self._none.setText(self.tr("The season is being looked through …"))
        elif not self.model.findings:
            self._none.setText(self.tr("Nothing was found: all is as it should be."))
        else:
            self._none.setText(self.tr("The filter lets none of the findings through."))
        self._stack.setCurrentIndex(0 if self.shown.rowCount() else 1)

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.setSpacing(4)
        head.addWidget(heading(self.tr("Findings")), 1)
        for button in self.wanted.values():
            head.addWidget(button)
        self._none.setAlignment(Qt.AlignmentFlag.AlignTop)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(head)
        column.addWidget(self.search)
        column.addLayout(self._stack, 1)
        # Only now has the stack a widget to stand in: before that its pages would open as windows for a moment.
        self._stack.addWidget(self.list)
        self._stack.addWidget(self._none)
