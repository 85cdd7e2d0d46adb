"""How long one outing takes to order and to time."""

from __future__ import annotations

import argparse
import time
from dataclasses import dataclass
from typing import TypedDict

import numpy as np

from planner.domain.counting import Direction
from planner.scheduling.outing import CountingTask, CountOrder, best_order

_PROVEN_POINTS = 15
"""The most points in any order that are promised a proven best order."""
_ORDERS = (
    (Direction.ANY, 10),
    (Direction.ANY, 13),
    (Direction.ANY, _PROVEN_POINTS),
    (Direction.ANY, 40),
    (Direction.FIXED, 60),
    (Direction.EITHER, 60),
)


@dataclass(frozen=True, slots=True)
class _Light:
    """Windows of all points: how much of the time for all counts they hold, and how they differ."""

    name: str
    share: float
    openings_s: float
    """Between the first opening and the last."""
    least_length: float = 1.0
    """Of the shortest window, the longest being 1."""


_LIGHTS = (
    _Light("all fit", 1.5, 40.0),
    _Light("two thirds fit", 0.6, 40.0),
    _Light("each point its own", 1.0, 900.0, 0.5),
)


class _Case(TypedDict):
    order: str
    points: int
    window: str
    leads: str
    counted: float
    proven: bool
    milliseconds: float


def run(arguments: list[str]) -> dict[str, object]:
    """Order points in windows that hold all of them, in such that hold two thirds, and in windows of all kinds.

    Args:
        arguments: ``--repeat N``, runs of each task, of which the middle one counts; ``--tasks N``, random tasks of
            each case, of which the slowest is reported.
    """
    parser = argparse.ArgumentParser(prog="outing")
    parser.add_argument("--repeat", type=int, default=5)
    parser.add_argument("--tasks", type=int, default=5)
    options = parser.parse_args(arguments)
    rows = [
        _case(direction, points, light, leads=leads, options=options)
        for direction, points in _ORDERS
        for light in _LIGHTS
        for leads in (False, True)
    ]
    promised = [row for row in rows if row["order"] == Direction.ANY.value and row["points"] == _PROVEN_POINTS]
    return {
        "repeat": options.repeat,
        "tasks": options.tasks,
        "points": _PROVEN_POINTS,
        "milliseconds": max(row["milliseconds"] for row in promised),
        "proven": all(row["proven"] for row in promised),
        "cases": rows,
    }


def _case(direction: Direction, points: int, light: _Light, *, leads: bool, options: argparse.Namespace) -> _Case:
    tasks = [_task(direction, points, light, leads=leads, seed=seed) for seed in range(options.tasks)]
    found, times = zip(*(_timed(task, options.repeat) for task in tasks), strict=True)
    return {
        "order": direction.value,
        "points": points,
        "window": light.name,
        "leads": "both" if leads else "none",
        "counted": round(float(np.mean([len(best.order) for best in found])), 1),
        "proven": all(best.proven for best in found),
        "milliseconds": round(max(times), 2),
    }


def _task(direction: Direction, points: int, light: _Light, *, leads: bool, seed: int) -> CountingTask:
    dice = np.random.default_rng([points, seed])
    along = np.sort(dice.random(points)) * points * 2.5
    places = np.stack([along, dice.random(points) * 2], axis=1)
    legs = 1.0 + np.hypot(*(places[:, None] - places[None]).transpose(2, 0, 1))
    np.fill_diagonal(legs, 0.0)
    opens = dice.random(points) * light.openings_s
    length = light.share * (points * 5 + legs[np.arange(points - 1), np.arange(1, points)].sum()) * 60.0
    return CountingTask(
        legs,
        opens,
        opens + length * dice.uniform(light.least_length, 1.0, points),
        5.0,
        direction,
        lead_in_minutes=10.0 + dice.random(points) * 30.0 if leads else np.zeros(0),
        lead_out_minutes=10.0 + dice.random(points) * 30.0 if leads else np.zeros(0),
    )


def _timed(task: CountingTask, repeat: int) -> tuple[CountOrder, float]:
    """Return the order and the middle of the times in milliseconds."""
    best = best_order(task)
    took = []
    for _ in range(repeat):
        start = time.perf_counter()
        best_order(task)
        took.append((time.perf_counter() - start) * 1000.0)
    return best, float(np.median(took))
