"""The robust, shrunken fit of recorded legs; the model and its sources are told in ``planner.travel.calibration``."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from planner.travel.coordinates import Floats, Ints

_HUBER = 1.345
"""Spreads from which Huber's estimate counts a leg for less; 95 % efficient where all is normal (Huber 1964)."""
_BIWEIGHT = 4.685
"""Spreads from which Tukey's biweight leaves a leg out; 95 % efficient likewise (Beaton and Tukey 1974)."""
_PROPOSAL = 1.5
"""Spreads at which departures are cut off where the spread itself is looked for (Huber 1964, proposal 2)."""
_CUT_SQUARE = 0.7785
"""Mean square of a normal departure cut off there: (2 P - 1) - 2 k p + 2 k^2 (1 - P), for P = 0.9332, p = 0.1295."""
_SPREAD, _SPREAD_LEGS = 0.15, 10.0
"""What legs are thought to be off before any is seen, and how many legs that is worth. Our own assumption."""
_KIND_SPREAD, _ROUTE_SPREAD, _GROUPS = 0.2, 0.1, 4.0
"""By how much classes of road, and routes beside these, are thought to differ, and how many of them that is worth. Our
own assumption: speeds are tagged and guessed by class, and what is wrong with them is so on every route."""
_LEAST_SPREAD, _MOST_SPREAD = 0.01, 1.0
_ROUNDS, _STEPS = 12, 60
_LONGEST_STEP = 0.5
"""Of the logarithm of a factor: one step changes none by more than two thirds."""
_STILL = 1e-10


@dataclass(frozen=True, slots=True, eq=False)
class LegModel:
    """Legs to be fitted: n legs, k classes with a factor of their own."""

    recorded: Floats
    """Minutes, shape (n,)."""
    minutes: Floats
    """Expected on each of the k classes and, last, on all others; shape (n, k + 1)."""
    routes: Ints
    """Number of each leg's route, -1 for none."""
    rounding: float
    """Variance of a recorded leg for the rounding of its times, in square minutes."""

    @property
    def kind_count(self) -> int:
        """Classes with a factor of their own."""
        return int(self.minutes.shape[1]) - 1

    @property
    def route_count(self) -> int:
        """Routes."""
        return int(self.routes.max(initial=-1)) + 1

    def expected(self, logs: Floats) -> tuple[Floats, Floats]:
        """Return the minutes of each leg by the logarithms of the factors, and their slopes by each of these.

        Args:
            logs: season, classes, routes; shape (1 + k + routes,).
        """
        count = self.kind_count
        by_kind = self.minutes * np.exp(np.append(logs[1 : 1 + count], 0.0))
        by_route = np.append(logs[1 + count :], 0.0)[self.routes]
        by_kind *= np.exp(logs[0] + by_route)[:, None]
        whole = by_kind.sum(axis=1)
        on_route = self.routes[:, None] == np.arange(self.route_count)
        return whole, np.column_stack([whole, by_kind[:, :count], on_route * whole[:, None]])

    def variances(self, whole: Floats, spread: float) -> Floats:
        """Return the variance of legs of so many minutes that are off by a share of themselves."""
        return np.asarray((spread * whole) ** 2 + self.rounding, dtype=np.float64)


@dataclass(frozen=True, slots=True)
class LogFactor:
    """The logarithm of a factor, with its standard error."""

    log: float
    error: float


@dataclass(frozen=True, slots=True, eq=False)
class Fitted:
    """The factors that fit legs best."""

    logs: Floats
    """Season, classes, routes."""
    covariance: Floats
    weights: Floats
    """What each leg counts for, 0 to 1; 0: left out."""
    spread: float
    kind_count: int

    @property
    def season(self) -> LogFactor:
        """The season's factor."""
        return self._sum(0)

    def kind(self, number: int) -> LogFactor:
        """The factor of a class, the season's included."""
        return self._sum(0, 1 + number)

    def route(self, number: int) -> LogFactor:
        """The factor of a route, on top of all else."""
        return self._sum(1 + self.kind_count + number)

    def _sum(self, *which: int) -> LogFactor:
        rows = list(which)
        return LogFactor(float(self.logs[rows].sum()), math.sqrt(self.covariance[np.ix_(rows, rows)].sum()))


_Weigh = Callable[[Floats], Floats]


@dataclass(frozen=True, slots=True)
class _Spreads:
    """How much legs are off, and by how much classes and routes differ, as shares."""

    leg: float = _SPREAD
    kind: float = _KIND_SPREAD
    route: float = _ROUTE_SPREAD

    def pull(self, model: LegModel) -> Floats:
        """Return how strongly each factor is drawn to the season's; the season's own is not."""
        kinds, routes = [self.kind**-2] * model.kind_count, [self.route**-2] * model.route_count
        return np.array([0.0, *kinds, *routes])


def fitted(model: LegModel) -> Fitted:
    """Return the factors that fit legs best: Huber's estimate, then the biweight from there.

    Args:
        model: one leg or more.
    """
    spreads = _Spreads()
    logs = np.zeros(1 + model.kind_count + model.route_count)
    logs[0] = _median_log(model)
    for weigh in (_huber, _biweight):
        for _ in range(_ROUNDS):
            before = spreads
            logs = _settled(model, logs, spreads, weigh)
            spreads = _spreads_of(model, logs, spreads, weigh)
            if max(abs(getattr(spreads, name) - getattr(before, name)) for name in ("leg", "kind", "route")) < 1e-6:
                break
    return _told(model, _settled(model, logs, spreads, _biweight), spreads)


