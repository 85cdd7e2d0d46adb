"""What a season file holds at one moment, as plain values: what every view is drawn from."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from planner.domain.field.cancelled import CancelledVisit
from planner.domain.field.habitat_sheet import HabitatSheet
from planner.domain.field.visit_record import VisitRecord
from planner.domain.plan import Plan
from planner.domain.season import Season
from planner.store import PrintRun, SeasonFile, Step


@dataclass(frozen=True, slots=True)
class Snapshot:
    """A season file at one moment."""

    path: Path
    season: Season
    plan: Plan
    revision: int
    """Number of the step whose state this is; 0 before the first."""
    steps: tuple[Step, ...]
    """Every step, the oldest first; undone ones come last."""
    print_runs: tuple[PrintRun, ...]
    read_only_reason: str
    """Why nothing may be changed, in words; empty where it may."""
    sheets: tuple[HabitatSheet, ...] = ()
    """By route, visit, point and observer."""
    records: tuple[VisitRecord, ...] = ()
    """By route, visit and date."""
    cancelled: tuple[CancelledVisit, ...] = ()
    """Dates given up before anybody went out, by date."""
    cancelled_since: int = 0
    """The step up to which an older release kept none; 0: all are known."""

    @property
    def undo_label(self) -> str:
        """What undoing takes back; empty where there is nothing."""
        return next((step.label for step in reversed(self.steps) if not step.undone), "")

    @property
    def redo_label(self) -> str:
        """What redoing does again; empty where there is nothing."""
        return next((step.label for step in self.steps if step.undone), "")


def snapshot(file: SeasonFile, before: Snapshot | None = None) -> Snapshot:
    """Read what the file holds.

    Args:
        file: the season file.
        before: the snapshot read last; a season, plan, sheets or records equal to its own are that same object, so
            that ``is`` tells whether something changed.
    """
    season, plan, sheets, records = file.season(), file.plan(), file.sheets(), file.records()
    if before is not None:
        season = before.season if season == before.season else season
        plan = before.plan if plan == before.plan else plan
        sheets = before.sheets if sheets == before.sheets else sheets
        records = before.records if records == before.records else records
    return Snapshot(
        path=file.path,
        season=season,
        plan=plan,
        revision=file.revision,
        steps=file.history(),
        print_runs=file.print_runs(),
        read_only_reason=file.read_only_reason,
        sheets=sheets,
        records=records,
        cancelled=file.cancelled(),
        cancelled_since=file.cancelled_since,
    )
