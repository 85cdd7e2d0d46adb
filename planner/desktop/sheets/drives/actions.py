"""What is done with recorded drives: planned with, forgotten, taken over from last year, handed on to next year."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QFileDialog, QWidget

from planner.desktop.desk import Desk
from planner.desktop.room import RoomName
from planner.desktop.sheets.drives.said import used_words
from planner.desktop.sheets.words import tr
from planner.domain.errors import DimpsyError
from planner.exchange import DriveFigure
from planner.travel import LEAST_LEGS
from planner.usecases.calibrating import (
    Calibrated,
    FactorsChanged,
    TakenOver,
    forget_calibration,
    take_over_figure,
    use_calibration,
    write_figure,
)

_ENDING = ".toml"


class DriveActions(QObject):
    """Each is one step, or one file; what cannot be done says why in its tool tip."""

    said = Signal(str, bool)
    """What is to stand on the page, and whether it went wrong."""

    def __init__(self, desk: Desk, parent: QWidget) -> None:
        super().__init__(parent)
        self._desk = desk
        self._over = parent
        self._found: Calibrated | None = None
        self.use = self._action(tr("Plan with these"), self._use)
        self.forget = self._action(tr("Plan without recorded drives"), self._forget)
        self.read = self._action(tr("Read last year's …"), self._ask_read)
        self.write = self._action(tr("Write the figure for next year …"), self._ask_write)
        self.plan = self._action(tr("Plan the season anew"), self._plan)

    @property
    def every(self) -> tuple[QAction, ...]:
        """All of them, in the order in which they stand on the page."""
        return self.use, self.forget, self.plan, self.read, self.write

    def judge(self, found: Calibrated | None, why_unknown: str) -> None:
        """Say what can be done.

        Args:
            found: what recorded drives came to; None: not known.
            why_unknown: why it is not known, or not that of the season as it stands; empty where it is.
        """
        self._found = found
        snapshot = self._desk.session.snapshot
        only, factors = snapshot.read_only_reason, snapshot.season.drive_factors
        too_few = "" if found is None or found.season is not None else tr("It takes %1 recorded drives.", LEAST_LEGS)
        is_news = found is not None and found.factors != factors
        no_news = "" if is_news else tr("Drives are planned so already.")
        self._allow(
            self.use,
            only or why_unknown or too_few or no_news,
            tr("Every drive is planned with these figures from now on; one step, Ctrl+Z takes it back"),
        )
        by_map = tr("Drives are planned without recorded ones already.") if factors.season is None else ""
        self._allow(self.forget, only or by_map, tr("As if nothing had been recorded; Ctrl+Z takes it back"))
        self._allow(self.read, only, tr("Begin with what another season's drives came to; Ctrl+Z takes it back"))
        nothing = factors.season is None and (found is None or found.season is None)
        self._allow(
            self.write,
            (why_unknown or tr("There is no figure yet.")) if nothing else "",
            tr("The season's figure and those of its road classes; nothing of any person is in the file"),
        )
        unplannable = "" if snapshot.season.routes else tr("The season has no routes yet.")
        self._allow(self.plan, only or unplannable, tr("On the Board; confirmed and past visits stay as they are"))

    def read_from(self, path: Path) -> None:
        """Plan with what another season's drives came to."""
        self._desk.session.do(lambda file: take_over_figure(file, path), self._taken, self._failed)

    def write_to(self, path: Path) -> None:
        """Write the figure: what is recorded, else what is planned with."""
        found = self._found
        recorded = found.factors if found is not None and found.season is not None else None

        self._desk.session.ask(
            lambda file: write_figure(path, file.season(), recorded or file.season().drive_factors),
            lambda figure: self._written(path, figure),
            owner=self,
            failed=self._failed,
        )

    def _written(self, path: Path, figure: DriveFigure) -> None:
        said = tr("%1 times what was expected, and %2 road classes", f"{figure.factor:.2f}", len(figure.classes))
        self.said.emit(tr("The figure for next year is written: %1. It lies in %2.", said, path), False)

    def _taken(self, taken: TakenOver) -> None:
        self._desk.say(used_words(taken.changed))
        self.said.emit(taken.note, False)

    def _use(self) -> None:
        found = self._found
        if found is not None:
            self._desk.session.do(lambda file: use_calibration(file, found.factors), self._changed, self._failed)

    def _forget(self) -> None:
        self._desk.session.do(forget_calibration, self._changed, self._failed)

    def _plan(self) -> None:
        self._desk.go(RoomName.BOARD)
        self._desk.plan()

    def _ask_read(self) -> None:
        kinds = tr("Recorded drives of a season (*.toml)")
        path, _ = QFileDialog.getOpenFileName(self._over, tr("Last year's recorded drives"), self._folder(), kinds)
        if path:
            self.read_from(Path(path))

    def _ask_write(self) -> None:
        year = self._desk.session.snapshot.season.dates.first.year
        kinds, beside = tr("Recorded drives of a season (*.toml)"), Path(self._folder()) / f"drives_{year}{_ENDING}"
        path, _ = QFileDialog.getSaveFileName(self._over, tr("The figure for next year"), str(beside), kinds)
        if path:
            self.write_to(Path(path if path.lower().endswith(_ENDING) else f"{path}{_ENDING}"))

    def _folder(self) -> str:
        return str(self._desk.session.snapshot.path.parent)

    def _changed(self, changed: FactorsChanged) -> None:
        self._desk.say(used_words(changed))
        self.said.emit("", False)

    def _failed(self, error: DimpsyError) -> None:
        self.said.emit(str(error), True)

    def _allow(self, action: QAction, why_not: str, does: str) -> None:
        action.setEnabled(not why_not)
        action.setToolTip(why_not or does)

    def _action(self, words: str, do: object) -> QAction:
        action = QAction(words, self)
        action.triggered.connect(do)
        return action
