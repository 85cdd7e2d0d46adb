"""The entries of a volunteer's calendar as the plan stands: outings, set-up days, dates in reserve."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from cattrs.errors import BaseValidationError
from cattrs.preconf.json import make_converter

from planner.domain.clock_times import minute_before, nearest_minute
from planner.domain.errors import DimpsyError, SeasonFileError
from planner.domain.field.calendar_entry import CalendarEntry
from planner.domain.field.told import Told, ToldKey, ToldKind
from planner.domain.itinerary import Partner
from planner.domain.outing import Outing, Step, StepKind
from planner.domain.plan import Plan, PlannedVisit, Status
from planner.scheduling import SeasonProblem, outing_for, setup_outing_for
from planner.usecases.evening.outings import time_away

_CONVERTER = make_converter()


def entries_of(problem: SeasonProblem, plan: Plan, code: str) -> Mapping[ToldKey, CalendarEntry]:
    """Return the entries of one volunteer by their keys.

    A visit that is done holds no date in reserve any more.

    Raises:
        DimpsyError: an outing cannot be timed.
    """
    return {one.key: one.timed() for one in _wanted(problem, plan, code)}


def content_of(entry: CalendarEntry) -> str:
    """Return an entry as the log keeps it: equal texts for equal entries, and nothing else."""
    return json.dumps(_CONVERTER.unstructure(entry), ensure_ascii=False, sort_keys=True)


def entry_of(content: str) -> CalendarEntry:
    """Return the entry that the log keeps as that text.

    Raises:
        SeasonFileError: it is no entry: the season file was changed from outside.
    """
    try:
        return _CONVERTER.loads(content, CalendarEntry)
    except (BaseValidationError, ValueError) as error:
        raise SeasonFileError(
            "What people were last told cannot be read: another program wrote to the season file."
            " Take the copy that lies beside it, NAME.dimpsy.backup-1."
        ) from error


def standing(log: Iterable[Told], entries: Mapping[ToldKey, CalendarEntry], today: dt.date) -> Mapping[ToldKey, str]:
    """Return the content of the entries that people should have, where what is over is left as it is.

    Of an outing that was told and is over nobody needs to hear that a telephone number in it has changed, nor of one
    over and never told. A date in reserve and a set-up day that passed and stand no longer are left alone too; a visit
    that stands no longer is told in any case.

    Args:
        log: what was told, of those people only.
        entries: what the plan holds for them.
        today: what is before it is over.
    """
    told = {one.key: one for one in log}
    past = {key for key, one in told.items() if not one.cancelled and entry_of(one.content).date < today}
    kept = {}
    for key, entry in entries.items():
        over = entry.date < today
        if over and key in past:
            kept[key] = told[key].content
        elif not over or key in told:
            kept[key] = content_of(entry)
    left = {key: told[key].content for key in past - entries.keys() if key.kind is not ToldKind.VISIT}
    return {**kept, **left}


def entries_as_far_as_timed(
    problem: SeasonProblem, plan: Plan, code: str
) -> tuple[Mapping[ToldKey, CalendarEntry], frozenset[ToldKey]]:
    """Return the entries of one volunteer, and the keys of those whose outing cannot be timed: their hours say nothing.

    A letter must say that an outing falls away also where nobody can tell any more when it would have begun.
    """
    found: dict[ToldKey, CalendarEntry] = {}
    untimed: set[ToldKey] = set()
    for made in _wanted(problem, plan, code):
        try:
            found[made.key] = made.timed()
        except DimpsyError:
            found[made.key] = made.untimed()
            untimed.add(made.key)
    return found, frozenset(untimed)


def _wanted(problem: SeasonProblem, plan: Plan, code: str) -> Iterator[_Entry]:
    return (_Entry(problem, visit, code, kind) for visit in plan.of_volunteer(code) for kind in _kinds(visit, code))


def _kinds(visit: PlannedVisit, code: str) -> Iterator[ToldKind]:
    if visit.setup is not None and visit.setup != visit.date and visit.lead == code:
        yield ToldKind.SETUP
    yield ToldKind.VISIT
    if visit.reserve is not None and visit.status is not Status.DONE:
        yield ToldKind.RESERVE


@dataclass(frozen=True, slots=True)
class _Entry:
    """One entry of one visit for one of its people, while it is made."""

    problem: SeasonProblem
    visit: PlannedVisit
    code: str
    kind: ToldKind

    @property
    def key(self) -> ToldKey:
        return ToldKey(self.code, self.visit.key.route, self.visit.key.number, self.kind)

    @property
    def date(self) -> dt.date:
        dates = {ToldKind.SETUP: self.visit.setup, ToldKind.RESERVE: self.visit.reserve}
        return dates.get(self.kind) or self.visit.date

    def timed(self) -> CalendarEntry:
        outing = self._outing()
        leave, due = time_away(outing)
        drive = _first_drive(outing)
        counts = [step for one in _skies(outing) for step in one.of_kind(StepKind.COUNT)]
        return replace(
            self._bare(leave, due, drive.point),
            arrive_utc=minute_before(drive.end_utc),
            count_utc=nearest_minute(min(step.start_utc for step in counts)) if counts else None,
            by_sky=outing.overcast is not None,
            order=outing.way,
            habitat_first=_habitat_first(outing),
        )

    def untimed(self) -> CalendarEntry:
        noon = dt.datetime.combine(self.date, dt.time(12), tzinfo=self.problem.season.tzinfo).astimezone(dt.UTC)
        return self._bare(noon, noon + dt.timedelta(minutes=1), None)

    def _outing(self) -> Outing:
        if self.kind is ToldKind.SETUP:
            return setup_outing_for(self.problem, self.visit, self.code)
        return outing_for(self.problem, self.visit, self.code, reserve=self.kind is ToldKind.RESERVE)

    def _bare(self, leave: dt.datetime, due: dt.datetime, first: int | None) -> CalendarEntry:
        """Return the entry without what hangs on the order of the work."""
        season, visit, kind = self.problem.season, self.visit, self.kind
        route = season.route(visit.key.route)
        point = first if first is not None else route.points[0].number
        return CalendarEntry(
            kind=kind,
            season=season.name,
            route=route.title,
            visit=visit.key.number,
            date=self.date,
            zone=season.zone,
            leave_utc=leave,
            arrive_utc=leave,
            count_utc=None,
            due_utc=due,
            by_sky=False,
            first_point=point,
            place=route.point(point).place,
            order=(),
            setup=kind is ToldKind.SETUP or (visit.lead == self.code and visit.setup == self.date),
            habitat_first=False,
            leads=visit.lead == self.code,
            partner=None if kind is ToldKind.SETUP else self._partner(),
            reserve=visit.reserve if kind is ToldKind.VISIT else None,
            coordinator=season.coordinator,
            cautions=season.protocol.safety.cautions,
            invented=season.protocol.invented,
        )

    def _partner(self) -> Partner | None:
        others = [self.problem.season.volunteer(one) for one in self.visit.people if one != self.code]
        return Partner(others[0].first_name, others[0].telephone) if others else None


def _skies(outing: Outing) -> tuple[Outing, ...]:
    return (outing,) if outing.overcast is None else (outing, outing.overcast)


def _first_drive(outing: Outing) -> Step:
    """Return the drive from home, by the sky that asks to leave first."""
    return min((one.steps[0] for one in _skies(outing)), key=lambda step: step.start_utc)


def _habitat_first(outing: Outing) -> bool:
    """Return whether all habitat of an outing is done before its first count."""
    habitat, counts = outing.of_kind(StepKind.HABITAT), outing.of_kind(StepKind.COUNT)
    return bool(habitat and counts) and habitat[-1].start_utc < counts[0].start_utc
