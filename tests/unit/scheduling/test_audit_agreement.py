"""Two programs that share no code, one answer: the audit's simulation against the table that planning goes by."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.counting import Direction, OrderRule
from planner.domain.finding import Rule, Severity
from planner.domain.plan import Plan
from planner.domain.window import Edge, Event, PartOfDay, Pass, PassDirection, StartRule, Window
from planner.scheduling.audit import audit
from planner.scheduling.outing import fit_table
from tests.unit.scheduling.audit_seasons import PROTOCOL, SEASON, Scene, june, route, visit


@st.composite
def scenes(draw: st.DrawFn) -> Scene:
    points = draw(st.integers(1, 5))
    direction = draw(st.sampled_from(Direction))
    first = draw(st.sampled_from(PassDirection))
    second = PassDirection.FORWARD if first is PassDirection.REVERSE else PassDirection.REVERSE
    directions = [first, second] if draw(st.booleans()) and direction is not Direction.ANY else [first]
    longest = draw(st.one_of(st.none(), st.integers(6, 60)))
    start = draw(st.sampled_from(StartRule))
    passes = tuple(
        Pass(
            Edge(Event.SUNSET, 200.0 * k),
            Edge(Event.SUNSET, 200.0 * k + 100),
            start,
            within_minutes=longest,
            direction=d,
        )
        for k, d in enumerate(directions)
    )
    opens = [0, 20 + draw(st.integers(0, 60))]
    spans = tuple((float(opens[k]), float(opens[k] + draw(st.integers(1, 60)))) for k in range(len(passes)))
    legs = np.array(draw(st.lists(st.lists(st.integers(1, 12), min_size=5, max_size=5), min_size=5, max_size=5)))
    legs = legs[:points, :points].astype(np.float64)
    np.fill_diagonal(legs, 0.0)
    return Scene(
        replace(
            PROTOCOL,
            windows=(Window("dusk", PartOfDay.DUSK, passes),),
            order=OrderRule(direction),
            setup=None,
        ),
        (route("R1", points),),
        spans=spans,
        legs=legs,
        point_shift_minutes=draw(st.sampled_from([0.0, 0.4, -1.3])),
    )


@settings(max_examples=120, deadline=None)
@given(scenes())
def test_that_the_audit_breaks_no_date_that_planning_may_use_and_the_other_way_round(scene: Scene) -> None:
    problem = scene.problem()
    fits = bool(fit_table(problem, scene.routes[0]).fits[0, (june(5) - SEASON.first).days])
    findings = audit(problem, Plan((visit("R1", 1, "V1", june(5), reserve=june(6)),)))
    found = {(finding.rule, finding.severity) for finding in findings if finding.rule is not Rule.VISIT_UNFILLED}
    assert found == (set() if fits else {(Rule.VISIT_WINDOW, Severity.BROKEN)})
