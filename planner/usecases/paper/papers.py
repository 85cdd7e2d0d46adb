"""Who needs paper: never printed, changed since it was printed, to be called back, or as it stands."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, fields, replace
from enum import StrEnum

from planner.domain.errors import DimpsyError
from planner.domain.finding import Finding
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.domain.season import Season
from planner.store import PrintRun, SeasonFile
from planner.usecases.paper.changes import changes_in_words
from planner.usecases.paper.content import comparable, content_by_visit, content_hash
from planner.usecases.paper.itineraries import PrintFacts, itinerary_for
from planner.usecases.paper.runs import WITHDRAWN, print_bars


class PaperState(StrEnum):
    """How the paper that a volunteer has stands to the plan; the most urgent first."""

    WITHDRAW = "withdraw"
    """They have paper and no outing any more: it must be called back."""
    CHANGED = "changed"
    """Their paper says something else than the plan."""
    NEVER = "never printed"
    """They have an outing and no paper."""
    UNSURE = "not known"
    """They have paper, and what it says was not kept."""
    BARRED = "cannot be compared"
    """They have paper, and while the plan breaks a rule none can be made to compare it with."""
    CURRENT = "current"
    """Their paper says what the plan says of all that is still to be done."""
    DONE = "done"
    """All their visits are done: nobody needs paper for them any more."""

    @property
    def wants_paper(self) -> bool:
        """Whether a new paper is due."""
        return self in (PaperState.CHANGED, PaperState.NEVER, PaperState.UNSURE)


@dataclass(frozen=True, slots=True)
class VolunteerPaper:
    """One volunteer and the paper they have."""

    code: str
    name: str
    """The code again where they are no longer in the season."""
    outings: int
    state: PaperState
    printed_utc: dt.datetime | None
    """When their newest paper was printed; None: never, or it was called back."""
    changes: tuple[str, ...] = ()
    """What is otherwise on it than in the plan, in words."""


@dataclass(frozen=True, slots=True)
class Papers:
    """Everybody who has paper or needs some."""

    people: tuple[VolunteerPaper, ...]
    """In the season's order; those no longer in the season last."""
    bars: tuple[Finding, ...]
    """Broken rules: until they are mended nothing is printed."""
    whole: bool = True
    """False where looking was stopped: some people are left out."""

    def in_state(self, *states: PaperState) -> tuple[str, ...]:
        """Return the codes of those whose paper stands so."""
        return tuple(person.code for person in self.people if person.state in states)

    @property
    def wrong(self) -> tuple[str, ...]:
        """The codes of those who hold a paper that is no longer true."""
        return self.in_state(PaperState.CHANGED, PaperState.WITHDRAW)

    @property
    def wanting(self) -> tuple[str, ...]:
        """The codes of those for whom a new paper is due."""
        return tuple(person.code for person in self.people if person.state.wants_paper)


@dataclass(frozen=True, slots=True)
class PaperLog:
    """What was printed, and the season as it stood then."""

    newest: Mapping[str, PrintRun]
    """The newest entry of each volunteer."""
    then: Mapping[int, tuple[Season, Plan]]
    """The states that papers show, by their steps; those that are gone are left out."""


@dataclass(frozen=True, slots=True, eq=False)
class _Ground:
    """What somebody's itinerary is made from beside their visits, as far as anything of it touches them."""

    computed: tuple[object, ...]
    """The roads, and light and drives of their routes: known by being the same objects still."""
    said: tuple[object, ...]
    """Their routes, themselves and who goes with them, and all of the season beside routes and people."""

    @classmethod
    def of(cls, facts: PrintFacts, code: str, visits: Iterable[PlannedVisit]) -> _Ground:
        season, problem = facts.season, facts.problem
        routes = {visit.key.route for visit in visits}
        people = {code, *(person for visit in visits for person in visit.people)}
        own = tuple(route for route in season.routes if route.code in routes)
        light = (problem.light[route.code] for route in own)
        drives = (problem.drives[route.code] for route in own)
        others = (getattr(season, one.name) for one in fields(season) if one.name not in ("routes", "volunteers"))
        order = tuple(person.code for person in season.volunteers)  # rows of the drives
        team = tuple(person for person in season.volunteers if person.code in people)
        return cls((facts.network, *light, *drives), (own, team, order, *others))

    def is_still(self, other: _Ground) -> bool:
        """Whether an itinerary made from the one says what one made from the other does."""
        return (
            len(self.computed) == len(other.computed)
            and all(one is two for one, two in zip(self.computed, other.computed, strict=True))
            and self.said == other.said
        )


