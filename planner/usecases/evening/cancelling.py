"""Something breaks: compute the ways on, and accept one of them as a single step that can be undone."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from planner.domain.disruption import Disruption, season_after
from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.field.cancelled import cancelled_by, joined
from planner.domain.finding import Finding
from planner.domain.plan import Plan, PlannedVisit, Relaxation
from planner.domain.season import Season
from planner.scheduling import SeasonProblem, WayOn, repair
from planner.store import SeasonFile
from planner.usecases.plan.planning import accepted
from planner.usecases.season.opening import whole_road_network
from planner.usecases.season.problem import season_problem


@dataclass(frozen=True, slots=True)
class WaysOn:
    """What can be done about a disruption."""

    disruption: Disruption
    ways: tuple[WayOn, ...]
    """Least disturbance first; each complete."""
    season: Season
    before: Plan
    problem: SeasonProblem

    @property
    def possible(self) -> bool:
        """Whether some way fills everything that was filled."""
        return any(way.full for way in self.ways)

    @property
    def reasons(self) -> tuple[str, ...]:
        """Why no way fills everything, and what would help; empty where one does."""
        if self.possible:
            return ()
        return tuple(
            f"{item.key} would be unfilled: {' '.join((*item.reasons, *map(_help, item.relaxations[:3])))}"
            for way in self.ways
            for item in way.unfilled
        )


@dataclass(frozen=True, slots=True)
class Accepted:
    """What accepting a way came to."""

    way: WayOn
    label: str
    """The step as the history shows it."""
    findings: tuple[Finding, ...]
    """The audit's findings on the plan."""


def ways_on(file: SeasonFile, disruption: Disruption, *, today: dt.date | None = None) -> WaysOn:
    """Return the ways on after something broke; the file is not changed.

    Raises:
        RuleError: the disruption names what the season does not have.
        ImpossibleError: nothing is planned that it touches, what it touches is past or done, or the road map is gone.
    """
    season, before = file.season(), file.plan()
    problem = season_problem(season, whole_road_network(file.path, season.roads), today)
    return ways_of(season, before, problem, disruption)


def ways_of(season: Season, before: Plan, problem: SeasonProblem, disruption: Disruption) -> WaysOn:
    """Return the ways on after something broke: pure computing, which may take a while; no file is touched.

    Args:
        season: as it stands in the file.
        before: the plan that stands.
        problem: that season with its light and drives, and the date before which visits are past.
        disruption: what broke.

    Raises:
        RuleError: the disruption names what the season does not have.
        ImpossibleError: nothing is planned that it touches, or what it touches is past or done.
    """
    return WaysOn(disruption, tuple(repair(problem, before, disruption)), season, before, problem)


def accept(file: SeasonFile, offer: WaysOn, number: int) -> Accepted:
    """Make the file hold one of the ways, as one step.

    Args:
        file: the season file that the ways were computed for.
        offer: the ways.
        number: which of them, from 1.

    Raises:
        RuleError: there is no way of that number.
        ImpossibleError: the season has changed since, or the plan would break a rule; the file is then unchanged.
    """
    if not 1 <= number <= len(offer.ways):
        raise RuleError(f"ways on are numbered 1 to {len(offer.ways)}, found {number}")
    if (file.season(), file.plan()) != (offer.season, offer.before):
        raise ImpossibleError("The season has changed since these ways were computed.", "Ask for them again.")
    way = offer.ways[number - 1]
    season = season_after(offer.season, offer.disruption, offer.problem.today)
    people = season_after(offer.problem.season, offer.disruption, offer.problem.today)
    problem = SeasonProblem(people, offer.problem.light, offer.problem.drives, offer.problem.today)
    findings = accepted(problem, way.plan, offer.before)
    label = _label(offer.disruption, way)
    lost = cancelled_by(offer.disruption, offer.before, dt.datetime.now(dt.UTC), offer.problem.today)
    with file.step(label):
        file.save_season(season)
        file.save_plan(way.plan)
        file.save_cancelled(joined(file.cancelled(), lost))
    return Accepted(way, label, findings)


def papers_to_print(season: Season, way: WayOn) -> tuple[str, ...]:
    """Return who needs a fresh itinerary and still has an outing, by code."""
    going = {code for visit in way.plan for code in visit.people}
    return tuple(one.code for one in season.volunteers if one.code in way.papers and one.code in going)


def papers_to_withdraw(season: Season, way: WayOn) -> tuple[str, ...]:
    """Return who has an itinerary that is void and no outing any more, by code."""
    printed = papers_to_print(season, way)
    return tuple(one.code for one in season.volunteers if one.code in way.papers and one.code not in printed)


def _label(disruption: Disruption, way: WayOn) -> str:
    said = str(disruption)
    return f"{said[:1].upper()}{said[1:]}: {_what_moves(way)}"


def _what_moves(way: WayOn) -> str:
    if len(way.moves) != 1:
        return f"{len(way.moves)} visits change"
    after = way.moves[0].after
    return "it is unfilled" if after is None else f"{way.moves[0].key} goes to {_named(after)}"


def _named(visit: PlannedVisit) -> str:
    return f"{visit.date:%a} {visit.date.day} {visit.date:%b}, {' and '.join(visit.people)}"


def _help(relaxation: Relaxation) -> str:
    return f"Would help: {relaxation.what}"
