"""What is said of a layout: where each point stands and why not elsewhere, why there are fewer, what to look at."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from planner.domain.geo import Place
from planner.domain.protocol import Protocol
from planner.travel import RoadNetwork
from planner.usecases.laying_out.ground import STEP_M, Ground, road_metres
from planner.usecases.laying_out.request import LaidPoint, LayoutRequest, Skipped, Why
from planner.usecases.laying_out.rule import ApartRule
from planner.usecases.laying_out.stretches import Barred
from planner.usecases.route_fixes.roads import rounded
from planner.usecases.wording import listed, metres_words

_LATER_M = 5.0
"""A point that stands farther on by less than this needs no word."""


def laid_points(
    ground: Ground, network: RoadNetwork | None, rule: ApartRule, barred: Barred, steps: Sequence[int], first: int
) -> tuple[LaidPoint, ...]:
    """Return the points at those steps, numbered from 1.

    Args:
        ground: the line.
        network: the roads.
        rule: how far apart points stand.
        barred: what bars each step.
        steps: where points stand, rising.
        first: the step at which the first point was to stand.
    """
    latitudes, longitudes = ground.plane.degrees(*ground.spots(steps))
    points: list[LaidPoint] = []
    for row, step in enumerate(steps):
        before = steps[row - 1] if row else None
        if before is None:
            apart, note = None, _note_on_first(barred, first, step)
        else:
            apart = _apart(ground, network, rule, before, step)
            note = _note(rule, barred, step, apart)
        place = rounded(Place(float(latitudes[row]), float(longitudes[row])))
        points.append(LaidPoint(row + 1, place, float(ground.along_m[step]), apart, note))
    return tuple(points)


def _apart(ground: Ground, network: RoadNetwork | None, rule: ApartRule, before: int, step: int) -> float:
    if rule.by_road:
        along = float(ground.along_m[step] - ground.along_m[before])
        return along if network is None else min(along, road_metres(ground, network, before, step))
    return float(np.hypot(ground.x_m[step] - ground.x_m[before], ground.y_m[step] - ground.y_m[before]))


def _note_on_first(barred: Barred, first: int, step: int) -> str:
    farther = (step - first) * STEP_M
    return f"{metres_words(farther)} on, past {_reasons(barred, first, step)}" if farther >= _LATER_M else ""


def _note(rule: ApartRule, barred: Barred, step: int, apart: float) -> str:
    """Say why a point stands elsewhere than the spacing alone would put it."""
    if apart < rule.least_m - _LATER_M:
        return f"{rule.least_m - apart:.0f} m nearer than aimed at, since no point may stand farther on"
    farther = apart - rule.least_m
    if farther < _LATER_M:
        return ""
    reasons = _reasons(barred, step - max(1, round(farther / STEP_M)), step)
    said = f"{metres_words(farther)} on, past {reasons}" if reasons else f"{metres_words(farther)} on: {_BEND}"
    return f"{said}; farther apart than the protocol allows" if apart > rule.most_m else said


_BEND = "the line turns back towards points that stand already"


def _reasons(barred: Barred, first: int, last: int) -> str:
    """Return what bars the steps between two, in words; junctions only where there is nothing else."""
    passed = [barred.reason(step) for step in range(first, last) if barred.why[step] >= 0]
    weighty = [reason for reason in dict.fromkeys(passed) if reason is not Why.JUNCTION]
    return "; ".join(reason.value for reason in weighty or dict.fromkeys(passed))


def why_fewer(
    ground: Ground, rule: ApartRule, fitting: tuple[int, int], request: LayoutRequest, skipped: Sequence[Skipped]
) -> str:
    """Say why fewer points fit than are wanted; ``fitting`` is how many do, and how many are wanted."""
    barred_m = sum(one.to_m - one.from_m for one in skipped)
    parts = [f"the line is {metres_words(ground.length_m)} long"]
    if request.start_after_m:
        parts.append(f"the first {metres_words(request.start_after_m)} are left out")
    if barred_m >= 1:
        parts.append(f"on {metres_words(barred_m)} of it no point may stand")
    parts.append(f"points stand {rule.words}")
    count, wanted = fitting
    return f"{count} of {wanted} points fit: {', '.join(parts)}. Choose a longer line, begin sooner, or do with fewer."


def notes_on(
    protocol: Protocol, network: RoadNetwork | None, points: int, shut: Sequence[tuple[float, float]]
) -> Iterator[str]:
    """Yield what else a person should know before accepting so many points on roads that are shut here and there."""
    if network is None:
        yield "There is no road map: nothing is known of junctions, bridges, private or busy roads."
    if points < protocol.points.fewest:
        yield f"The protocol wants {protocol.points.fewest} points or more."
    if points > protocol.points.most:
        yield f"The protocol wants {protocol.points.most} points at most."
    if shut:
        spans = listed(f"{first:,.0f} to {last:,.0f} m" for first, last in shut)
        yield f"From {spans} the road may be shut by season, hour or snow: ask before the survey."
    if points:
        yield (
            "Look at each place in daylight before anybody stands there in the dark: verge, sight lines and the"
            " landowner's leave are on no map, and local law and the survey's own rules come first."
        )
