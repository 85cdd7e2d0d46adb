"""What the rules say of an outing: one line for each, its severity as shape and word."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QVBoxLayout, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.look.fitted_scroll import FittedScroll
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.look.words import heading, statement
from planner.desktop.outing.words import severity_words
from planner.domain.finding import Finding, Severity

Line = tuple[Severity | None, str]
"""A severity, None where nothing is wrong, and a sentence."""


def finding_lines(findings: Sequence[Finding]) -> list[Line]:
    """Return what the checks say, a line for each."""
    return [(finding.severity, f"{finding.what} {finding.todo}".rstrip()) for finding in findings]


class RuleList(QWidget):
    """Sentences below one another, each with its mark."""

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._colours = colours
        self._lines: tuple[Line, ...] = ()
        self._grid = QGridLayout()
        self._grid.setColumnStretch(1, 1)
        self._grid.setVerticalSpacing(4)
        inside = QWidget()
        lines_column = QVBoxLayout(inside)
        lines_column.setContentsMargins(0, 0, 0, 0)
        lines_column.addLayout(self._grid)
        lines_column.addStretch(1)
        scrolled = FittedScroll(inside)
        scrolled.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        scrolled.setAccessibleName(self.tr("What the rules say"))
        scrolled.setMinimumHeight(64)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(heading(self.tr("What the rules say")))
        column.addWidget(scrolled, 1)

    @property
    def lines(self) -> tuple[Line, ...]:
        """What is shown."""
        return self._lines

    def set_colours(self, colours: Colours) -> None:
        """Paint the marks in another palette."""
        self._colours = colours
        lines, self._lines = self._lines, ()
        self.show_lines(lines)

    def show_lines(self, lines: Sequence[Line]) -> None:
        """Show these lines in their order."""
        if tuple(lines) == self._lines:
            return
        self._lines = tuple(lines)
        while (item := self._grid.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.deleteLater()
        for row, (severity, text) in enumerate(self._lines):
            mark = QLabel()
            mark.setPixmap(mark_pixmap(severity, self._colours, 16, self.devicePixelRatioF()))
            mark.setAccessibleName(severity_words(severity))
            mark.setToolTip(severity_words(severity))
            words = text if severity is None else f"{severity_words(severity)}: {text}"
            self._grid.addWidget(mark, row, 0, Qt.AlignmentFlag.AlignTop)
            self._grid.addWidget(statement(words), row, 1)
