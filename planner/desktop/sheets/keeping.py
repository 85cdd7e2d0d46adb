"""Brings what is typed into the season file: each row as it is left, one step."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QObject, Signal

from planner.desktop.desk import Desk
from planner.desktop.sheets.sheet_model import SheetModel
from planner.domain.errors import DimpsyError
from planner.domain.field.absent_class import AbsentClass
from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey


class Keeping(QObject):
    """Keeps, hands in and reopens the sheets of a grid."""

    failed = Signal(str)
    """Why something could not be kept, in words; what was typed stays on the screen."""

    def __init__(self, desk: Desk, model: SheetModel) -> None:
        super().__init__(model)
        self._desk = desk
        self._model = model

    def keep(self) -> None:
        """Give to the file what it does not have yet."""
        sheets = self._model.rows.typed.unsaved()
        if not sheets:
            return
        from planner.usecases.sheets import keep_sheets

        self._model.rows.typed.send(sheets)
        self._desk.session.do(
            lambda file: keep_sheets(file, sheets),
            lambda _changed: self._settle(sheets, kept=True),
            lambda error: self._refused(sheets, error),
        )

    def hand_in(self, keys: Sequence[SheetKey]) -> None:
        """Make drafts final, in one step; what is typed is kept before."""
        from planner.usecases.sheets import hand_in

        self.keep()
        self._desk.session.do(lambda file: hand_in(file, keys), failed=self._say)

    def reopen(self, keys: Sequence[SheetKey]) -> None:
        """Make final sheets drafts again, in one step."""
        from planner.usecases.sheets import reopen

        self.keep()
        self._reopening(keys, under_way=True)
        self._desk.session.do(
            lambda file: reopen(file, keys),
            lambda _changed: self._reopening(keys, under_way=False),
            lambda error: self._not_reopened(keys, error),
        )

    def say_absent(self, one: AbsentClass, *, absent: bool) -> None:
        """Say that a class cannot be somewhere, or that it can, in one step."""
        from planner.usecases.sheets import clear_absent, mark_absent

        self.keep()
        change = mark_absent if absent else clear_absent
        self._desk.session.do(lambda file: change(file, [one]), failed=self._say)

    def _reopening(self, keys: Sequence[SheetKey], *, under_way: bool) -> None:
        self._model.rows.reopen_ahead(keys, under_way=under_way)
        self._model.look_again()

    def _not_reopened(self, keys: Sequence[SheetKey], error: DimpsyError) -> None:
        self._reopening(keys, under_way=False)
        self._say(error)

    def _settle(self, sheets: Sequence[HabitatSheet], *, kept: bool) -> None:
        self._model.rows.typed.settle(sheets, kept=kept)
        self._model.look_again()

    def _refused(self, sheets: Sequence[HabitatSheet], error: DimpsyError) -> None:
        self._settle(sheets, kept=False)
        self._say(error)

    def _say(self, error: DimpsyError) -> None:
        self.failed.emit(str(error))
