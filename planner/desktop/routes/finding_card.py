"""A finding on the spot: what is wrong, what to do, and buttons that do it, each saying first what it would change."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QToolButton, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.icons import drawn_icon
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.look.words import quiet, statement
from planner.desktop.routes import icons
from planner.desktop.routes.words import fix_effect, fix_title, fix_verb, severity_words, tr
from planner.domain.finding import Finding
from planner.usecases.route_fixes import Fix, WeighedFix

Do = Callable[[Fix], None]


class FixRow(QWidget):
    """What a fix is, what it would change, and the button that does it."""

    def __init__(self, desk: Desk, weighed: WeighedFix, do: Do, why_not: str = "") -> None:
        super().__init__()
        self.fix = weighed.fix
        title, effect = fix_title(weighed.fix), fix_effect(weighed, desk.units)
        self.button = QPushButton(fix_verb(weighed.fix.kind))
        self.button.setAccessibleName(title)
        self.button.setAccessibleDescription(effect)
        self.button.setEnabled(not why_not)
        self.button.setToolTip(why_not or title)
        self.button.clicked.connect(lambda _checked: do(weighed.fix))
        words = statement(title)
        words.setStyleSheet("font-weight: bold;")
        head = QHBoxLayout()
        head.setSpacing(8)
        head.addWidget(words, 1)
        head.addWidget(self.button, 0, Qt.AlignmentFlag.AlignTop)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 0, 2)
        column.setSpacing(2)
        column.addLayout(head)
        column.addWidget(quiet(effect))


class FindingCard(QFrame):
    """One finding; ``show`` looks at it on the map."""

    def __init__(self, desk: Desk, finding: Finding, show: Callable[[Finding], None]) -> None:
        super().__init__()
        self._desk = desk
        self.finding = finding
        self.setObjectName("finding")
        self._mark = QLabel()
        self._mark.setAccessibleName(severity_words(finding.severity))
        self._fixes = QVBoxLayout()
        self._fixes.setSpacing(6)
        self.rows: tuple[FixRow, ...] = ()
        self.where = QToolButton()
        self.where.setToolTip(tr("Show on the map: %1", finding.subject))
        self.where.setAccessibleName(self.where.toolTip())
        self.where.clicked.connect(lambda _checked: show(finding))
        text = QVBoxLayout()
        text.setSpacing(4)
        head = QHBoxLayout()
        head.addWidget(quiet(severity_words(finding.severity).capitalize()), 1)
        head.addWidget(self.where)
        text.addLayout(head)
        for label in (statement(finding.what), quiet(finding.todo)):
            text.addWidget(label)
        text.addLayout(self._fixes)
        row = QHBoxLayout(self)
        row.setContentsMargins(10, 8, 10, 10)
        row.setSpacing(10)
        row.addWidget(self._mark, 0, Qt.AlignmentFlag.AlignTop)
        row.addLayout(text, 1)
        desk.look_changed.connect(self._dress)
        self._dress()

    def wait(self) -> None:
        """Say that fixes are being looked for."""
        self._put([quiet(tr("Looking for what would mend it …"))])

    def offer(self, offers: Sequence[WeighedFix], do: Do, why_not: str) -> None:
        """Show fixes; without any, what the finding itself says to do is all there is."""
        self.rows = tuple(FixRow(self._desk, one, do, why_not) for one in offers)
        self._put(list(self.rows))

    def lead_on(self, text: str, go: Callable[[], None], why_not: str = "") -> None:
        """Show a button to where the finding is mended; disabled where something stands in the way."""
        button = QPushButton(text)
        button.setEnabled(not why_not)
        button.setToolTip(why_not)
        button.clicked.connect(lambda _checked: go())
        self._put([button])

    def _put(self, widgets: Sequence[QWidget]) -> None:
        while (item := self._fixes.takeAt(0)) is not None:
            old = item.widget()
            if old is not None:
                old.setParent(None)
                old.deleteLater()
        for widget in widgets:
            self._fixes.addWidget(widget, 0, Qt.AlignmentFlag.AlignLeft if isinstance(widget, QPushButton) else _NONE)

    def _dress(self) -> None:
        colours = self._desk.colours
        self._mark.setPixmap(mark_pixmap(self.finding.severity, colours, 18, self.devicePixelRatioF()))
        self.where.setIcon(drawn_icon(icons.spot, colours))
        colour = colours.severity(self.finding.severity)
        self.setStyleSheet(
            f"#finding {{ background: {colours.surface}; border: 1px solid {colours.line};"
            f" border-left: 4px solid {colour}; border-radius: 5px; }}"
        )


_NONE = Qt.AlignmentFlag(0)
