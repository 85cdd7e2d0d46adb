"""Findings below one another: the mark, the word for it, what is said and what to do."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from planner.desktop.board.said import severity_said, tr
from planner.desktop.desk import Desk
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.look.words import statement
from planner.domain.finding import Finding


class FindingLines(QWidget):
    """What the checks say of one thing; nothing where they say nothing."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._shown: tuple[Finding, ...] = ()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        desk.look_changed.connect(lambda: self._fill(self._shown))

    def show_findings(self, findings: Sequence[Finding]) -> None:
        """Show these and no others."""
        if tuple(findings) != self._shown:
            self._fill(tuple(findings))

    def _fill(self, findings: tuple[Finding, ...]) -> None:
        self._shown = findings
        while (item := self._column.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        for finding in findings:
            self._column.addWidget(self._line(finding))

    def _line(self, finding: Finding) -> QWidget:
        holder = QWidget()
        row = QHBoxLayout(holder)
        row.setContentsMargins(0, 2, 0, 2)
        mark = QLabel()
        mark.setPixmap(mark_pixmap(finding.severity, self._desk.colours, 16, self.devicePixelRatioF()))
        row.addWidget(mark, 0, Qt.AlignmentFlag.AlignTop)
        said = tr("%1: %2 %3", severity_said(finding.severity), finding.what, finding.todo)
        row.addWidget(statement(f"{said[:1].upper()}{said[1:]}".strip()), 1)
        return holder
