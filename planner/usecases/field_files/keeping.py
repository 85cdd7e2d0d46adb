"""Keep what came back: sheets, records, and the visits that the records make whole, in one step."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from planner.domain.errors import ImpossibleError
from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey
from planner.domain.field.visit_record import VisitRecord
from planner.domain.plan import Plan, VisitKey
from planner.domain.season import Season
from planner.scheduling import SeasonProblem
from planner.store import Changed, SeasonFile
from planner.usecases.evening.outings import fits
from planner.usecases.field_files.reading import Back
from planner.usecases.records import settled_records
from planner.usecases.season.opening import road_network
from planner.usecases.season.problem import season_problem
from planner.usecases.sheets import attach_photos, lay_beside

_NAMES_SHOWN = 4
"""Files named in the history; the others are counted."""


@dataclass(frozen=True, slots=True)
class KeptBack:
    """What keeping it came to."""

    changed: Changed | None
    """None: all of it stood already."""
    done: tuple[VisitKey, ...] = ()
    """Visits that are done now and were not before."""
    reopened: tuple[VisitKey, ...] = ()
    """Visits that were done and are not any more."""
    attached: int = 0
    """Pictures that are new on their sheets."""
    photos: tuple[str, ...] = ()
    """What a person should know of the pictures."""


def keep_back(file: SeasonFile, back: Back, today: dt.date, problem: SeasonProblem | None = None) -> KeptBack:
    """Write down what came back, as one step; pictures are attached in steps of their own, sheet by sheet.

    Args:
        file: the season it was read for.
        back: what :func:`planner.usecases.field_files.read_back` returned.
        today: as it was read with.
        problem: the season with its light and drives, where somebody has it.

    Raises:
        ImpossibleError: sheets or records have changed since the files were read; nothing is kept then.
        InputError: a picture cannot be taken, or cannot be written beside the season file; nothing is kept then.
        RuleError: there would be too many on a sheet; nothing is kept then.
    """
    if (file.sheets(), file.records()) != back.before:
        raise ImpossibleError("Sheets or records have changed since the files were read.", "Read them again.")
    pictures = _pictures(back)
    for key, paths in pictures.items():
        lay_beside(file, key, paths)
    kept = _kept(file, back, today, problem) if back.sheets or back.records else KeptBack(None)
    attached = [attach_photos(file, key, paths) for key, paths in pictures.items()]
    notes = tuple(note for one in attached for note in one.notes)
    return replace(kept, attached=sum(len(one.photos) for one in attached), photos=notes)


def _kept(file: SeasonFile, back: Back, today: dt.date, problem: SeasonProblem | None) -> KeptBack:
    ready = ready_to_keep(file, file.season(), back, today, problem)
    with file.step(_label(back)) as step:
        ready.write(file)
    return KeptBack(step.changed, ready.done, ready.reopened)


@dataclass(frozen=True, slots=True)
class ReadyBack:
    """All that a season file holds once what came back is kept; computed before the step that writes it."""

    sheets: tuple[HabitatSheet, ...]
    records: tuple[VisitRecord, ...]
    plan: Plan
    done: tuple[VisitKey, ...] = ()
    reopened: tuple[VisitKey, ...] = ()

    def write(self, file: SeasonFile) -> None:
        """Write it, inside a step."""
        file.save_sheets(self.sheets)
        file.save_records(self.records)
        file.save_plan(self.plan)


def ready_to_keep(
    file: SeasonFile, season: Season, back: Back, today: dt.date, problem: SeasonProblem | None = None
) -> ReadyBack:
    """Return what the season file is to hold.

    Args:
        file: the season file.
        season: as it will stand, where other things are changed in the same step.
        back: what came back.
        today: as it was read with.
        problem: the season with its light and drives, where somebody has it.
    """
    plan, records = file.plan(), file.records()
    sheets = _with_sheets(file.sheets(), back.sheets)
    if not back.records:
        return ReadyBack(sheets, records, plan)
    routes = {one.key.route for one in back.records}
    light = problem_of(season, file.path, (*records, *back.records), routes, problem)
    settled = settled_records(replace(light, today=today), plan, records, back.records)
    return ReadyBack(sheets, settled.records, settled.plan, settled.done, settled.reopened)


def problem_of(
    season: Season,
    path: Path,
    records: Iterable[VisitRecord],
    codes: set[str],
    problem: SeasonProblem | None = None,
) -> SeasonProblem:
    """Return the season with its light and drives: the one at hand, or one of some routes alone.

    Args:
        season: the season.
        path: of its file, beside which the roads lie.
        records: of the season; routes on which the same people were count, too, for nobody is at two places at once.
        codes: of the routes.
        problem: the one at hand.
    """
    if problem is not None and fits(problem, season):
        return problem
    records = tuple(records)
    people = {code for one in records if one.key.route in codes for code in one.team}
    wanted = codes | {one.key.route for one in records if people & set(one.team)}
    return season_problem(_of_routes(season, wanted), road_network(path, season.roads))


def _of_routes(season: Season, codes: set[str]) -> Season:
    return replace(season, routes=tuple(route for route in season.routes if route.code in codes))


def _with_sheets(kept: Sequence[HabitatSheet], given: Sequence[HabitatSheet]) -> tuple[HabitatSheet, ...]:
    found = {sheet.key: sheet for sheet in kept} | {sheet.key: sheet for sheet in given}
    return tuple(found[key] for key in sorted(found))


def _pictures(back: Back) -> Mapping[SheetKey, Sequence[Path]]:
    found: dict[SheetKey, list[Path]] = {}
    for key, path in back.photos:
        found.setdefault(key, []).append(path)
    return found


def _label(back: Back) -> str:
    """Return the step's name for the history."""
    counts = ((len(back.sheets), "habitat sheet"), (len(back.records), "visit record"))
    what = " and ".join(f"{count} {word}{'' if count == 1 else 's'}" for count, word in counts if count)
    names = [each.path.name for each in back.files]
    more = f" and {len(names) - _NAMES_SHOWN} more" if len(names) > _NAMES_SHOWN else ""
    return f"Record {what} from {', '.join(names[:_NAMES_SHOWN])}{more}"
