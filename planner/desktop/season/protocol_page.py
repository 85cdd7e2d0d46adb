"""The protocol that the season follows: its rules in words, and what stands behind each of its figures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QLayout, QScrollArea, QVBoxLayout, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.look.low import low
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.look.words import heading, quiet, statement, title
from planner.domain.finding import Severity
from planner.domain.protocol import Figure, Mark, Protocol

_SHAPES = {Mark.MEMORY: Severity.DOUBT, Mark.OURS: Severity.NOTE, Mark.SEEN: None}
"""The shape beside the words of each mark; what needs checking comes first."""


class ProtocolPage(QScrollArea):
    """Rules at the left, sources at the right; nothing here can be changed."""

    def __init__(self, protocol: Protocol, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._marks: list[tuple[QLabel, Severity | None]] = []
        self.protocol = protocol
        self.setAccessibleName(self.tr("The protocol"))
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(2, 8, 8, 8)
        column.addWidget(low(title(protocol.name)))
        column.addWidget(low(statement(protocol.summary)))
        sides = QHBoxLayout()
        sides.setSpacing(28)
        sides.addLayout(self._rules(), 1)
        sides.addLayout(self._sources(), 1)
        column.addLayout(sides)
        column.addStretch(1)
        self.setWidgetResizable(True)
        self.setWidget(inside)
        self.set_colours(colours)

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        for label, severity in self._marks:
            label.setPixmap(mark_pixmap(severity, colours, 16, self.devicePixelRatioF()))

    def _rules(self) -> QVBoxLayout:
        grid = QGridLayout()
        grid.setHorizontalSpacing(16)
        grid.setVerticalSpacing(7)
        grid.setColumnStretch(1, 1)
        for row, (name, words) in enumerate(self._said(self.protocol)):
            named = quiet(name)
            named.setWordWrap(False)
            grid.addWidget(named, row, 0, Qt.AlignmentFlag.AlignTop)
            grid.addWidget(low(statement(words)), row, 1)
        return _under(heading(self.tr("The rules")), grid)

    def _said(self, protocol: Protocol) -> Iterator[tuple[str, str]]:
        for window in protocol.windows:
            for run in window.passes:
                close = run.close.words if run.close else self.tr("timed from its start")
                span = self.tr("from %1 to %2").replace("%1", run.open.words).replace("%2", close)
                yield self.tr("Light window, %1").replace("%1", window.name), span
        yield self.tr("Count at a point"), self.tr("%1 minutes").replace("%1", f"{protocol.count.minutes:g}")
        for rule in protocol.visits:
            if rule.gap is not None:
                name = self.tr("Days between visit %1 and visit %2").replace("%1", str(rule.number - 1))
                most = (
                    "" if rule.gap.most_days is None else self.tr(", at most %1").replace("%1", str(rule.gap.most_days))
                )
                least = self.tr("at least %1").replace("%1", str(rule.gap.least_days))
                yield name.replace("%2", str(rule.number)), f"{least}{most}"
        yield self.tr("People on an outing"), self._people(protocol)
        if protocol.setup is not None:
            days = self.tr("at most %1 days before visit 1").replace("%1", str(protocol.setup.days_before_at_most))
            yield self.tr("Set-up day"), days
        if protocol.moon is not None:
            lit = self.tr("lit at least %1 %").replace("%1", f"{100 * protocol.moon.least_illuminated:.0f}")
            yield self.tr("Moon"), lit
        if protocol.weather:
            yield self.tr("Weather"), _listed([limit.said for limit in protocol.weather])
        if protocol.safety.cautions:
            yield self.tr("Cautions"), _listed(protocol.safety.cautions)
        usual = self.tr("Local law, the land manager and the survey's own safety rules come first.")
        yield self.tr("Always"), usual

    def _people(self, protocol: Protocol) -> str:
        people = protocol.people
        words = self.tr("%1, better %2") if people.preferred > people.fewest else "%1"
        words = words.replace("%1", str(people.fewest)).replace("%2", str(people.preferred))
        if people.lead_training:
            words += self.tr("; the lead has learnt: %1").replace("%1", ", ".join(people.lead_training))
        return words

    def _sources(self) -> QVBoxLayout:
        lines = QVBoxLayout()
        if self.protocol.invented:
            invented = self.tr("Invented for the demonstration; no survey of that name exists.")
            lines.addWidget(self._marked(Severity.DOUBT, invented))
        for mark, severity in _SHAPES.items():
            figures = [figure for figure in self.protocol.figures if figure.mark is mark]
            if figures:
                lines.addWidget(self._marked(severity, _mark_words(self, mark)))
            for source, keys in _by_source(figures).items():
                lines.addWidget(low(quiet(f"{'; '.join(keys)}: {source}")))
        return _under(heading(self.tr("Where its figures come from")), lines)

    def _marked(self, severity: Severity | None, words: str) -> QWidget:
        row, shape = QWidget(), QLabel()
        self._marks.append((shape, severity))
        line = QHBoxLayout(row)
        line.setContentsMargins(0, 6, 0, 0)
        line.addWidget(shape, 0, Qt.AlignmentFlag.AlignTop)
        line.addWidget(low(statement(words)), 1)
        return row


def _mark_words(page: QWidget, mark: Mark) -> str:
    return {
        Mark.MEMORY: page.tr("From memory, not verified: check it before relying on it."),
        Mark.OURS: page.tr("Our own assumption, where the source says nothing."),
        Mark.SEEN: page.tr("Seen in the source."),
    }[mark]


def _by_source(figures: Sequence[Figure]) -> dict[str, list[str]]:
    """Return what figures are called, by what they come from."""
    found: dict[str, list[str]] = {}
    for figure in figures:
        found.setdefault(figure.source, []).append(figure.words)
    return found


def _under(head: QLabel, lines: QLayout) -> QVBoxLayout:
    side = QVBoxLayout()
    side.addWidget(low(head))
    side.addLayout(lines)
    side.addStretch(1)
    return side


def _listed(lines: Sequence[str]) -> str:
    return "\n".join(f"• {line}" for line in lines)
