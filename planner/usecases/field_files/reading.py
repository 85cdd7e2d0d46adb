"""Read what came back, and hold it against what the season has recorded already; nothing is written yet."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from planner.domain.errors import Fault, InputError
from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey, SheetState
from planner.domain.field.record_ground import points_words
from planner.domain.field.sheet_places import strange_words
from planner.domain.field.visit_record import RecordKey, RecordState, VisitRecord
from planner.domain.plan import Plan, VisitKey
from planner.domain.season import Season
from planner.exchange import read_photo
from planner.exchange.field_files.bad_cells import BadCell
from planner.exchange.field_files.field_season import FieldSeason
from planner.exchange.field_files.form import FieldForm
from planner.exchange.field_files.reading_back import FileSaid, evenings_told, file_said
from planner.exchange.table_files.grids import Grid
from planner.store import SeasonFile
from planner.usecases.field_files.against_season import AgainstSeason
from planner.usecases.field_files.evening_light import EveningLight
from planner.usecases.field_files.files_meant import PassedOver, files_read
from planner.usecases.field_files.joining import together


@dataclass(frozen=True, slots=True)
class FileBack:
    """What one file held."""

    path: Path
    sheets: int
    records: int
    bad: int


@dataclass(frozen=True, slots=True)
class FieldHeld:
    """What of a season file came-back files are held against."""

    season: Season
    plan: Plan
    sheets: tuple[HabitatSheet, ...]
    records: tuple[VisitRecord, ...]
    identity: str

    @classmethod
    def of(cls, file: SeasonFile) -> FieldHeld:
        """Read it from the file."""
        return cls(file.season(), file.plan(), file.sheets(), file.records(), file.identity)


@dataclass(frozen=True, slots=True)
class Back:
    """What came back, as it will stand once it is kept."""

    files: tuple[FileBack, ...]
    sheets: tuple[HabitatSheet, ...]
    """New and changed ones; final where nothing is wrong with them."""
    records: tuple[VisitRecord, ...]
    """New and changed ones."""
    photos: tuple[tuple[SheetKey, Path], ...] = ()
    """Pictures to attach, and to which sheets."""
    bad: tuple[BadCell, ...] = ()
    """Cells that could not be taken as they stand."""
    notes: tuple[str, ...] = ()
    """What was left out, replaced, or read in a way a person should know of."""
    same: int = 0
    """Sheets and records that stand in the season already just as they came."""
    passed_over: tuple[PassedOver, ...] = ()
    """Files among others that were left out."""
    before: tuple[tuple[HabitatSheet, ...], tuple[VisitRecord, ...]] = field(default=((), ()))
    """Sheets and records of the season as they stood when the files were read."""

    @property
    def changes(self) -> bool:
        """Whether keeping it would change anything."""
        return bool(self.sheets or self.records or self.photos)

    @property
    def needs_person(self) -> bool:
        """Whether a file or a cell could not be taken, or something stays a draft."""
        states = {sheet.state.value for sheet in self.sheets} | {record.state.value for record in self.records}
        return bool(self.bad or self.passed_over) or SheetState.DRAFT.value in states

    @property
    def words(self) -> tuple[str, ...]:
        """What it comes to, in lines."""
        final = sum(sheet.state is SheetState.FINAL for sheet in self.sheets)
        whole = sum(record.state is RecordState.FINAL for record in self.records)
        counts = sum(len(record.counts) for record in self.records)
        lines = (
            f"Habitat sheets new or changed: {_states(len(self.sheets), final)}.",
            f"Visit records new or changed: {_states(len(self.records), whole)}; counts in them: {counts}.",
            f"Sheets and records that stood there already just so: {self.same}.",
        )
        there = (self.sheets, self.records, self.same)
        return tuple(line for line, some in zip(lines, there, strict=True) if some)


def read_back(
    file: SeasonFile,
    paths: Sequence[Path],
    today: dt.date,
    *,
    draft: bool = False,
    photos: Sequence[tuple[SheetKey, Path]] = (),
    pass_over: bool = False,
) -> Back:
    """Read filled-in files and return what they would make of the season's sheets and records.

    What is good is taken, cell by cell; what cannot be read stays with its sheet or record and is told. What comes
    again replaces only what it holds: an empty cell takes nothing back. A final sheet is replaced by a faultless one
    alone. A file of a folder that cannot be read, or holds nothing of the kind, is passed over and told.

    Args:
        file: the season, which stays as it is.
        paths: workbooks and tables, and folders of them.
        today: a record of a later date stays a draft.
        draft: whether everything stays a draft.
        photos: pictures to attach, and to which sheets.
        pass_over: whether one of several files that are named themselves is passed over, too.

    Raises:
        InputError: a file that is named itself is missing, broken, hostile, too large, or holds nothing of the kind;
            or no file of the folders can be read; or a picture cannot be taken. With every fault.
    """
    held = FieldHeld.of(file)
    faults = list(_photo_faults(held.season, photos))
    read = files_read(paths, pass_over=pass_over)
    if faults or read.faults:
        raise InputError(*faults, *read.faults)
    back = back_of(held, read.tables, today, draft=draft, photos=photos, among=read.among)
    passed = (*read.passed, *back.passed_over)
    if passed and not back.files:
        raise InputError(*(fault for one in passed for fault in one.faults))
    return replace(back, passed_over=passed)


def back_of(
    held: FieldHeld,
    files: Sequence[tuple[Path, Sequence[Grid]]],
    today: dt.date,
    *,
    draft: bool = False,
    photos: Sequence[tuple[SheetKey, Path]] = (),
    among: Collection[Path] = (),
) -> Back:
    """Return what files whose tables were read would make of a season; a pure computation. See :func:`read_back`.

    Raises:
        InputError: a file that is not ``among`` those that may be passed over holds no table of habitat or records;
            with every one that does not.
    """
    season, plan = held.season, held.plan
    known = FieldSeason(season, plan, FieldForm.of(season, held.identity), EveningLight(season, plan))
    read, passed = _all_said(files, known, held.records, among)
    said, clashes = together((one for each in read for one in each.said), season.tzinfo)
    joining = AgainstSeason(known, draft, today)
    sheets, records = ({sheet.key: sheet for sheet in held.sheets}, {record.key: record for record in held.records})
    for key, one in said.items():
        if isinstance(key, SheetKey):
            joining.sheet(one, sheets.get(key))
        else:
            joining.record(one, records.get(key))
    there = {*said, *sheets}
    return Back(
        files=tuple(_file_back(each) for each in read),
        sheets=tuple(sorted(joining.sheets, key=lambda sheet: sheet.key)),
        records=tuple(sorted(joining.records, key=lambda record: record.key)),
        photos=tuple((_with_observer(known, key, there), path) for key, path in photos),
        bad=(*(cell for each in read for cell in each.bad), *clashes),
        notes=(*(note for each in read for note in each.notes), *joining.notes, *_strangers(joining, held)),
        same=joining.same,
        passed_over=tuple(passed),
        before=(held.sheets, held.records),
    )


def _strangers(joined: AgainstSeason, held: FieldHeld) -> Iterator[str]:
    """Say which new sheets are of people who neither are planned to go there nor went: it may be another route's."""
    known = {sheet.key for sheet in held.sheets}
    went: dict[VisitKey, set[str]] = {visit.key: set(visit.people) for visit in held.plan}
    for record in (*held.records, *joined.records):
        went.setdefault(record.key.visit_key, set()).update(record.team)
    strange: dict[tuple[VisitKey, str], list[int]] = {}
    for key in sorted(sheet.key for sheet in joined.sheets if sheet.key not in known):
        visit = VisitKey(key.route, key.visit)
        if key.observer and key.observer not in went.get(visit, {key.observer}):
            strange.setdefault((visit, key.observer), []).append(key.point)
    for (visit, observer), points in strange.items():
        there = " and ".join(sorted(went[visit]))
        which = points_words(tuple(dict.fromkeys(points)))
        yield f"{visit}, {which}: sheets by {observer}, and {there} should have gone. Look whether the route is right."


