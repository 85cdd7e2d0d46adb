"""What recorded drives came to, and what planning with it would change: before and after, nothing is saved."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from planner.domain.field.drive_factors import DriveFactor, DriveFactors
from planner.domain.field.visit_record import VisitRecord
from planner.domain.finding import Finding
from planner.domain.plan import Plan
from planner.domain.season import Season
from planner.scheduling import SeasonProblem, audit
from planner.travel import FittedFactor, FittedFactors, RecordedLegs, RoadNetwork, fit_factors
from planner.usecases.calibrating.changes import RouteChange, route_changes
from planner.usecases.calibrating.findings import broken_to_come
from planner.usecases.calibrating.recorded import LeftOut, LegKind, Recorded, RecordedLeg, recorded_drives
from planner.usecases.plan.judging import added
from planner.usecases.plan.total_driving import total_drive_minutes
from planner.usecases.season.problem import roads_from_homes, season_problem_after

_DIGITS = 3
"""Of a factor that is kept: a thousandth is far less than it is sure of."""


@dataclass(frozen=True, slots=True)
class FactorChange:
    """A factor as it is planned with, and as recorded drives say."""

    name: str
    """Highway class; empty for the season."""
    before: float
    after: float
    least: float
    """The true one lies from here to ``most`` in 95 of 100 seasons; a class that goes by the season's has its range."""
    most: float
    legs: int
    """Recorded drives that it rests on."""
    own: bool
    """Whether there were enough of them, or the season's figure stands in."""


@dataclass(frozen=True, slots=True)
class Calibrated:
    """What recorded drives came to."""

    before: DriveFactors
    """What drives are planned with."""
    factors: DriveFactors
    """What they would be planned with; without a season's factor where too little was recorded."""
    season: FactorChange | None
    """None: too few recorded drives for any factor."""
    classes: tuple[FactorChange, ...]
    """Highway classes that were driven, by name."""
    routes: tuple[RouteChange, ...]
    """Of which something was recorded, or whose drives would change; by code."""
    legs: tuple[RecordedLeg, ...]
    """Recorded drives that were used."""
    left_out: tuple[LeftOut, ...]
    spread: float
    """By what share of itself a drive is off when all is said; 0 without factors."""
    driving_before_minutes: float
    """All the driving that the plan asks for."""
    driving_after_minutes: float
    broken: tuple[Finding, ...]
    """Rules that visits yet to come would break and do not break now: what no longer fits."""

    @property
    def recorded_minutes(self) -> float:
        """Driving on the drives that were used, as written down."""
        return sum(leg.driven_minutes for leg in self.legs)

    @property
    def expected_minutes(self) -> float:
        """Driving on these, as the road map at the season's speeds gives it, or the estimate without roads."""
        return sum(leg.expected_minutes for leg in self.legs)

    def expected_on(self, kind: str) -> float:
        """Return the minutes of these on one highway class."""
        return sum(minutes for leg in self.legs for name, minutes in leg.by_class if name == kind)

    @property
    def changes(self) -> bool:
        """Whether there is anything to use that is not used yet."""
        return self.season is not None and self.factors != self.before


def calibration(
    problem: SeasonProblem, plan: Plan, network: RoadNetwork | None, records: Sequence[VisitRecord]
) -> Calibrated:
    """Return what recorded drives came to, and what planning with it would change; nothing is saved.

    Args:
        problem: the season with its light and drives as they are planned with.
        plan: as it stands.
        network: the season's roads; None where it has none.
        records: of all visits; drafts are left out.
    """
    season = problem.season
    as_mapped = roads_from_homes(replace(season, drive_factors=DriveFactors()), network)
    recorded = recorded_drives(season, as_mapped, records)
    fitted = fit_factors(_arrays(recorded.legs))
    factors = _factors(fitted, recorded)
    season_after = replace(season, drive_factors=factors if factors.season is not None else season.drive_factors)
    after = season_problem_after(problem, season_after, network, problem.today, same_roads=True)
    used = tuple(leg for leg, is_used in zip(recorded.legs, fitted.used.tolist(), strict=True) if is_used)
    return Calibrated(
        before=season.drive_factors,
        factors=factors,
        season=_change(season.drive_factors.season_factor, fitted.season, fitted.season, "") if fitted.season else None,
        classes=_class_changes(season, fitted, used),
        routes=route_changes(problem, after, plan, fitted, used),
        legs=used,
        left_out=(*recorded.left_out, *_not_used(recorded.legs, fitted)),
        spread=fitted.spread,
        driving_before_minutes=total_drive_minutes(problem, plan),
        driving_after_minutes=total_drive_minutes(after, plan),
        broken=broken_to_come(added(audit(problem, plan), audit(after, plan)), plan, problem.today),
    )