_MOST_KEPT = 2_000
"""Hashes of itineraries; more than a large season has people."""


@dataclass(slots=True)
class PaperHashes:
    """Hashes of itineraries once computed: a change on the board or of a route touches few of them."""

    _known: dict[tuple[str, tuple[PlannedVisit, ...]], tuple[_Ground, str]] = field(default_factory=dict)
    _barred: tuple[PrintFacts, tuple[Finding, ...]] | None = None

    def bars(self, facts: PrintFacts) -> tuple[Finding, ...]:
        """Return the broken rules that keep paper in; the audit is asked once for the same facts."""
        known = self._barred
        if known is None or known[0] is not facts:
            known = self._barred = (facts, print_bars(facts.problem, facts.plan))
        return known[1]

    def of(self, facts: PrintFacts, code: str) -> str:
        """Return the hash of somebody's itinerary; empty where none can be made.

        It hangs on the visits that they go on, on the routes, light and drives of these and on who goes with them,
        nothing else of the plan.
        """
        visits = facts.plan.of_volunteer(code)
        key, ground = (code, tuple(map(on_paper, visits))), _Ground.of(facts, code, visits)
        known = self._known.get(key)
        if known is not None and known[0].is_still(ground):
            return known[1]
        if len(self._known) >= _MOST_KEPT:
            self._known.clear()
        found = _hash(facts, code)
        self._known[key] = ground, found
        return found


def paper_log(file: SeasonFile) -> PaperLog:
    """Read what was printed and the states of the season that the papers show."""
    newest = {run.volunteer: run for run in file.print_runs()}
    revisions = {run.revision for run in newest.values() if run.content_hash != WITHDRAWN}
    states = ((revision, file.as_it_stood(revision)) for revision in sorted(revisions))
    return PaperLog(newest, {revision: state for revision, state in states if state is not None})


def papers(
    facts: PrintFacts, log: PaperLog, hashes: PaperHashes | None = None, stop: Callable[[], bool] = lambda: False
) -> Papers:
    """Judge everybody's paper by what the plan would put on it now, of visits that are not done.

    A paper whose content was not kept, as by earlier versions of the program, is judged by the visits of its time:
    other visits mean that it has changed; the same visits of the same season, that it has not; else it is not known.
    While the plan breaks a rule, so is every paper; what visits cannot tell must wait until the rule is kept.

    Args:
        facts: the season with its light and drives, and the plan.
        log: what was printed.
        hashes: those computed before.
        stop: asked after each volunteer; once true, the others' papers are left out.
    """
    hashes = hashes or PaperHashes()
    bars = hashes.bars(facts)
    done = frozenset(visit.key for visit in facts.plan if visit.status is Status.DONE)
    found = []
    everybody = list(_everybody(facts, log))
    for number, (code, name) in enumerate(everybody, start=1):
        paper = _Case(facts, log, code, broken=bool(bars), done=done).judged(name, hashes)
        if paper is not None:
            found.append(paper)
        if number < len(everybody) and stop():
            return Papers(tuple(found), bars, whole=False)
    return Papers(tuple(found), bars)


def on_paper(visit: PlannedVisit) -> PlannedVisit:
    """Return a visit as far as it stands on paper: neither its status nor a pin does."""
    return replace(visit, status=Status.PLANNED, pinned=False)


