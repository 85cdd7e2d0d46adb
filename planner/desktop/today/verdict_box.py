"""The protocol's word on one outing, with every limit it comes from."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QGridLayout, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.look.words import figure, quiet, statement
from planner.desktop.today.words import call_mark, call_word, short_limit, what_word
from planner.domain.finding import Severity
from planner.domain.plan import Status
from planner.domain.verdict import TEMPERATURE_MARGIN_C, WIND_MARGIN_KMH, Call, LimitCall
from planner.usecases.evening.watch import OutingNow


class VerdictBox(QFrame):
    """Go, wait or no-go in large letters; below it each limit, the value, and the rule."""

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("verdict")
        self._colours = colours
        self._now: OutingNow | None = None
        self._mark = QLabel()
        self._call = figure()
        self._call.setWordWrap(False)
        self._of = statement()
        self._rules = QGridLayout()
        self._rules.setColumnStretch(1, 1)
        self._rules.setHorizontalSpacing(8)
        self._rules.setVerticalSpacing(4)
        self._margin = quiet()
        head = QHBoxLayout()
        head.addWidget(self._mark)
        head.addWidget(self._call)
        head.addWidget(self._of, 1)
        column = QVBoxLayout(self)
        column.addLayout(head)
        column.addLayout(self._rules)
        column.addWidget(self._margin)
        self.set_colours(colours)

    @property
    def said(self) -> str:
        """What is said of the outing, rules included, in one text."""
        words = [self._call.text(), self._of.text()]
        for row in range(self._rules.rowCount()):
            item = self._rules.itemAtPosition(row, 1)
            label = item.widget() if item is not None else None
            if isinstance(label, QLabel):
                words.append(label.text())
        return "\n".join(words)

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self._colours = colours
        self.setStyleSheet(
            f"#verdict {{ background: {colours.surface}; border: 1px solid {colours.line}; border-radius: 6px; }}"
        )
        self.show_outing(self._now)

    def show_outing(self, now: OutingNow | None) -> None:
        """Show what is said of an outing; None: none is looked at."""
        self._now = now
        self._clear()
        if now is None or now.verdict is None:
            self._show_none(now)
            return
        call = now.verdict.call
        self._call.setText(call_word(call))
        self._mark.setPixmap(mark_pixmap(call_mark(call), self._colours, 28, 2.0))
        self._of.setText(self._name(now))
        for row, limit in enumerate(now.verdict.limits):
            self._add(row, limit)
        self._margin.setText(self._margin_words())
        self._margin.setVisible(bool(now.verdict.limits))

    def _show_none(self, now: OutingNow | None) -> None:
        """Say why there is no verdict."""
        done = now is not None and now.outing.status is Status.DONE
        self._call.setText(self.tr("Done") if done else "–")
        self._mark.clear()
        if now is None:
            self._of.setText(self.tr("Choose an outing."))
        elif done:
            self._of.setText(self._name(now))
        else:
            self._of.setText(self.tr("%1: the protocol's limits are those of counts.").replace("%1", self._name(now)))
        self._margin.hide()

    def _add(self, row: int, limit: LimitCall) -> None:
        mark = QLabel()
        severity = call_mark(limit.call) if limit.call is not None else Severity.NOTE
        mark.setPixmap(mark_pixmap(severity, self._colours, ratio=2.0))
        self._rules.addWidget(mark, row, 0, Qt.AlignmentFlag.AlignTop)
        label = statement(self._words(limit))
        label.setToolTip(limit.limit.said)
        label.setMinimumHeight(label.fontMetrics().height())
        self._rules.addWidget(label, row, 1)

    def _words(self, limit: LimitCall) -> str:
        """Return what is said of one limit: the rule in full where it holds somebody back, else its figure."""
        why = f"{limit.why[:1].upper()}{limit.why[1:]}"
        if limit.call is None:
            return f"{why}."
        if limit.call is Call.GO:
            return f"{why} ({short_limit(limit.limit)})."
        if limit.condition is None:
            return f"{call_word(limit.call)}: {why} ({short_limit(limit.limit)})."
        if limit.limit.bound is None:
            return f"{call_word(limit.call)}: {why}."
        rule = self.tr("Rule: %1.").replace("%1", limit.limit.said)
        return f"{call_word(limit.call)}: {why}. {rule}"

    def _name(self, now: OutingNow) -> str:
        return f"{now.outing.title}, {what_word(now.outing)}"

    def _margin_words(self) -> str:
        words = self.tr("Within %1 km/h or %2 °C of a limit it is wait: our own assumption.")
        return words.replace("%1", f"{WIND_MARGIN_KMH:g}").replace("%2", f"{TEMPERATURE_MARGIN_C:g}")

    def _clear(self) -> None:
        while (item := self._rules.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
