"""How good a season plan gets in how long, on programmes given as compact files."""

from __future__ import annotations

import argparse
import gzip
import json
import resource
from pathlib import Path
from typing import Any

import numpy as np

from planner.scheduling import Progress, after_rounds, after_seconds, any_of
from planner.scheduling.engine.instance import GapRule, Instance, Room, RouteCase, SetupCase, VisitCase, day_range
from planner.scheduling.engine.search import solve


def run(arguments: list[str]) -> dict[str, object]:
    """Plan each file given and report what stood at the end of each stage.

    Args:
        arguments: ``FILE... [--seconds S] [--rounds N] [--seed N]``; a file is gzipped JSON with ``days``,
            ``gap_days``, ``setup_days_before``, ``volunteers`` (``limit``; ``twilight`` and ``daylight`` as strings
            of 0 and 1, a digit a day) and ``routes`` (``visits`` with ``first_day``, ``last_day`` and ``people``;
            ``leads`` and ``seconds`` as pairs of volunteer and one-way drive minutes).
    """
    parser = argparse.ArgumentParser(prog="season")
    parser.add_argument("files", nargs="+", type=Path)
    parser.add_argument("--seconds", type=float, default=60.0)
    parser.add_argument("--rounds", type=int, default=1_000_000)
    parser.add_argument("--seed", type=int, default=0)
    options = parser.parse_args(arguments)
    rows: list[dict[str, object]] = []
    for file in options.files:
        rows += _plan(file, options)
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return {"seconds": options.seconds, "seed": options.seed, "stages": rows, "peak_mb": round(peak_mb)}


def _plan(file: Path, options: argparse.Namespace) -> list[dict[str, object]]:
    instance = read_instance(file)
    last: dict[str, Progress] = {}

    def keep(progress: Progress) -> None:
        last[progress.stage] = progress

    stop = any_of(after_seconds(options.seconds), after_rounds(options.rounds))
    found = solve(instance, stop, keep, seed=options.seed)
    stages = [*last.items(), (found.outcome.value, found.clock.progress(found.outcome.value))]
    return [{"file": file.name.split(".")[0], "stage": name, **_figures(progress)} for name, progress in stages]


def _figures(progress: Progress) -> dict[str, object]:
    gap = None
    if progress.objective is not None and progress.bound is not None:
        gap = round(progress.objective - progress.bound, 2)
    return {
        "seconds": round(progress.seconds, 2),
        "rounds": progress.rounds,
        "filled": progress.filled,
        "reserved": progress.reserved,
        "drive_minutes": round(progress.drive_minutes),
        "gap": gap,
    }


def read_instance(file: Path) -> Instance:
    """Read a compact programme."""
    with gzip.open(file, "rt", encoding="utf-8") as stream:
        given = json.load(stream)
    people = given["volunteers"]
    free = {part: np.array([[c == "1" for c in one[part]] for one in people]) for part in ("twilight", "daylight")}
    limit = np.array([one["limit"] for one in people], dtype=np.int64)
    room = Room(np.zeros((len(people), given["days"]), dtype=np.bool_), limit, np.zeros(len(people), dtype=np.int64))
    return Instance(given["days"], tuple(_route(given, one, free) for one in given["routes"]), room)


def _route(given: dict[str, Any], route: dict[str, Any], free: dict[str, np.ndarray]) -> RouteCase:
    leads, lead_drive = _people(route["leads"])
    seconds, second_drive = _people(route["seconds"])
    gap = GapRule(given["gap_days"], None, given["gap_days"])
    daylight = free["daylight"][leads]
    return RouteCase(
        leads=leads,
        lead_drive=lead_drive,
        seconds=seconds,
        second_drive=second_drive,
        pairs=leads[:, None] != seconds[None, :],
        visits=tuple(_visit(visit, free["twilight"], leads, seconds, gap) for visit in route["visits"]),
        setup=SetupCase(given["setup_days_before"], daylight, daylight[None]),
    )


def _people(pairs: list[list[float]]) -> tuple[np.ndarray, np.ndarray]:
    table = np.array(pairs, dtype=np.float64).reshape(-1, 2)
    return table[:, 0].astype(np.int64), table[:, 1]


def _visit(
    visit: dict[str, Any], twilight: np.ndarray, leads: np.ndarray, seconds: np.ndarray, gap: GapRule
) -> VisitCase:
    first, last = visit["first_day"], visit["last_day"]
    inside = day_range(first, last, twilight.shape[1])
    lead_days, second_days = (twilight[who][None] & inside for who in (leads, seconds))
    return VisitCase(visit["people"], first, lead_days, second_days, inside, inside, gap)
