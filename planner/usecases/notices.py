"""What those are told whom a change touches: one plain letter each, with their own data and nobody else's."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from urllib.parse import quote

from planner.domain.disruption import (
    Disruption,
    EveningCancelled,
    PartlyDone,
    RoadClosed,
    SetupCancelled,
    VisitCancelled,
    VisitsCancelled,
)
from planner.domain.errors import DimpsyError
from planner.domain.plan import PlannedVisit
from planner.domain.season import Season
from planner.scheduling import Move, SeasonProblem, outing_for
from planner.usecases.evening import time_away


@dataclass(frozen=True, slots=True)
class Notice:
    """One letter to one volunteer."""

    volunteer: str
    name: str
    telephone: str
    email: str
    subject: str
    text: str
    """Lines ended by ``\\\\n``."""
    fresh_paper: bool
    """Whether a new itinerary goes with it; False: they have no outing any more, and their paper is void."""

    @property
    def mail_address(self) -> str:
        """The letter as a ``mailto`` address (RFC 6068) that a mail program opens; empty where there is no e-mail."""
        if not self.email:
            return ""
        body = quote(self.text.replace("\n", "\r\n"), safe="")
        return f"mailto:{quote(self.email, safe='@')}?subject={quote(self.subject, safe='')}&body={body}"


def notices(
    problem: SeasonProblem, moves: Sequence[Move], going: Sequence[str], because: str, today: dt.date = dt.date.min
) -> tuple[Notice, ...]:
    """Return a letter to everybody whose outings differ: who would go out first comes first.

    A letter holds the reader's own outings, the first name and number of whoever goes with them, and the
    coordinator's number: of others it says nothing.

    Args:
        problem: the season as it stands after the change.
        moves: every visit that differs.
        going: codes of those who still have an outing.
        because: what broke, in words that may be told to all of them: 'the weather'. Empty: nothing is said of it.
        today: an evening before it is over: nobody is told to stay away from it.
    """
    soonest: dict[str, dt.date] = {}
    for move in moves:
        for code in move.people:
            soonest[code] = min(soonest.get(code, dt.date.max), move.before.date)
    touched = (one for one in problem.season.volunteers if one.code in soonest)
    people = sorted(touched, key=lambda one: soonest[one.code])
    return tuple(
        _Letter(problem, one.code, tuple(moves), because, today).written(fresh_paper=one.code in going)
        for one in people
    )


def cause_told(disruption: Disruption) -> str:
    """Return what broke in words that everybody may read; empty where it is somebody's own affair."""
    match disruption:
        case VisitCancelled() | VisitsCancelled() | SetupCancelled() | EveningCancelled():
            return "the weather"
        case RoadClosed():
            return "a road that is closed"
        case PartlyDone():
            return "a visit that could not be finished"
    return ""


@dataclass(frozen=True, slots=True)
class _Letter:
    """One letter while it is written."""

    problem: SeasonProblem
    code: str
    moves: tuple[Move, ...]
    because: str
    today: dt.date

    @property
    def season(self) -> Season:
        return self.problem.season

    def written(self, *, fresh_paper: bool) -> Notice:
        person = self.season.volunteer(self.code)
        mine = [move for move in self.moves if self.code in move.people]
        lines = [f"Dear {person.first_name},", "", *self._opening(), ""]
        for move in mine:
            lines += [*self._move(move), ""]
        lines += self._closing(fresh_paper=fresh_paper)
        return Notice(
            volunteer=self.code,
            name=person.name,
            telephone=person.telephone,
            email=person.email,
            subject=f"{self.season.name}: your outings change",
            text="\n".join(lines),
            fresh_paper=fresh_paper,
        )

    def _opening(self) -> Iterator[str]:
        cause = f" because of {self.because}" if self.because else ""
        yield f"the plan of {self.season.name} has changed{cause}. For you this means:"

    def _move(self, move: Move) -> Iterator[str]:
        route = self.season.route(move.key.route)
        yield f"{route.title}, visit {move.key.number}"
        before, after = move.before, move.after
        was = self.code in before.people
        stays = after is not None and self.code in after.people
        if was and (after is None or not stays or after.date != before.date):
            over = before.date < self.today
            yield f"  {_day(before.date)} is over." if over else f"  Do not go out on {_day(before.date)}."
        if after is None:
            yield "  There is no new date yet. I shall be in touch."
        elif not stays:
            yield "  This visit is no longer yours. Thank you for having taken it on."
        else:
            yield from self._now(before if was else None, after)

    def _now(self, before: PlannedVisit | None, after: PlannedVisit) -> Iterator[str]:
        if before is not None and before.date == after.date:
            yield f"  Your outing stays on {_day(after.date)}."
        else:
            yield f"  {'New date' if before is not None else 'You are asked to go out on'}: {_day(after.date)}."
        yield f"  {self._company(after)}"
        yield from self._times(after)
        if after.setup is not None and after.lead == self.code and after.setup != after.date:
            yield f"  Set-up day: {_day(after.setup)}."
        yield f"  Date in reserve: {_day(after.reserve)}." if after.reserve else "  There is no date in reserve."

    def _company(self, visit: PlannedVisit) -> str:
        role = "You lead" if visit.lead == self.code else "You are the second"
        others = [self.season.volunteer(code) for code in visit.people if code != self.code]
        if not others:
            return f"{role}, alone."
        return f"{role}, with {others[0].first_name} {others[0].telephone}".rstrip() + "."

    def _times(self, visit: PlannedVisit) -> Iterator[str]:
        try:
            outing = outing_for(self.problem, visit, self.code)
        except DimpsyError:
            return
        leave, due = (moment.astimezone(self.season.tzinfo) for moment in time_away(outing))
        yield f"  Leave home by {leave:%H:%M}; due back at {due:%H:%M}."

    def _closing(self, *, fresh_paper: bool) -> Iterator[str]:
        if fresh_paper:
            yield "A new itinerary comes with this message; please destroy the one you have."
        else:
            yield "You have no outing in the plan now; please destroy the itinerary you have."
        yield "If the new date does not suit you, or anything is unclear, please ring me before you go out."
        yield "Please answer, so that I know that you have read this."
        yield ""
        coordinator = self.season.coordinator
        yield from (line for line in (coordinator.name, coordinator.telephone) if line)
        if self.season.protocol.invented:
            yield ""
            yield "Invented demo: nothing here is real; do not go out with it."


def _day(day: dt.date) -> str:
    return f"{day:%A} {day.day} {day:%B}"
