"""How good a season plan gets in how long, and how much memory it takes, on one programme."""

from __future__ import annotations

import argparse
import math
import resource
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from planner.scheduling import Progress, after_seconds
from planner.scheduling.engine.instance import Instance
from planner.scheduling.engine.search import Found, solve
from planner.scheduling.tiers import NAMES
from tests.bench.judging import faults
from tests.bench.programmes import generate, instance_of, read_programme

CLOSE_MINUTES = (60, 600, 2_500, 8_000, 15_000)
"""Gaps whose moments are told."""

_SECONDS = ((150, 10.0), (600, 40.0), (1_500, 120.0), (math.inf, 900.0))
"""How long a programme of at most so many routes is planned unless that is said."""


def run(arguments: list[str]) -> dict[str, object]:
    """Plan one programme and report what was reached, what was proven, and when.

    Args:
        arguments: ``[--instance FILE | --routes N --tight X] [--volunteers V] [--seed N] [--seconds S]``; a file as
            ``programmes.read_programme`` takes it, else a programme generated from the seed. The run ends early once
            the plan is proven best.
    """
    options = _parser().parse_args(arguments)
    if options.instance is not None:
        programme, tight = read_programme(options.instance), None
    else:
        programme = generate(options.routes, options.tight, options.seed, options.volunteers)
        tight = options.tight
    count = len(programme.routes)
    seconds = options.seconds or next(limit for most, limit in _SECONDS if count <= most)
    watch = Watch()
    instance = instance_of(programme)
    found = solve(instance, after_seconds(seconds), watch, seed=options.seed)
    head = {"routes": count, "tight": tight, "seed": options.seed, "allowed_seconds": seconds}
    wrong = faults(programme, found.solution)
    return {**head, **_figures(instance, found, watch), "faults": wrong, "programme": programme.figures()}


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="season")
    given = parser.add_mutually_exclusive_group()
    given.add_argument("--instance", type=Path)
    given.add_argument("--routes", type=int, default=100)
    parser.add_argument("--tight", type=float, default=1.0)
    parser.add_argument("--volunteers", type=int)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--seconds", type=float)
    return parser


@dataclass(slots=True)
class Watch:
    """Listens to a run: how each stage left it, when the first plan stood, when the gap got small."""

    last: dict[str, Progress] = field(default_factory=dict)
    """The last event of each stage, stages in the order in which they began."""
    first_plan: float | None = None
    close: dict[int, float] = field(default_factory=dict)
    """Seconds until the gap fell below so many minutes."""

    def __call__(self, progress: Progress) -> None:
        """Take one event."""
        self.last[progress.stage] = progress
        if self.first_plan is None and progress.filled:
            self.first_plan = progress.seconds
        self.see(progress.seconds, progress.objective, progress.bound)

    def see(self, seconds: float, value: float | None, bound: float | None) -> None:
        """Note the moment if the gap is below a mark for the first time."""
        gap = gap_minutes(value, bound)
        for mark in CLOSE_MINUTES:
            if gap is not None and gap < mark:
                self.close.setdefault(mark, seconds)

    def stages(self) -> list[dict[str, object]]:
        """Return how each stage left the run, by time."""
        ends = sorted(self.last.values(), key=lambda progress: progress.seconds)
        return [
            {
                "stage": progress.stage,
                "seconds": round(progress.seconds, 2),
                "gap_minutes": _rounded(gap_minutes(progress.objective, progress.bound)),
                "filled": progress.filled,
                "reserved": progress.reserved,
            }
            for progress in ends
        ]


def gap_minutes(value: float | None, bound: float | None) -> float | None:
    """Return how much better a plan could be at most, in minutes of driving; None while nothing is proven."""
    if value is None or bound is None or not (math.isfinite(value) and math.isfinite(bound)):
        return None
    return max(value - bound, 0.0)


def _rounded(figure: float | None, places: int = 2) -> float | None:
    return None if figure is None else round(figure, places)


def _figures(instance: Instance, found: Found, watch: Watch) -> dict[str, object]:
    seconds = found.clock.seconds
    watch.see(seconds, found.value, found.bound)
    gap = gap_minutes(found.value, found.bound)
    share = None if gap is None else gap / abs(found.bound) if found.bound else 0.0
    tiers = tiers_of(instance, found)
    end = found.clock.progress(found.outcome.value)
    peak = max(resource.getrusage(who).ru_maxrss for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return {
        "outcome": found.outcome.value,
        "why": found.why,
        "seconds": round(seconds, 2),
        "first_plan_seconds": _rounded(watch.first_plan),
        "peak_mb": round(peak / 1024),
        "filled": end.filled,
        "reserved": end.reserved,
        "tiers": tiers,
        "value": round(found.value, 2),
        "bound": _rounded(found.bound) if math.isfinite(found.bound) else None,
        "gap": _rounded(share, 7),
        "gap_minutes": _rounded(gap),
        "in_words": in_words(instance, gap, tiers),
        "stages": watch.stages(),
        "seconds_to": {str(mark): _rounded(watch.close.get(mark)) for mark in CLOSE_MINUTES},
    }


def tiers_of(instance: Instance, found: Found) -> list[dict[str, object]]:
    """Return the six aims of a plan that was found, each with what is proven possible."""
    end = found.clock.progress("end")
    loads: Counter[int] = Counter()
    late, one_lead = 0, 0
    for column in found.solution.values():
        loads.update(dict(column.loads))
        visits = instance.routes[column.route].visits
        made = [(visit, choice) for visit, choice in zip(visits, column.choices, strict=True) if choice is not None]
        late += sum((choice.date - visit.first_day) * len(choice.people) for visit, choice in made)
        one_lead += len(made) == len(visits) and len({choice.lead for _, choice in made}) == 1
    unevenness = sum(load**2 for load in loads.values())
    values = (end.filled, end.reserved, round(end.drive_minutes, 1), one_lead, unevenness, late)
    aims = found.aims
    bounds: tuple[float | None, ...] = (
        aims.filled,
        aims.reserved,
        aims.drive_minutes,
        aims.one_lead,
        aims.load,
        aims.late_days,
    )
    return [
        {"name": name, "value": value, "bound": _rounded(bound)}
        for name, value, bound in zip(NAMES, values, bounds, strict=True)
    ]


def in_words(instance: Instance, gap: float | None, tiers: Sequence[Mapping[str, object]]) -> str:
    """Return what a plan could still gain: in minutes if it is little, else in the first aim that could gain.

    Args:
        instance: whose weights turn minutes into visits where the aims have no bounds of their own.
        gap: minutes of driving; None: nothing is proven.
        tiers: value and bound of each aim.
    """
    if gap is None:
        return "nothing is proven yet"
    if gap < 0.5:
        return "proven best"
    if gap >= -instance.weights.reserved:
        for thing, tier in zip(("visit", "reserve date"), tiers, strict=False):
            most = _could_gain(tier)
            if most > 0:
                return f"at most {most} {thing}{'s' if most > 1 else ''} from the best possible"
    if gap >= -instance.weights.filled:
        return f"worth at most {gap / -instance.weights.filled:.1f} visits"
    return f"at most {math.ceil(gap)} minutes of driving from the best possible"


def _could_gain(tier: Mapping[str, object]) -> int:
    """Return the most whole things that lie between value and bound of an aim; 0 where it has no bound."""
    value, bound = tier["value"], tier["bound"]
    if not isinstance(bound, int | float) or not isinstance(value, int | float):
        return 0
    return max(math.floor(bound - value + 1e-6), 0)
