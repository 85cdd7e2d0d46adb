"""What the sheets of a route say when they are held against each other, and what can be done about it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QItemSelectionModel, Qt, Signal
from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QComboBox, QListView, QSplitter, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.flow import FlowLayout
from planner.desktop.look.words import quiet
from planner.desktop.season.finding_delegate import FindingDelegate
from planner.desktop.season.findings_model import FINDING_ROLE, FindingsModel
from planner.desktop.sheets.grid_head import action_button
from planner.desktop.sheets.pair_view import PairView, sheet_name
from planner.desktop.sheets.pair_words import agreement_words
from planner.desktop.sheets.photo_images import PhotoImages
from planner.desktop.sheets.so_bar import SoBar
from planner.desktop.sheets.words import tr
from planner.domain.errors import DimpsyError
from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey
from planner.domain.finding import Finding, Rule
from planner.usecases.sheets import Compared, SeasonAgreement, agreement, clear_absent, compared_sheets
from planner.usecases.sheets.pairs import pairs_at, sheet_pair
from planner.usecases.sheets.swapping import swap_sheets

_SHARES = [380, 460]
_PAIR_LETTERS = 30
"""Of the names of two sheets find room."""
_BETWEEN_BUTTONS = 5


class FindingsList(QListView):
    """Rows as high as their words need."""

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Measure the rows anew at another width."""
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()


