"""What can be done to the sheets of the grid, with keys, and why something cannot be done now."""

from __future__ import annotations

from collections.abc import Callable, Collection

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QWidget

from planner.desktop.sheets.pane_actions import allow, pane_action
from planner.desktop.sheets.sheet_model import SheetModel
from planner.desktop.sheets.words import tr
from planner.domain.field.absent_class import EVERY_POINT
from planner.domain.field.habitat_sheet import SheetKey, SheetState


class GridActions(QObject):
    """The commands of the grid; ``judge`` says what each may do at the row that is stood on."""

    def __init__(self, pane: QWidget, model: SheetModel) -> None:
        super().__init__(pane)
        self._pane = pane
        self._model = model
        self._row = -1
        self.rest = self._action(tr("Class takes the rest"), "", tr("the class takes what is left of 100: key R or ="))
        self.copy_point = self._action(tr("Copy last point"), "Ctrl+D", tr("the estimate of the point before"))
        self.copy_visit = self._action(tr("Copy last visit"), "Ctrl+Shift+D", tr("the estimate of the visit before"))
        self.key = self._action(tr("Ask the class key"), "Ctrl+J", tr("which class is it? Key K in the grid"))
        self.hand_in = self._action(tr("Hand in point"), "Ctrl+Return", tr("the sheet of this point is final"))
        self.hand_in_all = self._action(tr("Hand in all"), "Ctrl+Shift+Return", tr("all drafts of the grid are final"))
        self.reopen = self._action(tr("Reopen point"), "Ctrl+Shift+O", tr("a final sheet becomes a draft to be mended"))

        self.absent_point = self._action(tr("Class cannot be at this point"), "", tr("found there, it is a finding"))
        self.absent_route = self._action(tr("Class cannot be on this route"), "", tr("found there, it is a finding"))
        for action in self.absent:
            action.setCheckable(True)

    @property
    def absent(self) -> tuple[QAction, ...]:
        """What is said of the class of the current cell; checked where it is said."""
        return (self.absent_point, self.absent_route)

    @property
    def all(self) -> tuple[QAction, ...]:
        """Every command, in the order of the buttons."""
        return (
            self.rest, self.copy_point, self.copy_visit, self.key, self.hand_in, self.hand_in_all, self.reopen,
        )  # fmt: skip

    def drafts(self) -> tuple[SheetKey, ...]:
        """Return the keys of all drafts of the grid that have something on them."""
        sheets = [self._model.rows.sheet(row) for row in range(self._model.rowCount())]
        return tuple(one.key for one in sheets if one.state is SheetState.DRAFT and not one.empty)

    def judge_absent(self, code: str, said: Collection[int]) -> None:
        """Enable and check what is said of a class; ``said``: the points that it cannot be at, 0 for the route."""
        none = "" if code else tr("Stand on a class first.")
        point = self._model.rows.point(self._row) if self._row >= 0 else -1
        for action, place in ((self.absent_point, point), (self.absent_route, EVERY_POINT)):
            allow(action, self._model.rows.why_not or none)
            action.setChecked(place in said)

    def judge(self, row: int) -> None:
        """Enable what can be done at a row; -1: on none."""
        self._row = row
        none = "" if row >= 0 else tr("Choose a point first.")
        locked = none or self._model.rows.locked(row)
        only_read = self._model.rows.why_not
        for action in (self.rest, self.copy_point, self.copy_visit):
            allow(action, locked)
        rule = self._model.rows.facts.rule if self._model.rows.facts is not None else None
        allow(self.key, "" if rule is not None and rule.key else tr("The protocol has no class key."))
        allow(self.hand_in, only_read or none or self._why_not_in(row))
        allow(self.hand_in_all, only_read or self._why_not_all())
        final = row >= 0 and self._model.rows.sheet(row).state is SheetState.FINAL
        allow(self.reopen, only_read or none or ("" if final else tr("The point is not handed in.")))

    def _why_not_in(self, row: int) -> str:
        sheet, point = self._model.rows.sheet(row), self._model.rows.point(row)
        if sheet.state is SheetState.FINAL:
            return tr("Point %1 is handed in already.", point)
        if sheet.empty:
            return tr("Nothing is written for point %1.", point)
        faults = self._model.rows.faults(row)
        return tr("Point %1: %2", point, "; ".join(map(str, faults))) if faults else ""

    def _why_not_all(self) -> str:
        if not self.drafts():
            return tr("There are no drafts to hand in.")
        rows = range(self._model.rowCount())
        reasons = [self._why_not_in(row) for row in rows if self._model.rows.faults(row)]
        return "\n".join(reasons[:6])

    def _action(self, text: str, key: str, does: str) -> QAction:
        return pane_action(self._pane, text, key, does)

    def connect_to(self, action: QAction, do: Callable[[], None]) -> None:
        """Have a command do something."""
        action.triggered.connect(lambda _checked=False: do())
