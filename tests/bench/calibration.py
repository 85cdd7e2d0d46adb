"""How near the factors of recorded drives come to the true ones, and how often their ranges hold them."""

from __future__ import annotations

import argparse
import time

import numpy as np

from planner.travel import RecordedLegs, fit_factors
from tests.unit.travel.recorded_seasons import simulate

CASES: tuple[tuple[int, float, float, int, float], ...] = (
    (10, 0.15, 0.1, 2, 0.1),
    (30, 0.15, 0.0, 4, 0.0),
    (30, 0.15, 0.1, 4, 0.0),
    (30, 0.15, 0.1, 4, 0.1),
    (100, 0.15, 0.1, 8, 0.1),
    (300, 0.15, 0.1, 24, 0.1),
    (300, 0.25, 0.2, 24, 0.1),
)
"""Legs, their spread, the share with a stop, routes, and by what share these differ."""
TRUE = 1.2
CLASSES = {"tertiary": 1.0, "unclassified": 1.15, "track": 1.4}


def run(arguments: list[str]) -> dict[str, object]:
    """Print, for each kind of season, lean and 95th percentile of the error, and the share of ranges that hold.

    ``season_*`` is from seasons with one class of road, ``class_*`` and ``route_*`` from seasons with three;
    ``plain_p95`` is the error of recorded minutes over expected ones, all legs added up, stops and slips included.

    Args:
        arguments: ``--seasons N`` of each kind; ``--seed N``.
    """
    parser = argparse.ArgumentParser(prog="calibration")
    parser.add_argument("--seasons", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args(arguments)
    return {
        "true": TRUE,
        "classes": str(CLASSES),
        "seasons": [_row(case, options.seasons, options.seed) for case in CASES],
    }


def _row(case: tuple[int, float, float, int, float], seasons: int, seed: int) -> dict[str, object]:
    legs, spread, gross, routes, differ = case
    one, parts, plain = _Errors(), {"class": _Errors(), "route": _Errors()}, []
    cpu_s = 0.0
    for number in range(seasons):
        dice = np.random.default_rng([seed, number])
        single = simulate(dice, legs, {"tertiary": TRUE}, routes=routes, differ=differ, spread=spread, gross=gross)
        found = fit_factors(single.legs)
        if found.season is not None:
            one.add(found.season.factor / TRUE, found.season.least <= TRUE <= found.season.most)
        plain.append(_plain_error(single.legs))
        mixed = simulate(dice, legs, CLASSES, routes=routes, differ=differ, spread=spread, gross=gross)
        start = time.process_time()
        found = fit_factors(mixed.legs)
        cpu_s += time.process_time() - start
        for kind in found.classes:
            true = CLASSES[kind.name]
            parts["class"].add(kind.factor / true, kind.least <= true <= kind.most)
        for route in found.routes:
            true = mixed.routes[route.name]
            parts["route"].add(route.factor / true, route.least <= true <= route.most)
    return {
        "legs": legs,
        "spread": spread,
        "stops": gross,
        "routes": f"{routes} +- {differ:g}",
        **one.told("season"),
        "plain_p95": round(float(np.quantile(plain, 0.95)), 3),
        **parts["class"].told("class"),
        **parts["route"].told("route"),
        "cpu_ms": round(cpu_s / seasons * 1000.0, 1),
    }


def _plain_error(legs: RecordedLegs) -> float:
    return abs(float(legs.minutes.sum() / legs.expected_minutes.sum()) / TRUE - 1.0)


class _Errors:
    """Errors of factors, and whether their ranges held."""

    def __init__(self) -> None:
        self._off: list[float] = []
        self._held: list[bool] = []

    def add(self, share: float, held: bool) -> None:
        """Note a factor as a share of the true one."""
        self._off.append(share - 1.0)
        self._held.append(held)

    def told(self, name: str) -> dict[str, object]:
        """Return lean, 95th percentile and the share of ranges that held."""
        if not self._off:
            return {f"{name}_lean": "-", f"{name}_p95": "-", f"{name}_held": "-"}
        return {
            f"{name}_lean": round(float(np.mean(self._off)), 3),
            f"{name}_p95": round(float(np.quantile(np.abs(self._off), 0.95)), 3),
            f"{name}_held": round(float(np.mean(self._held)), 3),
        }
