"""How long one outing takes to order and to time."""

from __future__ import annotations

import argparse
import time

import numpy as np

from planner.domain.counting import Direction
from planner.scheduling.outing import CountingTask, best_order

_CASES = (
    (Direction.ANY, 10),
    (Direction.ANY, 13),
    (Direction.ANY, 15),
    (Direction.ANY, 40),
    (Direction.FIXED, 60),
    (Direction.EITHER, 60),
)


def run(arguments: list[str]) -> dict[str, object]:
    """Order points in a window that holds all of them, and in one that holds about two thirds.

    Args:
        arguments: ``--repeat N``, runs of each case; the middle one is reported.
    """
    parser = argparse.ArgumentParser(prog="outing")
    parser.add_argument("--repeat", type=int, default=5)
    repeat = parser.parse_args(arguments).repeat
    rows: list[dict[str, object]] = []
    for direction, points in _CASES:
        for name, share in (("all fit", 1.5), ("two thirds fit", 0.6)):
            task = _task(direction, points, share)
            best = best_order(task)
            rows.append(
                {
                    "order": direction.value,
                    "points": points,
                    "window": name,
                    "counted": len(best.order),
                    "proven": best.proven,
                    "milliseconds": round(_middle_ms(task, repeat), 2),
                }
            )
    return {"repeat": repeat, "cases": rows}


def _task(direction: Direction, points: int, share: float) -> CountingTask:
    rng = np.random.default_rng(points)
    along = np.sort(rng.random(points)) * points * 2.5
    places = np.stack([along, rng.random(points) * 2], axis=1)
    legs = 1.0 + np.hypot(*(places[:, None] - places[None]).transpose(2, 0, 1))
    np.fill_diagonal(legs, 0.0)
    opens = rng.random(points) * 40.0
    length = share * (points * 5 + legs[np.arange(points - 1), np.arange(1, points)].sum()) * 60.0
    return CountingTask(
        legs,
        opens,
        opens + length,
        5.0,
        direction,
        lead_in_minutes=10.0 + rng.random(points) * 30.0,
        lead_out_minutes=10.0 + rng.random(points) * 30.0,
    )


def _middle_ms(task: CountingTask, repeat: int) -> float:
    took = []
    for _ in range(repeat):
        start = time.perf_counter()
        best_order(task)
        took.append((time.perf_counter() - start) * 1000.0)
    return float(np.median(took))
