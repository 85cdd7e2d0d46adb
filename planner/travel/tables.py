"""Drive tables: every leg that a plan may need, with its band and its source."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from planner.domain.errors import RuleError
from planner.domain.field.drive_factors import LEAST_FACTOR, MOST_FACTOR
from planner.domain.travel import DriveFigure, FigureSource
from planner.travel.coordinates import Flags, Floats, Places, degrees
from planner.travel.estimate import (
    CAUTIOUS_SHARE,
    OPTIMISTIC_SHARE,
    ROAD_CAUTIOUS_SHARE,
    ROAD_OPTIMISTIC_SHARE,
    estimate_minutes,
    measured_shares,
)
from planner.travel.network import RoadNetwork
from planner.travel.on_foot import CAUTIOUS_SHARE as CAUTIOUS_FOOT_SHARE
from planner.travel.on_foot import Standing, walked_minutes

SOURCES = (FigureSource.ROAD, FigureSource.ESTIMATE, FigureSource.MEASURED)
"""What the numbers in ``DriveTable.source_numbers`` stand for."""

_ROAD, _ESTIMATE, _MEASURED = range(3)


@dataclass(frozen=True, slots=True, eq=False)
class DriveTable:
    """Drive minutes from origins (rows) to destinations (columns), stop overhead and ways on foot included.

    All arrays have the same shape and are read-only; ``inf`` means that no way was found.
    """

    optimistic_minutes: Floats
    expected_minutes: Floats
    cautious_minutes: Floats
    source_numbers: NDArray[np.uint8]
    """Index into ``SOURCES`` for each cell."""

    def __post_init__(self) -> None:
        shapes = {array.shape for array in self._arrays()}
        if len(shapes) != 1 or self.expected_minutes.ndim != 2:
            raise RuleError(f"the arrays of a drive table must have one shape, found {sorted(shapes)}")
        for array in self._arrays():
            array.setflags(write=False)

    def _arrays(self) -> tuple[Floats, Floats, Floats, NDArray[np.uint8]]:
        return self.optimistic_minutes, self.expected_minutes, self.cautious_minutes, self.source_numbers

    @property
    def shape(self) -> tuple[int, int]:
        """Number of origins and of destinations."""
        rows, columns = self.expected_minutes.shape
        return rows, columns

    def source(self, origin: int, destination: int) -> FigureSource:
        """Return where one figure comes from."""
        return SOURCES[self.source_numbers[origin, destination]]

    def figure(self, origin: int, destination: int) -> DriveFigure:
        """Return one leg, by row and column."""
        cell = origin, destination
        return DriveFigure(
            float(self.optimistic_minutes[cell]),
            float(self.expected_minutes[cell]),
            float(self.cautious_minutes[cell]),
            self.source(*cell),
        )

    def with_measured(self, minutes: Mapping[tuple[int, int], float]) -> DriveTable:
        """Return the table with legs that were driven, keyed (origin, destination); the band closes to one figure.

        Raises:
            RuleError: minutes are negative or not a number.
            IndexError: a leg is not in the table.
        """
        optimistic, expected = self.optimistic_minutes.copy(), self.expected_minutes.copy()
        cautious, sources = self.cautious_minutes.copy(), self.source_numbers.copy()
        for cell, driven in minutes.items():
            figure = DriveFigure.measured(driven)
            optimistic[cell] = expected[cell] = cautious[cell] = figure.expected_minutes
            sources[cell] = _MEASURED
        return replace(
            self,
            optimistic_minutes=optimistic,
            expected_minutes=expected,
            cautious_minutes=cautious,
            source_numbers=sources,
        )


@dataclass(frozen=True, slots=True, eq=False)
class Calibration:
    """What driving minutes are multiplied by, as recorded drives say; all from 0.2 to 5."""

    origins: float | Floats = 1.0
    """For all drives, or for those from each origin, shape (origins,)."""
    estimates: float = 1.0
    """On top of it, for drives that are estimated: the roads of a network may be calibrated already."""
    doubts: float | Floats | None = None
    """How many times longer the drives of a season without roads may be than its factors say, from 1; for all or from
    each origin. None: recorded drives do not tell of estimates, and these keep the band of unmeasured ones."""


def drive_table(
    origins: Places,
    destinations: Places,
    *,
    network: RoadNetwork | None,
    stop_overhead_minutes: float,
    calibration: Calibration | float = 1.0,
    limit_minutes: float | None = None,
    standing: Standing = Standing.NOWHERE,
) -> DriveTable:
    """Return the drive minutes from every origin to every destination.

    By road where a network is given and both ends lie near one of its roads, else estimated from the distance.
    A leg from a place to itself takes no time at all.

    Args:
        origins: (latitude, longitude) pairs.
        destinations: (latitude, longitude) pairs.
        network: the season's roads; None where there are none.
        stop_overhead_minutes: pulling in, getting out, notes, setting off; added to every leg.
        calibration: what recorded drives took as a multiple of what was expected, 0.2 to 5; the stop overhead is
            not multiplied.
        limit_minutes: legs expected to take longer on the road than this are given as ``inf``.
        standing: at which ends people walk between the car, on the road, and the place itself; the time for it is
            added, and not multiplied by the calibration.

    Raises:
        RuleError: a coordinate, the overhead, the calibration or the limit is out of range.
    """
    start, end = degrees(origins), degrees(destinations)
    if not isinstance(calibration, Calibration):
        calibration = Calibration(calibration)
    _check(stop_overhead_minutes, calibration, limit_minutes)
    driving, sources = _driving_minutes(start, end, network, calibration, limit_minutes)
    same_place = (start[:, None, :] == end[None, :, :]).all(axis=2)
    overhead = np.where(same_place, 0.0, stop_overhead_minutes)
    on_foot = np.where(same_place, 0.0, _on_foot_minutes(start, end, network, standing))
    roads = (ROAD_OPTIMISTIC_SHARE, ROAD_CAUTIOUS_SHARE)
    optimistic, cautious = (
        np.where(sources == _ROAD, road, estimate) * driving + overhead
        for road, estimate in zip(roads, _estimate_shares(len(start), network, calibration), strict=True)
    )
    return DriveTable(
        optimistic + on_foot, driving + overhead + on_foot, cautious + on_foot * CAUTIOUS_FOOT_SHARE, sources
    )


def _estimate_shares(
    origins: int, network: RoadNetwork | None, calibration: Calibration
) -> tuple[float | Floats, float | Floats]:
    """Return the band of estimates: one for all, or a column with a row for each origin.

    Beside a road map recorded drives are nearly all on its roads; what is estimated there stays unmeasured.
    """
    if network is not None or calibration.doubts is None:
        return OPTIMISTIC_SHARE, CAUTIOUS_SHARE
    factors, doubts = (
        np.broadcast_to(np.asarray(one, dtype=np.float64), origins)[:, None]
        for one in (calibration.origins, calibration.doubts)
    )
    return measured_shares(factors * calibration.estimates, doubts)


def _on_foot_minutes(start: Floats, end: Floats, network: RoadNetwork | None, standing: Standing) -> Floats:
    if network is None:
        return np.zeros((len(start), len(end)))
    leaving, arriving = (
        walked_minutes(network.off_road_metres(places)) if side in standing else np.zeros(len(places))
        for places, side in ((start, Standing.ORIGINS), (end, Standing.DESTINATIONS))
    )
    return np.asarray(leaving[:, None] + arriving[None, :], dtype=np.float64)


def _driving_minutes(
    start: Floats, end: Floats, network: RoadNetwork | None, calibration: Calibration, limit_minutes: float | None
) -> tuple[Floats, NDArray[np.uint8]]:
    estimated = _estimated_cells(start, end, network)
    sources = np.where(estimated, _ESTIMATE, _ROAD).astype(np.uint8)
    driving = np.full(estimated.shape, np.inf)
    factors = np.broadcast_to(np.asarray(calibration.origins, dtype=np.float64), len(start))
    if network is not None:
        limit = None if limit_minutes is None else limit_minutes / factors.min(initial=MOST_FACTOR)
        driving = network.minutes(start, end, limit_minutes=limit)
    if estimated.any():
        driving[estimated] = estimate_minutes(start, end)[estimated] * calibration.estimates
    driving *= factors[:, None]
    if limit_minutes is not None:
        driving[driving > limit_minutes] = np.inf
    return driving, sources


def _estimated_cells(start: Floats, end: Floats, network: RoadNetwork | None) -> Flags:
    if network is None:
        return np.ones((len(start), len(end)), dtype=bool)
    origins, destinations = (np.array(network.on_road(places), dtype=bool) for places in (start, end))
    known: Flags = origins[:, None] & destinations[None, :]
    return ~known


def _check(stop_overhead_minutes: float, calibration: Calibration, limit_minutes: float | None) -> None:
    if not 0.0 <= stop_overhead_minutes < math.inf:
        raise RuleError(f"stop overhead must be 0 minutes or more, found {stop_overhead_minutes}")
    factors = np.append(np.ravel(calibration.origins), calibration.estimates)
    wrong = factors[~((factors >= LEAST_FACTOR) & (factors <= MOST_FACTOR))]
    if len(wrong):
        raise RuleError(f"calibration must lie between {LEAST_FACTOR} and {MOST_FACTOR}, found {wrong[0]:g}")
    if calibration.doubts is not None and not (np.asarray(calibration.doubts) >= 1.0).all():
        raise RuleError(f"calibrated drives may be 1 time as long or longer, found {np.min(calibration.doubts):g}")
    if limit_minutes is not None and not limit_minutes > 0.0:
        raise RuleError(f"limit must be above 0 minutes, found {limit_minutes}")
