"""Every finding on the habitat sheets of a season."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from planner.domain.field.absent_class import EVERY_POINT
from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey, SheetState
from planner.domain.field.record_ground import points_words
from planner.domain.field.sheet_places import habitat_visits, strange_words
from planner.domain.field.sheet_rules import SheetFault, sheet_faults
from planner.domain.field.visit_record import RecordState, VisitRecord
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.habitat import HabitatRule
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.domain.season import Season
from planner.usecases.sheets.comparing import compared_sheets, observer_words
from planner.usecases.sheets.outing_dates import outing_dates
from planner.usecases.sheets.photos import lost_photos, photos_away
from planner.usecases.wording import beside_limit_words, day_words, listed


@dataclass(frozen=True, slots=True)
class KeptSheets:
    """The habitat sheets that are kept, and where their pictures should lie."""

    sheets: tuple[HabitatSheet, ...] = ()
    season_path: Path | None = None
    """The season file that the pictures lie beside; None: they are not looked for."""


NO_SHEETS = KeptSheets()
_MOST_DRAFTS = 3
"""Drafts of one visit whose faults are told one by one; of more the first."""


def kept_sheet_findings(
    season: Season,
    plan: Plan,
    kept: KeptSheets,
    records: Sequence[VisitRecord] = (),
    today: dt.date | None = None,
) -> tuple[Finding, ...]:
    """Return every finding on the sheets and on their pictures; see :func:`sheet_findings`."""
    lost = _lost(kept.season_path, kept.sheets) if kept.season_path is not None else ()
    return (*sheet_findings(season, plan, kept.sheets, records, today), *lost)


def sheet_findings(
    season: Season,
    plan: Plan,
    sheets: Sequence[HabitatSheet],
    records: Sequence[VisitRecord] = (),
    today: dt.date | None = None,
) -> tuple[Finding, ...]:
    """Return what needs a look in the sheets, each by itself, against each other, and against plan and records.

    Args:
        season: its protocol, routes and volunteers.
        plan: as it stands.
        sheets: all that are kept, drafts too.
        records: all visit records that are kept.
        today: sheets of visits before it are asked for where others of that visit have come back; None: not known.
    """
    rule = season.protocol.habitat
    if rule is None:
        return tuple(_unwanted(sheets))
    found: list[Finding] = []
    belonging = []
    for sheet in sheets:
        strange = strange_words(season, sheet.key)
        if strange:
            found.append(_strange(sheet.key, strange))
            continue
        belonging.append(sheet)
        found += _stranger(season, sheet.key)
        found += _absent(season, sheet, rule)
        found += _away(season, sheet, rule)
    found += _of_rules(belonging, rule)
    found += _undated(belonging, outing_dates(plan, records))
    found += _missing(season, plan, sheets, records, today)
    return (*found, *(compared.finding for compared in compared_sheets(season, sheets)))


def _unwanted(sheets: Sequence[HabitatSheet]) -> Iterator[Finding]:
    if sheets:
        what = f"There are {len(sheets)} habitat sheets, and the protocol asks for none."
        yield Finding(Rule.SHEET_STRANGE, Severity.DOUBT, Subject(), what, "Take them away, or look at the protocol.")


def _strange(key: SheetKey, why: str) -> Finding:
    what = f"There is a habitat sheet of it, but {why}."
    todo = "Bring it to the point it was estimated at, or take it away."
    return Finding(Rule.SHEET_STRANGE, Severity.TROUBLE, _subject(key), what, todo)


def _stranger(season: Season, key: SheetKey) -> Iterator[Finding]:
    if key.observer and all(one.code != key.observer for one in season.volunteers):
        what = f"The habitat sheet is of {key.observer}, who is no volunteer of the season."
        todo = "Say whose sheet it is, or add the volunteer."
        yield Finding(Rule.SHEET_STRANGE, Severity.DOUBT, _subject(key), what, todo)


def _of_rules(sheets: Iterable[HabitatSheet], rule: HabitatRule) -> Iterator[Finding]:
    """Say what keeps sheets from being final; of many drafts of one visit together, for they are being written."""
    drafts: dict[VisitKey, list[tuple[HabitatSheet, tuple[SheetFault, ...]]]] = defaultdict(list)
    for sheet in sheets:
        faults = sheet_faults(sheet, rule)
        if faults and sheet.state is SheetState.FINAL:
            what = f"The habitat sheet was handed in: {_fault_words(faults)}."
            yield Finding(faults[0].rule, Severity.TROUBLE, _subject(sheet.key), what, "Reopen it and mend it.")
        elif faults:
            drafts[_visit_of(sheet.key)].append((sheet, faults))
    for key, faulty in drafts.items():
        yield from _drafts(key, faulty)


def _drafts(key: VisitKey, faulty: Sequence[tuple[HabitatSheet, tuple[SheetFault, ...]]]) -> Iterator[Finding]:
    if len(faulty) <= _MOST_DRAFTS:
        for sheet, faults in faulty:
            what = f"The habitat sheet is a draft: {_fault_words(faults)}."
            todo = f"{faults[0].todo} Then hand it in."
            yield Finding(faults[0].rule, Severity.DOUBT, _subject(sheet.key), what, todo)
        return
    (first, faults), *_ = faulty
    points = points_words(tuple(dict.fromkeys(sheet.key.point for sheet, _ in faulty)))
    what = f"The habitat sheets of {points} are drafts; of point {first.key.point}: {_fault_words(faults)}."
    subject = Subject(route=key.route, visit=key.number)
    yield Finding(faults[0].rule, Severity.DOUBT, subject, what, "Complete them in the Sheets room and hand them in.")


def _fault_words(faults: Iterable[SheetFault]) -> str:
    return "; ".join(map(str, faults))


def _absent(season: Season, sheet: HabitatSheet, rule: HabitatRule) -> Iterator[Finding]:
    key = sheet.key
    for one in season.absent_classes:
        percent = max(cover.percent(one.class_code) for cover in sheet.covers)
        known = rule.by_code.get(one.class_code)
        if percent and known is not None and one.holds_at(key.route, key.point):
            where = "on the route" if one.point == EVERY_POINT else "at the point"
            what = f"{known.name.capitalize()} {percent} %: there can be none {where}."
            todo = (
                f"Ask {observer_words(season, key.observer)} what was seen, or say in the Sheets room that it can be."
            )
            yield Finding(Rule.SHEET_ABSENT_CLASS, Severity.TROUBLE, _subject(key), what, todo)


def _away(season: Season, sheet: HabitatSheet, rule: HabitatRule) -> Iterator[Finding]:
    for away in photos_away(season, sheet):
        if away.photo.belongs:
            continue
        metres = beside_limit_words(away.metres, rule.radius.metres)
        what = f"The photo {away.photo.name} was taken {metres} from the point; the circle is {rule.radius} in radius."
        todo = "Look whether it belongs to another point, or whether the point stands where it is on the map."
        yield Finding(Rule.PHOTO_FAR, Severity.DOUBT, _subject(sheet.key), what, todo)


def _undated(sheets: Iterable[HabitatSheet], dates: Mapping[VisitKey, frozenset[dt.date]]) -> Iterator[Finding]:
    """Say which sheets have a date that no outing of their visit has; those of one visit and date together."""
    strange: dict[tuple[VisitKey, dt.date], list[SheetKey]] = defaultdict(list)
    for sheet in sheets:
        visit = _visit_of(sheet.key)
        if sheet.date is not None and sheet.date not in dates.get(visit, ()):
            strange[visit, sheet.date].append(sheet.key)
    for (visit, date), keys in strange.items():
        when = listed(map(day_words, sorted(dates.get(visit, ()))))
        outings = f"Its outings are on {when}" if when else "None of its outings is planned"
        points = points_words(tuple(dict.fromkeys(key.point for key in keys)))
        whose = f"The habitat sheets of {points} have" if len(keys) > 1 else "The habitat sheet has"
        subject = Subject(route=visit.route, visit=visit.number) if len(keys) > 1 else _subject(keys[0])
        todo = "Mend the date, or write down the outing that it was estimated on."
        year = "" if date.year in {day.year for day in dates.get(visit, ())} else f" {date.year}"
        what = f"{whose} the date {day_words(date)}{year}. {outings}."
        yield Finding(Rule.SHEET_DATE, Severity.DOUBT, subject, what, todo)


def _missing(
    season: Season,
    plan: Plan,
    sheets: Sequence[HabitatSheet],
    records: Sequence[VisitRecord],
    today: dt.date | None,
) -> Iterator[Finding]:
    """Ask for the sheets that lack of visits that were made.

    A visit of which nothing came back at all is asked for as a whole, with its record.
    """
    back: dict[VisitKey, set[int]] = defaultdict(set)
    for sheet in sheets:
        back[_visit_of(sheet.key)].add(sheet.key.point)
    recorded = {record.key.visit_key for record in records if record.state is RecordState.FINAL}
    planned = plan.by_key
    for route in season.routes:
        for number in habitat_visits(season.protocol):
            key = VisitKey(route.code, number)
            made = key in recorded or _made(planned.get(key), today, some_back=bool(back[key]))
            lacking = [point.number for point in route.points if point.number not in back[key]]
            if made and lacking:
                yield _lacking(key, tuple(lacking), whole=len(lacking) == len(route.points))


def _made(visit: PlannedVisit | None, today: dt.date | None, *, some_back: bool) -> bool:
    if visit is None:
        return False
    return visit.status is Status.DONE or (some_back and today is not None and visit.date < today)


def _lacking(key: VisitKey, points: tuple[int, ...], *, whole: bool) -> Finding:
    lack = "lacks its" if len(points) == 1 else "lack their"
    what = (
        "None of its points has a habitat sheet yet."
        if whole
        else f"{points_words(points).capitalize()} {lack} habitat sheet{'s' if len(points) > 1 else ''}."
    )
    subject = Subject(route=key.route, visit=key.number)
    todo = "Enter them in the Sheets room, or ask for them."
    return Finding(Rule.SHEET_MISSING, Severity.DOUBT, subject, what, todo)


def _lost(season_path: Path, sheets: Iterable[HabitatSheet]) -> Iterator[Finding]:
    kept = tuple(sheets)
    lost = lost_photos(season_path, kept)
    for sheet in kept:
        names = [photo.name for photo in sheet.photos if photo.content_hash in lost]
        if names:
            are = "is" if len(names) == 1 else "are"
            what = f"{listed(names)} {are} no longer beside the season file."
            todo = "Attach it again, or put the folder of photos back beside the season file."
            yield Finding(Rule.PHOTO_LOST, Severity.TROUBLE, _subject(sheet.key), what, todo)


def _visit_of(key: SheetKey) -> VisitKey:
    return VisitKey(key.route, key.visit)


def _subject(key: SheetKey) -> Subject:
    return Subject(route=key.route, point=key.point, visit=key.visit, volunteer=key.observer)
