"""Planning a season: lead, second, date, set-up date and reserve date for every visit, as well as can be."""

from __future__ import annotations

import numpy as np

from planner.domain.plan import Explanation, Plan
from planner.scheduling.engine.compile import Compiled, compile_season, fixed_part
from planner.scheduling.engine.decode import columns_of, plan_of
from planner.scheduling.engine.search import Found, solve
from planner.scheduling.explain import explain, shortages
from planner.scheduling.problem import SeasonProblem
from planner.scheduling.reach import could_be_filled, could_be_reserved
from planner.scheduling.result import OnEvent, Progress, SeasonResult, Stop, never
from planner.scheduling.seconds import with_preferred_seconds
from planner.scheduling.tiers import tiers_of


def ignore(_progress: Progress) -> None:
    """Listen to no event."""


def plan_season(
    problem: SeasonProblem,
    stop: Stop = never,
    seed: int = 0,
    start: Plan | None = None,
    on_event: OnEvent = ignore,
    *,
    only: frozenset[str] | None = None,
) -> SeasonResult:
    """Plan every open visit of a season.

    The aims, in order: visits filled, visits with a reserve date, least driving, one lead for a route's visits,
    fair load, early dates; ``engine.weights`` has their weights. Visits of ``start`` that are pinned, confirmed,
    done or past stay exactly as they stand; its other visits are where the search begins.

    Args:
        problem: the season with its light and drives.
        stop: asked after each round; once it holds, the best plan so far is kept.
        seed: of everything that is tried in random order; one seed gives one answer, unless wall time stops it.
        start: the plan that stands.
        on_event: told after each round.
        only: codes of the routes whose open visits are planned; None: of all. What ``start`` holds of other routes
            must be fixed.

    Returns:
        The plan, what it reaches, what is proven, and for each visit that lacks something why and what would help, and
        where people are short.
    """
    fixed = fixed_part(problem, start)
    compiled = compile_season(problem, fixed, only)
    begin = columns_of(compiled, start) if start is not None else None
    found = solve(compiled.instance, stop, on_event, seed=seed, start=begin)
    plan = with_preferred_seconds(compiled.arrays, plan_of(compiled, found.solution))
    explanations = explain(compiled, plan, proven=found.clock.proven)
    return SeasonResult(
        plan=plan,
        tiers=tiers_of(problem, plan, _aim_bounds(compiled, found)),
        outcome=found.outcome,
        why=_why(problem, found),
        explanations=explanations,
        seconds=found.clock.seconds,
        objective=found.value,
        bound=found.bound if np.isfinite(found.bound) else None,
        shortages=shortages(compiled, plan, [one.key for one in explanations]),
    )


def explain_plan(problem: SeasonProblem, plan: Plan) -> tuple[Explanation, ...]:
    """Return why visits of a plan as it stands are unfilled or lack a reserve date, and what would mend them.

    Nothing is planned first, so some may be mended by planning again: they say so.

    Args:
        problem: the season with its light and drives.
        plan: the plan that stands, whoever made it.
    """
    return explain(compile_season(problem, fixed_part(problem, plan)), plan)


def _aim_bounds(compiled: Compiled, found: Found) -> tuple[float | None, ...]:
    """Return the bound of each aim, what is fixed included."""
    aims, standing = found.aims, compiled.instance.standing
    single = len(compiled.arrays.protocol.visits) == 1
    filled = could_be_filled(compiled) if aims.filled is None else standing.filled + aims.filled
    reserved = could_be_reserved(compiled) if aims.reserved is None else standing.reserved + aims.reserved
    return (
        float(filled),
        float(reserved),
        None if aims.drive_minutes is None else standing.drive_minutes + aims.drive_minutes,
        None if aims.one_lead is None or single else float(standing.one_lead + aims.one_lead),
        None if aims.load is None else float((compiled.instance.room.load**2).sum()) + aims.load,
        None if aims.late_days is None else standing.late_days + aims.late_days,
    )


def _why(problem: SeasonProblem, found: Found) -> str:
    """Return why planning ended, in words; an empty season says what it lacks."""
    season = problem.season
    if not season.routes:
        return "there are no routes to plan"
    if not season.volunteers:
        return "there are no volunteers to plan with"
    return found.why
