"""What stands on the board: each route once, with its visits, marks and groups."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from planner.desktop.board.lines import BoardSources, Fold, Line, Part, lines_of
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.plan import Plan, VisitKey
from planner.usecases.routes.areas import areas_of
from tests.unit.scheduling.random_seasons import first_plan, varied_season
from tests.unit.scheduling.seasons import day, days, planned, problem, route, volunteer

_SEASON = problem(routes=[route("R1"), route("R2")], volunteers=[volunteer("V0"), volunteer("V1")]).season
_PLAN = Plan(
    (
        planned("R1/1", "V1", 3, reserve=5, setup=2),
        planned("R1/2", "V0", 9, setup=None),
        planned("R2/2", "V0", 10, second="V1"),
    )
)


def _line(code: str, **changes: object) -> Line:
    sources = replace(BoardSources(_SEASON, _PLAN), **changes)  # type: ignore[arg-type]  # fields by name
    return next(line for line in lines_of(sources) if line.route is not None and line.route.code == code)


def test_that_a_date_holds_the_visit_its_reserve_date_and_its_set_up() -> None:
    line = _line("R1")
    assert [(entry.part, entry.day) for entry in line.entries()] == [
        (Part.SETUP, day(2)),
        (Part.RESERVE, day(5)),
        (Part.DATE, day(3)),
        (Part.DATE, day(9)),
    ]
    assert [entry.part for entry in line.on(day(5))] == [Part.RESERVE]
    assert line.leads == "V1, V0"


def test_that_a_set_up_on_the_date_of_the_visit_is_no_entry_of_its_own() -> None:
    plan = _PLAN.with_visit(planned("R1/1", "V1", 3, setup=3))
    assert [entry.part for entry in _line("R1", plan=plan).on(day(3))] == [Part.DATE]


def test_that_a_date_speaks_of_the_visit_on_it_else_of_the_unfilled_one_that_may_lie_there() -> None:
    line = _line("R2")
    assert line.visit_at(day(10)) == VisitKey("R2", 2)
    assert line.visit_at(day(3)) == VisitKey("R2", 1)
    assert line.unfilled == (1,)
    assert _line("R1").visit_at(day(4)) == VisitKey("R1", 1)


def test_that_the_worst_finding_marks_a_visit_and_notes_do_not() -> None:
    def finding(severity: Severity, visit: int) -> Finding:
        return Finding(Rule.VISIT_GAP, severity, Subject(route="R1", visit=visit), "", "")

    found = (finding(Severity.DOUBT, 1), finding(Severity.BROKEN, 1), finding(Severity.NOTE, 2))
    assert _line("R1", findings=found).marks == ((1, Severity.BROKEN),)
    assert _line("R2", findings=found).marks == ()


def test_that_a_preview_is_told_only_where_something_differs() -> None:
    after = _PLAN.with_visit(planned("R1/1", "V1", 4)).without(VisitKey("R2", 2))
    assert _line("R1", after=after).after == after.of_route("R1")
    assert _line("R2", after=after).after == ()
    assert _line("R1", after=_PLAN).after is None


def test_that_routes_gathered_by_lead_stand_under_who_leads_their_first_visit() -> None:
    plan = _PLAN.without(VisitKey("R2", 2))
    lines = lines_of(BoardSources(_SEASON, plan, fold=Fold.LEAD))
    assert [(line.heads, line.title) for line in lines] == [
        (True, "V1 Ann V1"),
        (False, "R1 Lane R1"),
        (True, "Nobody yet"),
        (False, "R2 Lane R2"),
    ]
    assert [(line.filled, line.asked) for line in lines if line.heads] == [(2, 2), (0, 2)]


@settings(max_examples=40)
@given(st.integers(0, 200), st.sampled_from(Fold), st.data())
def test_that_every_route_stands_once_or_is_folded_away(seed: int, fold: Fold, data: st.DataObject) -> None:
    season, standing = varied_season(seed)
    plan = first_plan(season, standing)
    sources = BoardSources(season.season, plan, fold=fold, areas=areas_of(season.season.routes))
    lines = lines_of(sources)
    codes = [line.route.code for line in lines if line.route is not None]
    assert sorted(codes) == sorted(one.code for one in season.season.routes)
    heads = [line for line in lines if line.heads]
    assert sum(line.filled for line in heads) == (len(plan) if fold is not Fold.NOTHING else 0)
    folded = frozenset(data.draw(st.sets(st.sampled_from([line.group for line in heads])))) if heads else frozenset()
    left = lines_of(replace(sources, folded=folded))
    assert [line.title for line in left if line.heads] == [line.title for line in heads]
    assert [line for line in left if not line.heads] == [
        line for line in lines if not line.heads and line.group not in folded
    ]


def test_that_routes_without_visits_dates_of_their_own_have_the_seasons() -> None:
    own = route("R3", visit_dates=((2, days(11, 12)),))
    season = replace(_SEASON, routes=(*_SEASON.routes, own))
    line = next(line for line in lines_of(BoardSources(season, Plan())) if line.title.startswith("R3"))
    assert line.ranges == (_SEASON.visits[0], days(11, 12))
