"""Every finding on the habitat sheets of a season."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from planner.domain.field.absent_class import EVERY_POINT
from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey, SheetState
from planner.domain.field.record_ground import points_words
from planner.domain.field.sheet_places import habitat_visits, strange_words
from planner.domain.field.sheet_rules import sheet_faults
from planner.domain.field.visit_record import RecordState, VisitRecord
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.habitat import HabitatRule
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.domain.season import Season
from planner.usecases.route_checks.wording import beside_limit_words, day_words, listed
from planner.usecases.sheets.comparing import compared_sheets, observer_words
from planner.usecases.sheets.photos import lost_photos, photos_away


@dataclass(frozen=True, slots=True)
class KeptSheets:
    """The habitat sheets that are kept, and where their pictures should lie."""

    sheets: tuple[HabitatSheet, ...] = ()
    season_path: Path | None = None
    """The season file that the pictures lie beside; None: they are not looked for."""


NO_SHEETS = KeptSheets()


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
    dates = _outing_dates(plan, records)
    found: list[Finding] = []
    for sheet in sheets:
        strange = strange_words(season, sheet.key)
        if strange:
            found.append(_strange(sheet.key, strange))
            continue
        found += _stranger(season, sheet.key)
        found += _of_rules(sheet, rule)
        found += _absent(season, sheet, rule)
        found += _away(season, sheet, rule)
        found += _undated(sheet, dates.get(_visit_of(sheet.key), frozenset()))
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


def _of_rules(sheet: HabitatSheet, rule: HabitatRule) -> Iterator[Finding]:
    faults = sheet_faults(sheet, rule)
    if not faults:
        return
    words = "; ".join(map(str, faults))
    if sheet.state is SheetState.FINAL:
        severity, begin, todo = Severity.TROUBLE, "The habitat sheet was handed in", "Reopen it and mend it."
    else:
        severity, begin, todo = Severity.DOUBT, "The habitat sheet is a draft", f"{faults[0].todo} Then hand it in."
    yield Finding(faults[0].rule, severity, _subject(sheet.key), f"{begin}: {words}.", todo)


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
        metres = beside_limit_words(away.metres, rule.radius.metres)
        what = f"The photo {away.photo.name} was taken {metres} from the point; the circle is {rule.radius} in radius."
        todo = "Look whether it belongs to another point, or whether the point stands where it is on the map."
        yield Finding(Rule.PHOTO_FAR, Severity.DOUBT, _subject(sheet.key), what, todo)


def _undated(sheet: HabitatSheet, dates: frozenset[dt.date]) -> Iterator[Finding]:
    """Say that a sheet has the date of no outing of its visit."""
    if sheet.date is None or sheet.date in dates:
        return
    when = "None of its outings is planned" if not dates else f"It went out on {listed(map(day_words, sorted(dates)))}"
    what = f"The habitat sheet has the date {day_words(sheet.date)}. {when}."
    todo = "Mend the date, or write down the outing that it was estimated on."
    yield Finding(Rule.SHEET_DATE, Severity.DOUBT, _subject(sheet.key), what, todo)


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


def _outing_dates(plan: Plan, records: Iterable[VisitRecord]) -> dict[VisitKey, frozenset[dt.date]]:
    """Return the dates on which habitat of a visit can have been estimated: planned, set up, held back, or recorded."""
    dates: dict[VisitKey, set[dt.date]] = defaultdict(set)
    for visit in plan:
        dates[visit.key] |= {one for one in (visit.date, visit.setup, visit.reserve) if one is not None}
    for record in records:
        dates[record.key.visit_key].add(record.key.date)
    return {key: frozenset(found) for key, found in dates.items()}


def _visit_of(key: SheetKey) -> VisitKey:
    return VisitKey(key.route, key.visit)


def _subject(key: SheetKey) -> Subject:
    return Subject(route=key.route, point=key.point, visit=key.visit, volunteer=key.observer)