def _arrays(legs: Sequence[RecordedLeg]) -> RecordedLegs:
    kinds = sorted({kind for leg in legs for kind, _ in leg.by_class})
    return RecordedLegs(
        minutes=np.array([leg.driven_minutes for leg in legs], dtype=np.float64),
        expected_by_kind=np.array(
            [[dict(leg.by_class).get(kind, 0.0) for kind in kinds] for leg in legs], dtype=np.float64
        ).reshape(len(legs), len(kinds)),
        kinds=tuple(kinds),
        routes=tuple(leg.name.record.route if None not in (leg.name.start, leg.name.end) else "" for leg in legs),
    )


def _factors(fitted: FittedFactors, recorded: Recorded) -> DriveFactors:
    if fitted.season is None:
        return DriveFactors()
    visits = "1 visit" if recorded.records == 1 else f"{recorded.records} visits"
    return DriveFactors(
        _kept(fitted.season),
        tuple(map(_kept, fitted.routes)),
        tuple(map(_kept, fitted.classes)),
        f"recorded drives of {visits}",
    )


def _kept(one: FittedFactor) -> DriveFactor:
    return DriveFactor(one.name, round(one.factor, _DIGITS), one.legs, round(one.most, _DIGITS))


def _change(before: float, one: FittedFactor | None, season: FittedFactor, name: str, legs: int = 0) -> FactorChange:
    found = one if one is not None else season
    return FactorChange(
        name=name,
        before=before,
        after=round(found.factor, _DIGITS),
        least=found.least,
        most=found.most,
        legs=one.legs if one is not None else legs,
        own=one is not None,
    )


def _class_changes(season: Season, fitted: FittedFactors, used: Sequence[RecordedLeg]) -> tuple[FactorChange, ...]:
    if fitted.season is None:
        return ()
    own = {one.name: one for one in fitted.classes}
    before = {one.name: one.factor for one in season.drive_factors.classes}
    driven = _drives_by_kind(used)
    return tuple(
        _change(before.get(kind, season.drive_factors.season_factor), own.get(kind), fitted.season, kind, driven[kind])
        for kind in sorted(driven)
    )


def _drives_by_kind(legs: Sequence[RecordedLeg]) -> Mapping[str, int]:
    return Counter(kind for leg in legs for kind, _ in leg.by_class if kind)


def _not_used(legs: Sequence[RecordedLeg], fitted: FittedFactors) -> tuple[LeftOut, ...]:
    """Return the drives that the fit left out, and why."""
    return tuple(
        LeftOut(str(leg.name), _why(leg, is_slip=is_slip, is_alone=fitted.season is None))
        for leg, used, is_slip in zip(legs, fitted.used.tolist(), fitted.slips.tolist(), strict=True)
        if not used
    )


def _why(leg: RecordedLeg, *, is_slip: bool, is_alone: bool) -> str:
    took = f"it took {max(leg.driven_minutes, 0.0):.0f} min where {leg.expected_minutes:.1f} were expected"
    if is_alone and not is_slip:
        return f"{took}: too few other drives to hold it against"
    if is_slip and leg.name.kind is LegKind.OUT:
        return f"{took}: a slip, a long stop, or points set up and habitat done before the first count"
    return f"{took}: a slip or a long stop" if is_slip else f"{took}: far from all others, a stop on the way or a slip"