def _states(count: int, final: int) -> str:
    drafts = count - final
    return f"{count}, {'all final' if not drafts else f'{final} final and {drafts} as drafts'}"


def _photo_faults(season: Season, photos: Sequence[tuple[SheetKey, Path]]) -> Iterator[Fault]:
    """Yield what is wrong with pictures, and with what they are said to show; before anything is kept."""
    for key, path in photos:
        strange = strange_words(season, key)
        if strange:
            todo = "Name a route, a visit and a point of this season."
            yield Fault(str(path), "", "a picture of a point whose habitat is estimated", strange, todo)
        try:
            read_photo(path)
        except InputError as error:
            yield from error.faults


def _with_observer(season: FieldSeason, key: SheetKey, keys: Collection[SheetKey | RecordKey]) -> SheetKey:
    """Return the sheet that a picture belongs to: where nobody is named, the only one of its point, or the lead's."""
    if key.observer:
        return key
    there = [one for one in keys if isinstance(one, SheetKey) and replace(one, observer="") == key]
    return there[0] if len(there) == 1 else replace(key, observer=season.lead_of(key.route, key.visit))


def _all_said(
    files: Sequence[tuple[Path, Sequence[Grid]]],
    season: FieldSeason,
    records: Sequence[VisitRecord],
    among: Collection[Path],
) -> tuple[list[FileSaid], list[PassedOver]]:
    recorded: dict[VisitKey, tuple[dt.date, ...]] = {}
    for record in records:
        recorded[record.key.visit_key] = (*recorded.get(record.key.visit_key, ()), record.key.date)
    read, passed, faults = list[FileSaid](), list[PassedOver](), list[Fault]()
    beside = evenings_told((grids for _, grids in files), season) if len(files) > 1 else None
    for path, grids in files:
        try:
            read.append(file_said(path, grids, season, recorded, beside))
        except InputError as error:
            if path in among:
                passed.append(PassedOver(path, tuple(error.faults)))
            else:
                faults += error.faults
    if faults:
        raise InputError(*faults)
    return read, passed


def _file_back(each: FileSaid) -> FileBack:
    keys = {one.key for one in each.said}
    sheets = sum(isinstance(key, SheetKey) for key in keys)
    return FileBack(each.path, sheets, len(keys) - sheets, len(each.bad))
