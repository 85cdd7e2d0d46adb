"""What is asked of the programme's board: what only it can help with, the most pressing first."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterator, Sequence

from planner.domain.reports.hours import Basis, HoursReport
from planner.domain.reports.progress import Progress, VisitState
from planner.domain.reports.season_report import Chances

FAINT = 0.5
"""A route less likely complete than not is worth a word to the board: our choice."""
_MOST_NAMED = 3


def asked_of_board(progress: Progress, chances: Chances | None, hours: HoursReport, today: dt.date) -> tuple[str, ...]:
    """Return requests in sentences; none where nothing is wanting on that day."""
    return (
        *_people(progress),
        *_records(progress),
        *_sheets(progress),
        *_short(progress, today),
        *_chances(progress, chances),
        *_hours(hours),
    )


def _people(progress: Progress) -> Iterator[str]:
    unfilled = [one for one in progress.standings if one.state is VisitState.UNFILLED]
    if unfilled:
        areas = Counter(one.area for one in unfilled).most_common(_MOST_NAMED)
        where = ", ".join(f"{area} {count}" for area, count in areas)
        yield f"Find volunteers: {_counted(len(unfilled), 'visit has', 'visits have')} nobody ({where})."


def _records(progress: Progress) -> Iterator[str]:
    count = progress.whole.count(VisitState.UNRECORDED)
    if count:
        yield f"Press for records: {_counted(count, 'visit is', 'visits are')} past without a finished record."


def _sheets(progress: Progress) -> Iterator[str]:
    count = progress.whole.sheets.missing
    if count:
        yield f"Press for habitat sheets: {_counted(count, 'is', 'are')} missing of visits that have been made."


def _short(progress: Progress, today: dt.date) -> Iterator[str]:
    """Yield what was cut short and has no new date yet."""
    partly = [one for one in progress.standings if one.state is VisitState.PARTLY]
    short = [one.title for one in partly if one.date is None or one.date < today]
    if short:
        count = _counted(len(short), "visit was", "visits were")
        yield f"Find spare evenings: {count} only partly done ({_named(short)})."


def _chances(progress: Progress, chances: Chances | None) -> Iterator[str]:
    """Yield what the weather may still take; what has been cut short or has passed is asked for elsewhere."""
    behind = {one.key.route for one in progress.standings if one.state in (VisitState.PARTLY, VisitState.UNRECORDED)}
    routes = chances.routes if chances is not None else ()
    faint = [one.route for one in routes if one.whole and one.complete < FAINT and one.route not in behind]
    if faint:
        yield f"Expect gaps: the weather may well leave {_named(faint)} incomplete. Spare evenings there would help."


def _hours(hours: HoursReport) -> Iterator[str]:
    unwritten = hours.hours(Basis.AS_PLANNED)
    if unwritten > 0.0:
        yield f"For match funding, have {unwritten:.0f} hours confirmed that are taken as planned."


def _named(names: Sequence[str]) -> str:
    more = f" and {len(names) - _MOST_NAMED} more" if len(names) > _MOST_NAMED else ""
    return f"{', '.join(names[:_MOST_NAMED])}{more}"


def _counted(number: int, one: str, more: str) -> str:
    return f"{number} {one if number == 1 else more}"