def _median_log(model: LegModel) -> float:
    """Return the logarithm of the weighted median of recorded over expected minutes; half the weight may be wrong."""
    whole = model.minutes.sum(axis=1)
    ratios = model.recorded / whole
    middle = _weighted_median(ratios, whole / np.sqrt(model.variances(whole, _SPREAD)))
    return math.log(max(middle, 1e-3))


def _weighted_median(figures: Floats, weights: Floats) -> float:
    order = np.argsort(figures, kind="stable")
    reached = np.cumsum(weights[order])
    return float(figures[order][np.searchsorted(reached, reached[-1] / 2.0)])


def _settled(model: LegModel, logs: Floats, spreads: _Spreads, weigh: _Weigh) -> Floats:
    """Return the factors at which no step leads on, for given spreads: Gauss and Newton's steps, reweighted."""
    for _ in range(_STEPS):
        curvature, slope, _ = _quadratic(model, logs, spreads, weigh)
        step = np.clip(np.linalg.solve(curvature, slope), -_LONGEST_STEP, _LONGEST_STEP)
        logs = logs + step
        if np.abs(step).max() < _STILL:
            break
    return logs


def _quadratic(model: LegModel, logs: Floats, spreads: _Spreads, weigh: _Weigh) -> tuple[Floats, Floats, Floats]:
    """Return curvature and slope of the fit at some factors, and the part of the curvature that legs give."""
    whole, slopes = model.expected(logs)
    variances = model.variances(whole, spreads.leg)
    off = model.recorded - whole
    worth = weigh(off / np.sqrt(variances)) / variances
    pull = spreads.pull(model)
    by_legs = slopes.T @ (slopes * worth[:, None])
    # A whisper more holds the season's factor where every leg is left out.
    held = by_legs + np.diag(pull + np.append(1e-6, np.zeros(len(pull) - 1)))
    return held, slopes.T @ (worth * off) - pull * logs, by_legs


def _spreads_of(model: LegModel, logs: Floats, spreads: _Spreads, weigh: _Weigh) -> _Spreads:
    """Return the spreads that fit the factors found: of legs by how far they are off, of groups by an EM step."""
    curvature, _, by_legs = _quadratic(model, logs, spreads, weigh)
    covariance = np.linalg.inv(curvature)
    count, legs = model.kind_count, len(model.recorded)
    taken = min(float(np.trace(covariance @ by_legs)), legs * 2.0 / 3.0)
    leg = _leg_spread(model, logs, math.sqrt(legs / (legs - taken)))
    squares = logs**2 + np.diag(covariance)
    return _Spreads(
        leg=math.sqrt((_SPREAD_LEGS * _SPREAD**2 + legs * leg**2) / (_SPREAD_LEGS + legs)),
        kind=_group_spread(squares[1 : 1 + count], _KIND_SPREAD),
        route=_group_spread(squares[1 + count :], _ROUTE_SPREAD),
    )


def _leg_spread(model: LegModel, logs: Floats, widened: float) -> float:
    """Return the spread at which departures, cut off, have the mean square of a normal law, by halving.

    Squares, for rounded times have a known variance and no median to speak of. They count for the share of their
    variance that is not rounding: of short legs one sees little but that.

    Args:
        model: the legs.
        logs: the factors.
        widened: what departures are multiplied by, for the factors were fitted to the same legs.
    """
    whole, _ = model.expected(logs)
    off = np.abs(model.recorded - whole) * widened
    weights = (_SPREAD * whole) ** 2 / model.variances(whole, _SPREAD)
    low, high = _LEAST_SPREAD, _MOST_SPREAD
    for _ in range(40):
        middle = math.sqrt(low * high)
        squares = np.minimum(off**2 / model.variances(whole, middle), _PROPOSAL**2)
        wide = float(weights @ squares) > _CUT_SQUARE * float(weights.sum())
        low, high = (middle, high) if wide else (low, middle)
    return math.sqrt(low * high)


def _group_spread(squares: Floats, thought: float) -> float:
    return math.sqrt((_GROUPS * thought**2 + float(squares.sum())) / (_GROUPS + len(squares)))


def _told(model: LegModel, logs: Floats, spreads: _Spreads) -> Fitted:
    curvature, _, _ = _quadratic(model, logs, spreads, _biweight)
    whole, _ = model.expected(logs)
    weights = _biweight((model.recorded - whole) / np.sqrt(model.variances(whole, spreads.leg)))
    covariance = np.asarray(np.linalg.inv(curvature), dtype=np.float64)
    return Fitted(logs, covariance, weights, spreads.leg, model.kind_count)


def _huber(off: Floats) -> Floats:
    return np.asarray(_HUBER / np.maximum(np.abs(off), _HUBER), dtype=np.float64)


def _biweight(off: Floats) -> Floats:
    return np.asarray(np.maximum(1.0 - (off / _BIWEIGHT) ** 2, 0.0) ** 2, dtype=np.float64)
