"""What came back from the field and what is missing; and which sheets or records are meant by what somebody types."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from planner.domain.errors import RuleError
from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey, SheetState
from planner.domain.field.sheet_rules import sheet_faults
from planner.domain.field.visit_record import RecordKey
from planner.domain.plan import VisitKey
from planner.domain.season import Season
from planner.store import SeasonFile
from planner.usecases.records.standing import EveningStanding, evening_standings
from planner.usecases.sheets.standing import RouteStanding, sheet_standings


@dataclass(frozen=True, slots=True)
class CameBack:
    """How far the records and habitat sheets of a season have come."""

    evenings: tuple[EveningStanding, ...]
    sheets: tuple[RouteStanding, ...]
    """Route by route; none where the protocol asks for no habitat."""
    drafts: tuple[tuple[SheetKey, tuple[str, ...]], ...]
    """Sheets that are not handed in, each with what keeps it from being final."""

    @property
    def wants_doing(self) -> bool:
        """Whether a record is late or a draft, or a sheet is a draft."""
        return bool(self.drafts) or any(one.standing.wants_doing for one in self.evenings)


def came_back(file: SeasonFile, today: dt.date, routes: tuple[str, ...] = ()) -> CameBack:
    """Return how far records and sheets have come; the file is not changed.

    Args:
        file: the season file.
        today: an evening before it is over.
        routes: codes of those that are asked about; none: all.

    Raises:
        RuleError: the season has no such route.
    """
    season = file.season()
    asked = {season.route(code).code for code in routes} or {route.code for route in season.routes}
    sheets = [sheet for sheet in file.sheets() if sheet.key.route in asked]
    standings = sheet_standings(season, sheets) if season.protocol.habitat is not None else ()
    return CameBack(
        evenings=tuple(one for one in evening_standings(file.plan(), file.records(), today) if one.key.route in asked),
        sheets=tuple(one for one in standings if one.route.code in asked),
        drafts=tuple((sheet.key, _against(season, sheet)) for sheet in sheets if sheet.state is SheetState.DRAFT),
    )


def sheets_meant(file: SeasonFile, words: str, *, drafts: bool = False) -> tuple[SheetKey, ...]:
    """Return the sheets that are meant: R04, R04/1, R04/1/3, or R04/1/3/V07 where two people estimated.

    Args:
        file: the season file.
        words: route, then visit, point and observer as far as they are said.
        drafts: whether those that are final already are left out.

    Raises:
        RuleError: there is no such sheet.
    """
    wanted = words.split("/")
    found = tuple(
        sheet.key
        for sheet in file.sheets()
        if _said(sheet.key)[: len(wanted)] == wanted and not (drafts and sheet.state is SheetState.FINAL)
    )
    if not found:
        raise RuleError(f"there is no habitat sheet of {words!r}; write ROUTE, ROUTE/VISIT or ROUTE/VISIT/POINT")
    return found


def record_meant(file: SeasonFile, visit: VisitKey, date: dt.date | None) -> RecordKey:
    """Return the record of a visit that is meant: that of a date, else the only one.

    Raises:
        RuleError: there is none, or several and no date is said.
    """
    keys = [one.key for one in file.records() if one.key.visit_key == visit and date in (None, one.key.date)]
    if not keys:
        raise RuleError(f"there is no record of {visit}{f' on {date}' if date else ''}")
    if len(keys) > 1:
        raise RuleError(f"{visit} has records of {', '.join(str(key.date) for key in keys)}: say which by its date")
    return keys[0]


def _said(key: SheetKey) -> list[str]:
    return [key.route, str(key.visit), str(key.point), key.observer]


def _against(season: Season, sheet: HabitatSheet) -> tuple[str, ...]:
    rule = season.protocol.habitat
    return tuple(str(fault) for fault in sheet_faults(sheet, rule)) if rule is not None else ()
