"""An outing run forward from a chosen departure, against the planner's own timing and a clock that ticks by minutes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.counting import Direction
from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.habitat import HabitatTiming
from planner.domain.outing import Outing, StepKind
from planner.domain.window import Edge, Event, FinishRule, Pass, PassDirection, StartRule
from planner.scheduling import OutingRequest, time_outing
from planner.scheduling.outing import OutingRun, PassSpan, habitat_between, leaving_at, planned_order
from tests.unit.scheduling.seasons import day, line_legs, same, seconds

FREE = Pass(Edge(Event.SUNSET), Edge(Event.SUNSET, 600), StartRule.NO_EARLIER, FinishRule.BY)
EXACT = replace(FREE, start=StartRule.EXACTLY)
BACK = replace(FREE, direction=PassDirection.REVERSE)
OPENS = "21:00"
SECOND = dt.timedelta(seconds=1)


def request(points: int = 3, leg: float = 2.0, window: float = 120.0, **changes: object) -> OutingRequest:
    """Counts of 5 minutes from 21:00 UTC, 10 minutes from home to the first point of a straight road."""
    legs = line_legs(points, leg)
    opens = np.full(points, seconds(0, OPENS))
    plain = OutingRequest(
        route="R1",
        date=day(0),
        numbers=tuple(range(1, points + 1)),
        legs=same(legs),
        out=same(10.0 + legs[0]),
        back=same(10.0 + legs[0]),
        sunrise_utc=seconds(0, "04:00"),
        sunset_utc=seconds(0, "20:40"),
        count_minutes=5.0,
        window="dusk",
        spans=(PassSpan(FREE, opens, opens + window * 60),),
    )
    return replace(plain, **changes)  # type: ignore[arg-type]  # fields by name


def later(outing: Outing, minutes: float) -> dt.datetime:
    return outing.leave_home_utc + dt.timedelta(minutes=minutes)


def clocks(run: OutingRun, kind: StepKind) -> list[str]:
    return [f"{step.start_utc:%H:%M}" for step in run.outing.of_kind(kind)]


def assert_same_outing(run: Outing, planned: Outing) -> None:
    """Equal but for what adding seconds in another order changes."""
    assert run.order == planned.order
    assert run.missed == planned.missed
    assert run.margin_minutes == pytest.approx(planned.margin_minutes, abs=1e-4)
    if planned.window is not None:
        assert run.window == planned.window
    assert len(run.steps) == len(planned.steps)
    for one, other in zip(run.steps, planned.steps, strict=True):
        assert (one.kind, one.point, one.from_point, one.leg) == (other.kind, other.point, other.from_point, other.leg)
        assert one.pass_number == other.pass_number or one.kind is StepKind.DRIVE
        assert abs((one.start_utc - other.start_utc).total_seconds()) < 1e-3
        assert abs((one.end_utc - other.end_utc).total_seconds()) < 1e-3


def test_that_leaving_before_the_latest_departure_only_adds_a_wait() -> None:
    run = leaving_at(request(), later(time_outing(request()), -15))
    assert clocks(run, StepKind.WAIT) == ["20:45"]
    assert clocks(run, StepKind.COUNT) == ["21:00", "21:07", "21:14"]
    assert run.outing.margin_minutes == pytest.approx(101.0)
    assert run.late_counts == ()


def test_that_leaving_late_costs_margin_and_then_points() -> None:
    short = request(window=20.0)
    planned = time_outing(short)
    assert planned.margin_minutes == pytest.approx(1.0)
    run = leaving_at(short, later(planned, 3))
    assert run.outing.margin_minutes == pytest.approx(-2.0)
    assert run.outing.order == (1, 2)
    assert run.outing.missed == (3,)
    assert [step.point for step in run.late_counts] == [3]
    assert len(run.outing.of_kind(StepKind.COUNT)) == 3


def test_that_longer_counts_push_points_out_and_shorter_ones_let_them_in() -> None:
    short = request(points=4, window=24.0)
    planned = time_outing(short)
    assert planned.missed == (4,)
    assert leaving_at(short, planned.leave_home_utc, 7.0).outing.order == (1, 2)
    quick = leaving_at(short, planned.leave_home_utc, 4.0)
    assert quick.outing.order == (1, 2, 3, 4)
    assert quick.outing.margin_minutes == pytest.approx(2.0)


def test_that_a_late_round_in_the_dark_is_told() -> None:
    whole = request(habitat_minutes=4.0)
    planned = time_outing(whole)
    run = leaving_at(whole, later(planned, 6))
    assert run.dark_minutes == pytest.approx(4.0)  # two of the six late minutes are the drive between points
    assert leaving_at(whole, planned.leave_home_utc).dark_minutes == 0.0


def test_that_a_late_start_is_told_where_the_protocol_wants_it_exact() -> None:
    opens = np.full(3, seconds(0, OPENS))
    exact = request(spans=(PassSpan(EXACT, opens, opens + 7_200.0),))
    planned = time_outing(exact)
    assert leaving_at(exact, later(planned, 4)).late_start_minutes == pytest.approx(4.0)
    assert leaving_at(exact, planned.leave_home_utc).late_start_minutes == 0.0
    assert leaving_at(request(), later(planned, 4)).late_start_minutes == 0.0


def test_that_a_longest_time_from_the_start_moves_with_the_start() -> None:
    opens = np.full(3, seconds(0, OPENS))
    bound = request(spans=(PassSpan(replace(FREE, within_minutes=20.0), opens, opens + 7_200.0),))
    planned = time_outing(bound)
    assert planned.margin_minutes == pytest.approx(1.0, abs=1e-3)
    assert leaving_at(bound, later(planned, 30)).outing.margin_minutes == pytest.approx(1.0)
    assert leaving_at(bound, later(planned, 30), 6.0).outing.order == (1, 2)


def test_that_a_setup_day_runs_on_into_the_dark() -> None:
    alone = request(spans=(), setup_minutes=6.0)
    planned = time_outing(alone)
    assert_same_outing(leaving_at(alone, planned.leave_home_utc).outing, planned)
    run = leaving_at(alone, later(planned, 20))
    assert abs(run.outing.due_home_utc - later(planned, 20) + planned.leave_home_utc - planned.due_home_utc) < SECOND
    assert run.dark_minutes == pytest.approx(8.0)  # ends at point 1 ten minutes late: 6 minutes there, 2 at point 2


def test_that_both_skies_leave_at_the_chosen_departure() -> None:
    opens = np.full(3, seconds(0, OPENS))
    both = request(overcast=(PassSpan(FREE, opens - 600.0, opens + 600.0),))
    planned = time_outing(both)
    run = leaving_at(both, planned.leave_home_utc)
    assert run.overcast is not None
    assert run.overcast.outing.leave_home_utc == run.outing.leave_home_utc
    assert run.overcast.outing.order == (1,)
    assert run.outing.order == (1, 2, 3)


def test_that_counts_of_no_length_are_refused() -> None:
    with pytest.raises(RuleError, match="longer than 0 minutes"):
        leaving_at(request(), dt.datetime(2027, 6, 1, 20, tzinfo=dt.UTC), 0.0)


@dataclass(frozen=True)
class Drawn:
    """A request of whole minutes, drawn by chance."""

    request: OutingRequest

    @classmethod
    def of(cls, seed: int, points: int, direction: Direction, *, passes: int = 1, dawn: bool = False) -> Drawn:
        rng = np.random.default_rng(seed)
        legs = rng.integers(1, 9, size=(points, points)).astype(np.float64)
        np.fill_diagonal(legs, 0.0)
        first = seconds(0, "02:30" if dawn else OPENS)
        spans = []
        for number in range(passes):
            opens = first + number * 3_600.0 + 60.0 * rng.integers(0, 4, size=points)
            closes = opens + 60.0 * rng.integers(8, 60, size=points)
            rule = BACK if number else (EXACT if seed % 3 == 0 else FREE)
            spans.append(PassSpan(rule, opens.astype(np.float64), closes.astype(np.float64)))
        return cls(
            request(
                points,
                legs=same(legs),
                out=same(rng.integers(5, 40, size=points)),
                back=same(rng.integers(5, 40, size=points)),
                direction=direction,
                habitat_minutes=float(rng.integers(0, 2) * 4),
                timing=HabitatTiming.AFTER_COUNTS if dawn else HabitatTiming.BEFORE_COUNTS,
                spans=tuple(spans),
            )
        )


requests = st.builds(
    Drawn.of,
    seed=st.integers(0, 9_999),
    points=st.integers(1, 5),
    direction=st.sampled_from(Direction),
    passes=st.integers(1, 2),
    dawn=st.booleans(),
)


@given(requests)
def test_that_the_planned_departure_gives_the_planned_outing(drawn: Drawn) -> None:
    planned = time_outing(drawn.request)
    run = leaving_at(drawn.request, planned.leave_home_utc)
    assert_same_outing(run.outing, replace(planned, squeeze=None))
    # With two passes an outing may lose in the second what it counted in the first; nothing else is ever late.
    assert run.late_counts == ()
    assert run.late_start_minutes == 0.0


def ticking(request: OutingRequest, planned: Outing, leave_minute: int, count: int) -> tuple[dict[int, list[int]], int]:
    """Walk through the outing one minute at a time, knowing only a list of things to do.

    Returns, by pass, the minute at which each count ends, and the minute of being home. Written without any of
    the planner's sums: a queue of tasks and a clock.
    """
    opens = [np.round(span.open_s / 60).astype(int) for span in request.spans]
    todo: list[tuple[str, int, int]] = []
    here: int | None = None
    stops = [step for step in planned.steps if step.kind in (StepKind.HABITAT, StepKind.COUNT)]
    last_count = max(index for index, step in enumerate(stops) if step.kind is StepKind.COUNT)
    for index, step in enumerate(stops):
        at = request.numbers.index(step.point or 0)
        if at != here:
            todo.append(("go", int(request.out.cautious[at] if here is None else request.legs.cautious[here, at]), 0))
            here = at
        if step.kind is StepKind.COUNT:
            todo += [("until", int(opens[step.pass_number - 1][at]), 0), ("count", count, step.pass_number)]
        else:
            todo += [("until", round(request.sunrise_utc / 60), 0)] if index > last_count else []
            todo.append(("go", int(request.habitat_minutes), 0))
    assert here is not None
    todo.append(("go", int(request.back.cautious[here]), 0))
    minute, ends = leave_minute, {number: list[int]() for number in range(1, len(request.spans) + 1)}
    for what, amount, number in todo:
        if what == "until":
            while minute < amount:
                minute += 1
            continue
        for _ in range(amount):
            minute += 1
        if what == "count":
            ends[number].append(minute)
    return ends, minute


@given(requests, st.integers(-40, 60), st.integers(1, 12))
def test_that_a_clock_that_ticks_by_minutes_agrees(drawn: Drawn, delay: int, count: int) -> None:
    asked = drawn.request
    planned = time_outing(asked)
    if planned.missed and count < asked.count_minutes:
        planned = time_outing(replace(asked, count_minutes=float(count)))
    leave = round(planned.leave_home_utc.timestamp() / 60) + delay
    run = leaving_at(asked, dt.datetime.fromtimestamp(leave * 60, dt.UTC), float(count))
    ends, home = ticking(asked, planned, leave, count)
    assert round(run.outing.due_home_utc.timestamp() / 60) == home
    counts = run.outing.of_kind(StepKind.COUNT)
    margins = []
    stands: list[set[int]] = []
    for number, span in enumerate(asked.spans, start=1):
        mine = [step for step in counts if step.pass_number == number]
        assert [round(step.end_utc.timestamp() / 60) for step in mine] == ends[number]
        closes = {point: round(span.close_s[asked.numbers.index(point)] / 60) for point in asked.numbers}
        points = [step.point or 0 for step in mine]
        stands.append({point for point, end in zip(points, ends[number], strict=True) if end <= closes[point]})
        if points:
            margins.append(closes[points[-1]] - ends[number][-1])
    assert set(run.outing.order) == set.intersection(*stands)
    assert sorted(run.outing.order + run.outing.missed) == sorted(asked.numbers)
    assert run.outing.margin_minutes == pytest.approx(min(margins), abs=1e-3)


@given(requests, st.lists(st.integers(-20, 90), min_size=2, max_size=2))
def test_that_leaving_later_never_brings_a_point_in_nor_anybody_home_sooner(drawn: Drawn, two: Sequence[int]) -> None:
    planned = time_outing(drawn.request)
    sooner, after = (leaving_at(drawn.request, later(planned, delay)) for delay in sorted(two))
    # A longest time from the start would move with it: the drawn rules have none.
    assert set(after.outing.order) <= set(sooner.outing.order)
    assert after.outing.due_home_utc >= sooner.outing.due_home_utc


@given(requests, st.integers(1, 12))
def test_that_shorter_counts_never_lose_a_point(drawn: Drawn, count: int) -> None:
    asked = drawn.request
    planned = time_outing(asked)
    departure = planned_order(asked, float(count)).leave_home_utc
    run = leaving_at(asked, departure, float(count))
    if count <= asked.count_minutes and len(asked.spans) == 1:
        assert len(run.outing.order) >= len(planned.order)


@given(requests)
def test_that_habitat_between_the_counts_loses_what_the_squeeze_says(drawn: Drawn) -> None:
    asked = replace(drawn.request, habitat_minutes=4.0)
    planned = time_outing(asked)
    run = habitat_between(asked)
    assert planned.squeeze is not None
    counted = {step.point for step in run.outing.of_kind(StepKind.COUNT) if step.pass_number == 1}
    assert counted == set(asked.numbers) - set(planned.squeeze.points_lost)
    assert [step for step in run.late_counts if step.pass_number == 1] == []
    habitat = run.outing.of_kind(StepKind.HABITAT)
    assert {step.point for step in habitat} == counted
    assert all(step.minutes == pytest.approx(4.0) for step in habitat)
    first = run.outing.of_kind(StepKind.COUNT)[0]
    opening = asked.spans[0].open_s[asked.numbers.index(first.point or 0)]
    assert habitat[0].end_utc.timestamp() == pytest.approx(opening, abs=1e-3)
    assert first.start_utc.timestamp() == pytest.approx(opening, abs=1e-3)


def test_that_habitat_between_the_counts_leaves_when_it_is_told() -> None:
    asked = request(habitat_minutes=4.0, window=40.0, setup_minutes=9.0)
    own = habitat_between(asked)
    assert clocks(own, StepKind.HABITAT) == ["20:56", "21:07", "21:18"]
    assert own.outing.margin_minutes == pytest.approx(13.0)
    late = habitat_between(asked, own.outing.leave_home_utc + dt.timedelta(minutes=14))
    assert late.outing.margin_minutes == pytest.approx(-1.0)
    assert late.outing.missed == (3,)


def test_that_habitat_between_the_counts_has_its_overcast_sky_too() -> None:
    opens = np.full(3, seconds(0, OPENS))
    early = PassSpan(FREE, opens - 600.0, opens + 1_200.0)
    asked = request(habitat_minutes=4.0, overcast=(early,))
    run = habitat_between(asked)
    assert run.overcast is not None
    assert clocks(run.overcast, StepKind.COUNT)[0] == "20:50"
    too_short = replace(asked, overcast=(PassSpan(FREE, opens, opens + 60.0),))
    assert habitat_between(too_short).overcast is None


def test_that_habitat_between_the_counts_needs_habitat_and_light() -> None:
    with pytest.raises(RuleError, match="no habitat round"):
        habitat_between(request())
    with pytest.raises(ImpossibleError, match="no count of 5 minutes fits"):
        habitat_between(request(habitat_minutes=4.0, window=3.0))


def test_that_a_point_without_a_road_is_missed_between_the_counts_too() -> None:
    legs = line_legs(3, 2.0)
    legs[1, :], legs[:, 1] = np.inf, np.inf
    legs[1, 1] = 0.0
    run = habitat_between(request(legs=same(legs), habitat_minutes=4.0))
    assert run.outing.order == (1, 3)
    assert run.outing.missed == (2,)