def _everybody(facts: PrintFacts, log: PaperLog) -> Iterator[tuple[str, str]]:
    known = {person.code: person.name for person in facts.season.volunteers}
    yield from known.items()
    yield from ((code, code) for code in log.newest if code not in known)


def _hash(facts: PrintFacts, code: str) -> str:
    try:
        return content_hash(itinerary_for(facts, code))
    except DimpsyError:
        return ""


@dataclass(frozen=True, slots=True)
class _Case:
    """One volunteer to be judged."""

    facts: PrintFacts
    log: PaperLog
    code: str
    broken: bool
    """Whether the plan breaks a rule, so that no itinerary may be made of it."""
    done: frozenset[VisitKey]
    """Visits that are done: what a paper says of them matters no more."""

    def judged(self, name: str, hashes: PaperHashes) -> VolunteerPaper | None:
        visits = self.facts.plan.of_volunteer(self.code)
        run = self.log.newest.get(self.code)
        if run is not None and run.content_hash == WITHDRAWN:
            run = None
        if not visits:
            return None if run is None or not self._promises(run) else self._to_withdraw(name, run)
        outings = sum(1 + _has_setup_day(visit, self.code) for visit in visits)
        state = self._state(visits, run, hashes)
        changes = self._changes(run) if run is not None and state is PaperState.CHANGED else ()
        return VolunteerPaper(self.code, name, outings, state, None if run is None else run.when_utc, changes)

    def _to_withdraw(self, name: str, run: PrintRun) -> VolunteerPaper:
        return VolunteerPaper(self.code, name, 0, PaperState.WITHDRAW, run.when_utc, self._changes(run))

    def _state(self, visits: Iterable[PlannedVisit], run: PrintRun | None, hashes: PaperHashes) -> PaperState:
        if all(visit.key in self.done for visit in visits):
            return PaperState.CHANGED if run is not None and self._promises(run) else PaperState.DONE
        return PaperState.NEVER if run is None else self._compared(run, hashes)

    def _promises(self, run: PrintRun) -> bool:
        """Whether a paper sends its holder on a visit that is not done; also where what it says is not known."""
        then = self.log.then.get(run.revision)
        on_it = {key for key in content_by_visit(run.content_hash) if key is not None}
        if not on_it and then is not None:
            on_it = {visit.key for visit in then[1].of_volunteer(self.code)}
        return not on_it or not on_it <= self.done

    def _compared(self, run: PrintRun, hashes: PaperHashes) -> PaperState:
        if comparable(run.content_hash) and not self.broken:
            now = hashes.of(self.facts, self.code)
            if now:
                same = self._to_come(now) == self._to_come(run.content_hash)
                return PaperState.CURRENT if same else PaperState.CHANGED
        waits = self.broken and comparable(run.content_hash)
        open_state = PaperState.BARRED if waits else PaperState.UNSURE
        then = self.log.then.get(run.revision)
        if then is None:
            return open_state
        season, plan = then
        if self._visits(plan) != self._visits(self.facts.plan):
            return PaperState.CHANGED
        points = tuple(route for route in season.routes if route.points)
        same = replace(season, routes=points) == self.facts.season
        return PaperState.CURRENT if same else open_state

    def _to_come(self, content: str) -> dict[VisitKey | None, str]:
        """Return what a paper says, without the visits that are done by now."""
        return {key: part for key, part in content_by_visit(content).items() if key not in self.done}

    def _visits(self, plan: Plan) -> tuple[PlannedVisit, ...]:
        return tuple(on_paper(visit) for visit in plan.of_volunteer(self.code) if visit.key not in self.done)

    def _changes(self, run: PrintRun) -> tuple[str, ...]:
        then = self.log.then.get(run.revision)
        if then is None:
            return ()
        before, now = (
            Plan(tuple(visit for visit in plan if visit.key not in self.done)) for plan in (then[1], self.facts.plan)
        )
        return changes_in_words(self.code, before, now, self.facts.season)


def _has_setup_day(visit: PlannedVisit, code: str) -> bool:
    return visit.lead == code and visit.setup not in (None, visit.date)
