"""Points laid out along a line: each as soon as the rule and the road allow.

See :mod:`planner.usecases.laying_out.walking` for how they are chosen, and what is best about it.
"""

from __future__ import annotations

from planner.domain.errors import ImpossibleError
from planner.domain.protocol import Protocol
from planner.travel import RoadNetwork
from planner.usecases.laying_out.ground import STEP_M
from planner.usecases.laying_out.request import Laid, LayoutRequest
from planner.usecases.laying_out.rule import ApartRule
from planner.usecases.laying_out.saying import laid_points, notes_on, why_fewer
from planner.usecases.laying_out.stretches import barred_steps, skipped_stretches, stretches_at_times_shut
from planner.usecases.laying_out.walking import Walk
from planner.usecases.laying_out.ways import ground_along


def lay_out(protocol: Protocol, network: RoadNetwork | None, request: LayoutRequest) -> Laid:
    """Return a proposal of points along a line; changes nothing, and computes for a tenth of a second.

    Points stand as far apart as the protocol wants, measured as it measures, and never so near that habitat circles
    overlap where they must not; bridges, tunnels, motorways, roads where stopping is forbidden, junctions, private
    roads, roads too near to busy ones and what the request avoids are left out, as far as the map tells.

    Args:
        protocol: its spacing, habitat circle, number of points and rule on busy roads.
        network: the roads; without them only a line that is given can be followed, and nothing is known of it.
        request: along what, how many, from where, and what to avoid.

    Raises:
        ImpossibleError: the protocol has no points, there is no such way or road, or the line is too long.
    """
    wanted = request.points or protocol.points.most
    if protocol.points.most == 0:
        raise ImpossibleError(f"'{protocol.name}' is a driven line without points.", "There is nothing to lay out.")
    ground = ground_along(request.along, network)
    rule = ApartRule.by(protocol)
    barred = barred_steps(ground, network, request, protocol.points.busy_road)
    steps = Walk(ground, rule, barred.allowed, network).steps(request.start_after_m, wanted)
    first = min(round(request.start_after_m / STEP_M), ground.steps - 1)
    last = steps[-1] if len(steps) == wanted else ground.steps - 1
    skipped = tuple(skipped_stretches(barred, ground, first, last))
    points = laid_points(ground, network, rule, barred, steps, first)
    line, line_m = ground.line()
    return Laid(
        points=points,
        line=line,
        line_m=line_m,
        length_m=ground.length_m,
        skipped=skipped,
        wanted=wanted,
        rule=rule.words,
        why_fewer="" if len(points) == wanted else why_fewer(ground, rule, (len(points), wanted), request, skipped),
        notes=tuple(notes_on(protocol, network, len(points), stretches_at_times_shut(ground, network, last))),
    )
