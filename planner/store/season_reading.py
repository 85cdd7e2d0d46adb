"""What can be read of a season file: the season, its plan, its evenings, and its history."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import apsw

from planner.domain.check_in import CheckIn
from planner.domain.conditions import Conditions
from planner.domain.field.cancelled import CancelledVisit
from planner.domain.field.habitat_sheet import HabitatSheet
from planner.domain.field.told import SentFrom, Told, WrittenFile
from planner.domain.field.visit_record import VisitRecord
from planner.domain.plan import Plan
from planner.domain.season import Season
from planner.forms import FormError
from planner.store import evening_rows, field_rows, history, told_rows
from planner.store.backup import copy_to
from planner.store.history import Step
from planner.store.opening import damaged, unusable
from planner.store.past_states import state_at
from planner.store.photo_hashes import photo_hashes, photo_hashes_beside
from planner.store.plan_rows import read_plan
from planner.store.print_log import PrintRun, print_runs
from planner.store.season_rows import read_season

_T = TypeVar("_T")


class SeasonReading:
    """The reading half of a season file; nothing here changes it."""

    def __init__(self, path: Path, connection: apsw.Connection) -> None:
        self.path = path
        self._connection = connection

    def season(self) -> Season:
        """Read the season.

        Raises:
            SeasonFileError: the file holds none that is possible: it was changed from outside.
        """
        return self._read(read_season)

    def plan(self) -> Plan:
        """Read the plan; empty where nothing is planned.

        Raises:
            SeasonFileError: the file holds none that is possible: it was changed from outside.
        """
        return self._read(read_plan)

    def conditions(self) -> tuple[Conditions, ...]:
        """Read what is known of the conditions of evenings, by date and route.

        Raises:
            SeasonFileError: what the file holds is impossible: it was changed from outside.
        """
        return self._read(evening_rows.read_conditions)

    def check_ins(self) -> tuple[CheckIn, ...]:
        """Read who has left, arrived or is safe home, by date, route and person.

        Raises:
            SeasonFileError: what the file holds is impossible: it was changed from outside.
        """
        return self._read(evening_rows.read_check_ins)

    def sheets(self) -> tuple[HabitatSheet, ...]:
        """Read the habitat sheets, by route, visit, point and observer.

        Raises:
            SeasonFileError: what the file holds is impossible: it was changed from outside.
        """
        return self._read(field_rows.read_sheets)

    def photo_hashes(self) -> frozenset[str]:
        """Return the hashes of all pictures that sheets name, here or in a state that undo or redo can bring back.

        Those of other season files of the folder, and of the copies of all of them, are among them.

        Raises:
            SeasonFileError: it, or another of the folder, cannot be read.
        """
        return self._read(photo_hashes) | photo_hashes_beside(self.path)

    def records(self) -> tuple[VisitRecord, ...]:
        """Read the visit records, by route, visit and date.

        Raises:
            SeasonFileError: what the file holds is impossible: it was changed from outside.
        """
        return self._read(field_rows.read_records)

    def cancelled(self) -> tuple[CancelledVisit, ...]:
        """Read the dates that were given up before anybody went out, by date, route and visit.

        Raises:
            SeasonFileError: what the file holds is impossible: it was changed from outside.
        """
        return self._read(field_rows.read_cancelled)

    @property
    def cancelled_since(self) -> int:
        """Number of the step up to which an older release worked, which kept no cancelled visits; 0: none did."""
        return self._read(field_rows.read_cancelled_since)

    def told(self) -> tuple[Told, ...]:
        """Read what people were last told of their outings, by volunteer, route, visit and kind.

        Raises:
            SeasonFileError: what the file holds is impossible: it was changed from outside.
        """
        return self._read(told_rows.read_told)

    @property
    def written_files(self) -> frozenset[WrittenFile]:
        """Every file that ever went out to people."""
        return self._read(told_rows.read_written)

    @property
    def sent_from(self) -> SentFrom | None:
        """Where the season file lay when files last went out from it; None: none did."""
        return self._read(told_rows.read_sent_from)

    @property
    def identity(self) -> str:
        """What names this season for good: drawn when the file was made, 32 hexadecimal digits."""
        return self._read(told_rows.read_identity)

    @property
    def revision(self) -> int:
        """Number of the step whose state the file shows; 0 before the first. It names that state for good."""
        return self._read(history.revision)

    def history(self) -> tuple[Step, ...]:
        """Return every step, the oldest first; those that stand undone come last."""
        return self._read(history.steps)

    def steps_since(self, revision: int) -> tuple[Step, ...]:
        """Return the steps between that revision and the present state.

        Steps done since come with ``undone`` false; where the file was taken back behind that revision, the
        steps taken back come with ``undone`` true.
        """
        return self._read(lambda connection: history.steps_since(connection, revision))

    def copy_to(self, target: Path) -> None:
        """Copy the file as it stands, history and all; under a passing name first, so that half a copy never counts.

        Raises:
            OSError: the folder cannot be written.
            SeasonFileError: the copy cannot be written.
        """
        part = target.with_name(f"{target.name}.part")
        try:
            part.unlink(missing_ok=True)
            copy_to(self._connection, part)
            part.replace(target)
        except apsw.Error as error:
            raise unusable(target.parent, error) from error
        finally:
            part.unlink(missing_ok=True)

    def print_runs(self) -> tuple[PrintRun, ...]:
        """Return every itinerary that was printed, the oldest first."""
        return self._read(print_runs)

    def as_it_stood(self, revision: int) -> tuple[Season, Plan] | None:
        """Return the season and the plan of an earlier state; the file itself is not touched.

        Args:
            revision: number of the step whose state is meant; 0: as the file was made.

        Returns:
            None where that state is gone: it was undone, and something else was done in its place.

        Raises:
            SeasonFileError: the file was changed from outside.
        """
        return self._read(lambda connection: state_at(connection, revision))

    def _read(self, read: Callable[[apsw.Connection], _T]) -> _T:
        try:
            with self._connection:  # one snapshot, whatever another program writes meanwhile
                found = read(self._connection)
        except apsw.ConnectionClosedError:
            raise
        except apsw.Error as error:
            raise unusable(self.path, error) from error
        except (LookupError, ValueError, FormError) as error:
            raise damaged(self.path, str(error)) from error
        return found
