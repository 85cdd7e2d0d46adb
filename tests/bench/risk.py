"""How long the exact risk of many routes takes."""

from __future__ import annotations

import argparse
import resource
import time
from collections.abc import Callable

import numpy as np

from planner.domain.lost_evenings import HALF_MONTHS, LostEvenings
from planner.domain.plan import Plan
from planner.scheduling.risk import NOT_DONE, RiskCases, WeatherChain, completion, loss_by_date, season_risk
from tests.unit.scheduling.random_seasons import busy_season
from tests.unit.scheduling.seasons import planned


def run(arguments: list[str]) -> dict[str, object]:
    """Take generated routes through generated weather, the middle of some runs.

    ``seconds`` is the dynamic programme alone; ``season_seconds`` all of a planned season's risk, its two visits a
    route, 56 days, and the light and people of every date looked up first.

    Args:
        arguments: ``--routes N``, ``--visits N``, ``--days N``, ``--repeat N``. Each visit has an equal share of the
            days as its range, of which somebody is free on about every second; gaps are 10 days to as many as may be,
            or, with ``--most-gap N``, at most N.
    """
    parser = argparse.ArgumentParser(prog="risk")
    parser.add_argument("--routes", type=int, default=1_000)
    parser.add_argument("--visits", type=int, default=3)
    parser.add_argument("--days", type=int, default=92)
    parser.add_argument("--most-gap", type=int, default=None)
    parser.add_argument("--repeat", type=int, default=5)
    options = parser.parse_args(arguments)
    chain = WeatherChain(np.random.default_rng(1).uniform(0.2, 0.5, options.days), 0.4)
    cases = _cases(options.routes, options.visits, options.days, options.most_gap)
    found = completion(cases, chain)
    seconds = [_seconds(lambda: completion(cases, chain)) for _ in range(options.repeat)]
    loss_seconds = [_seconds(lambda: loss_by_date(cases.feasible, chain)) for _ in range(options.repeat)]
    problem = busy_season(1, options.routes, options.routes)
    plan, weather = _plan(options.routes), LostEvenings((0.4,) * HALF_MONTHS, 0.4)
    season_seconds = [_seconds(lambda: season_risk(problem, plan, weather)) for _ in range(options.repeat)]
    return {
        "routes": options.routes,
        "visits": options.visits,
        "days": options.days,
        "seconds": round(float(np.median(seconds)), 4),
        "season_seconds": round(float(np.median(season_seconds)), 4),
        "loss_by_date_seconds": round(float(np.median(loss_seconds)), 4),
        "mean_complete": round(float(found.complete.mean()), 6),
        "expected_visits": round(float(found.done.sum()), 3),
        "peak_mb": round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024),
    }


def _seconds(work: Callable[[], object]) -> float:
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


def _plan(routes: int) -> Plan:
    """Two visits on every route, a lead a route: dates as they come, for nothing but their number counts here."""
    visits = []
    for number in range(routes):
        code, lead, second = f"R{number:02d}", f"V{number:02d}", f"V{(number + 1) % routes:02d}"
        visits += [planned(f"{code}/1", lead, 7 + number % 14, second=second)]
        visits += [planned(f"{code}/2", lead, 28 + number % 14, second=second)]
    return Plan(tuple(visits))


def _cases(routes: int, visits: int, days: int, most_gap: int | None) -> RiskCases:
    rng = np.random.default_rng(0)
    edges = np.linspace(0, days, visits + 1).astype(np.int64)
    day = np.arange(days)
    feasible = rng.random((routes, visits, days)) < 0.5
    for k in range(visits):
        planned = rng.integers(edges[k], edges[k + 1], size=routes)
        feasible[:, k] &= (day >= planned[:, None]) & (day < edges[k + 1])
    done = np.full((routes, visits), NOT_DONE, dtype=np.int64)
    return RiskCases(feasible, (10,) * (visits - 1), (most_gap,) * (visits - 1), done)
