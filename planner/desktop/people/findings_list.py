"""What the checks found of one volunteer, each with its mark, word and advice."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.look.words import statement
from planner.desktop.people.phrases import said, severity_word
from planner.domain.finding import Finding

_MOST = 3


class FindingsList(QWidget):
    """The worst findings, one below the other; how many more there are."""

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._colours = colours
        self._findings: tuple[Finding, ...] = ()
        self._rows = QVBoxLayout(self)
        self._rows.setContentsMargins(0, 0, 0, 0)
        self._rows.setSpacing(3)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The findings shown."""
        return self._findings

    def show_findings(self, findings: Sequence[Finding]) -> None:
        """Show these, worst first."""
        if tuple(findings) != self._findings:
            self._findings = tuple(findings)
            self._make_rows()

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self._colours = colours
        self._make_rows()

    def _make_rows(self) -> None:
        while (item := self._rows.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        for finding in self._findings[:_MOST]:
            self._rows.addWidget(self._row(finding))
        more = len(self._findings) - _MOST
        if more > 0:
            self._rows.addWidget(statement(said(self.tr("And %1 more: see Season."), more)))
        self.setVisible(bool(self._findings))

    def _row(self, finding: Finding) -> QWidget:
        row = QWidget()
        layout = QHBoxLayout(row)
        layout.setContentsMargins(0, 0, 0, 0)
        mark = QLabel()
        mark.setPixmap(mark_pixmap(finding.severity, self._colours, 16, self.devicePixelRatioF()))
        mark.setAccessibleName(severity_word(finding.severity))
        layout.addWidget(mark, 0, Qt.AlignmentFlag.AlignTop)
        layout.addWidget(statement(f"{severity_word(finding.severity).capitalize()}: {finding.what} {finding.todo}"), 1)
        return row