class FindingsPanel(QWidget):
    """The findings of a route at the left; of the one chosen, the two sheets side by side at the right."""

    correct = Signal(object)
    """The SheetKey of a sheet that is to be mended."""
    counted = Signal(int)
    """How many findings there are on the route."""

    def __init__(self, desk: Desk, images: PhotoImages, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._route = ""
        self._findings: Sequence[Finding] = ()
        self._compared: Mapping[Finding, Compared] = {}
        self.model = FindingsModel(self)
        self.list = FindingsList()
        self.list.setModel(self.model)
        self._delegate = FindingDelegate(self.list, desk.colours, self)
        self.list.setItemDelegate(self._delegate)
        self.list.setAccessibleName(tr("What the sheets of the route say"))
        self.list.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.which = QComboBox()
        self.which.setAccessibleName(tr("Which two sheets"))
        self.pair = PairView(desk, images)
        self.none, self.agreed = quiet(), quiet()
        self._point: SheetKey | None = None
        self.mend = self._action(tr("Correct …"), self._mend)
        self.swap = self._action(tr("Swap the two sheets"), self._swap)
        self.can_be = self._action(tr("It can be there"), self._can_be)
        self.so = SoBar(desk)
        self._lay_out()
        self.agreed.hide()
        self.list.selectionModel().currentChanged.connect(lambda _now, _before: self._show_chosen())
        self.which.currentIndexChanged.connect(lambda _row: self._show_pair())
        desk.look_changed.connect(self._dress)

    def show_route(self, code: str, findings: Sequence[Finding]) -> None:
        """Show what is found on the sheets of a route."""
        self._route = code
        chosen = self._chosen()
        if findings != self._findings:
            self._findings = tuple(findings)
            self.model.show_findings(self._findings)
            row = self._findings.index(chosen) if chosen in self._findings else 0
            flags = QItemSelectionModel.SelectionFlag.ClearAndSelect
            self.list.selectionModel().setCurrentIndex(self.model.index(row, 0), flags)
        self.counted.emit(len(self._findings))
        found = self._desk.session.snapshot
        sheets = [sheet for sheet in found.sheets if sheet.key.route == code]

        def work() -> tuple[Mapping[Finding, Compared], SeasonAgreement]:
            return {one.finding: one for one in compared_sheets(found.season, sheets)}, agreement(found.season, sheets)

        self._desk.session.think(work, self._take, topic="sheets compared", owner=self)

    def show_point(self, key: SheetKey | None) -> None:
        """Offer the sheet that is stood on beside that of the visit before, and beside those of other people."""
        if key != self._point:
            self._point = key
            self._show_chosen()

    def _take(self, both: tuple[Mapping[Finding, Compared], SeasonAgreement]) -> None:
        self._compared, found = both
        rule = self._desk.session.snapshot.season.protocol.habitat
        self.agreed.setText(agreement_words(found, rule) if rule is not None else "")
        self.agreed.setVisible(bool(self.agreed.text()))
        self._left.setVisible(bool(self._findings) or bool(self.agreed.text()))
        self._show_chosen()

    def _chosen(self) -> Finding | None:
        finding = self.list.currentIndex().data(FINDING_ROLE)
        return finding if isinstance(finding, Finding) else None

    def _show_chosen(self) -> None:
        finding = self._chosen()
        compared = self._compared.get(finding) if finding is not None else None
        pairs = [*(compared.pairs if compared is not None else ())]
        if self._point is not None:
            at_point = pairs_at(self._desk.session.snapshot.sheets, self._point)
            pairs += [pair for pair in at_point if pair not in pairs]
        self.which.blockSignals(True)
        self.which.clear()
        for first, second in pairs:
            self.which.addItem(tr("%1 beside %2", sheet_name(first), sheet_name(second)), (first, second))
        self.which.blockSignals(False)
        self.which.setVisible(len(pairs) > 1)
        self._show_pair()
        self._judge(finding)

    def _show_pair(self) -> None:
        sheets = {sheet.key: sheet for sheet in self._desk.session.snapshot.sheets}
        rule = self._desk.session.snapshot.season.protocol.habitat
        both = [sheets.get(key) for key in self._pair_keys()]
        there = [sheet for sheet in both if isinstance(sheet, HabitatSheet)]
        shown = rule is not None and len(there) == 2
        self.pair.show_pair(sheet_pair(there[0], there[1], rule) if rule is not None and len(there) == 2 else None)
        self.pair.setVisible(shown)
        if not self._findings:
            words = tr(
                "Nothing is found on these sheets. Once two visits are in, they are held against each other here."
            )
        else:
            words = tr("There is no second sheet to hold beside it.")
        self.none.setText(words)
        self.none.setVisible(not shown)
        self.list.setVisible(bool(self._findings))
        looked_at = self._pair_keys()[-1] if self._pair_keys() else self._point
        self.so.show_finding(self._chosen(), sheets.get(looked_at) if looked_at is not None else None)

    def _pair_keys(self) -> tuple[SheetKey, ...]:
        keys = self.which.currentData()
        return tuple(keys) if keys else ()

    def _judge(self, finding: Finding | None) -> None:
        reason = self._desk.session.snapshot.read_only_reason
        none = tr("Choose a finding first.") if finding is None else ""
        no_point = tr("It is about no single point.") if finding is not None and finding.subject.point is None else ""
        self._allow(self.mend, reason or none or no_point, tr("Go to the sheet; one that is handed in is reopened"))
        swapped = finding is not None and finding.rule is Rule.SHEET_SWAPPED
        not_swapped = "" if swapped else tr("This is for sheets that look swapped.")
        self._allow(self.swap, reason or none or not_swapped, tr("Each goes to the other's point, in one step"))
        absent = finding is not None and finding.rule is Rule.SHEET_ABSENT_CLASS
        self._allow(
            self.can_be,
            reason or none or ("" if absent else tr("This is for classes said to be absent.")),
            tr("The class is no longer said to be absent there"),
        )
        self._buttons["swap"].setVisible(swapped)
        self._buttons["can be"].setVisible(absent)

    def _allow(self, action: QAction, why_not: str, does: str) -> None:
        action.setEnabled(not why_not)
        action.setToolTip(why_not or does)

    def _mend(self) -> None:
        finding, keys = self._chosen(), self._pair_keys()
        if keys:
            self.correct.emit(keys[1])
        elif finding is not None and finding.subject.point is not None:
            subject = finding.subject
            self.correct.emit(SheetKey(subject.route, subject.visit or 1, subject.point or 1, subject.volunteer))

    def _swap(self) -> None:
        first, second = self._pair_keys()
        self._desk.session.do(lambda file: swap_sheets(file, first, second), failed=self._say)

    def _can_be(self) -> None:
        finding, season = self._chosen(), self._desk.session.snapshot.season
        if finding is None or finding.subject.point is None:
            return
        about, sheets = finding.subject, self._desk.session.snapshot.sheets
        route, point = about.route, finding.subject.point
        key = (route, about.visit, point, about.volunteer)
        written = {
            code
            for one in sheets
            if (one.key.route, one.key.visit, one.key.point, one.key.observer) == key
            for cover in one.covers
            for code, percent in cover.percents
            if percent
        }
        said = [one for one in season.absent_classes if one.holds_at(route, point) and one.class_code in written]
        self._desk.session.do(lambda file: clear_absent(file, said), failed=self._say)

    def _say(self, error: DimpsyError) -> None:
        self._desk.say(str(error))

    def _dress(self) -> None:
        self._delegate.colours = self._desk.colours
        self.list.viewport().update()

    def _action(self, words: str, do: object) -> QAction:
        action = QAction(words, self)
        action.triggered.connect(do)
        return action

    def _lay_out(self) -> None:
        bar = FlowLayout(across=_BETWEEN_BUTTONS)
        self._buttons = {
            name: action_button(action)
            for name, action in (("mend", self.mend), ("swap", self.swap), ("can be", self.can_be))
        }
        self.which.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.which.setMinimumContentsLength(_PAIR_LETTERS)
        bar.addWidget(self.which)
        bar.addWidget(self.so)
        for button in self._buttons.values():
            bar.addWidget(button)
            button.setVisible(button is self._buttons["mend"])
        right = QWidget()
        column = QVBoxLayout(right)
        column.setContentsMargins(6, 0, 0, 0)
        column.addWidget(self.none)
        column.addWidget(self.pair, 1)
        column.addLayout(bar)
        split = QSplitter(Qt.Orientation.Horizontal)
        self._left = QWidget()
        below = QVBoxLayout(self._left)
        below.setContentsMargins(0, 0, 0, 0)
        below.addWidget(self.list, 1)
        below.addWidget(self.agreed)
        split.addWidget(self._left)
        split.addWidget(right)
        split.setChildrenCollapsible(False)
        split.setSizes(_SHARES)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 6, 0, 0)
        whole.addWidget(split)
