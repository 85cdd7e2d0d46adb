"""Each thing done by hand is one step with a label in words; what would break a rule is refused with the rule."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.scheduling import SeasonProblem
from planner.store import SeasonFile
from planner.usecases.plan.placing import (
    Placed,
    confirm,
    pin,
    place,
    problem_of,
    set_lead,
    set_reserve,
    set_second,
    set_setup,
    take_out,
    unconfirm,
    unpin,
)
from tests.unit.scheduling.audit_seasons import CLEAN, Scene, july, june, volunteer

FIRST, SECOND = VisitKey("R1", 1), VisitKey("R1", 2)


@pytest.fixture
def problem() -> SeasonProblem:
    people = tuple(volunteer(code, visits_limit=limit) for code, limit in (("V1", 4), ("V2", 4), ("V3", 1)))
    return Scene(volunteers=people).problem()


@pytest.fixture
def file(problem: SeasonProblem, tmp_path: Path) -> Iterator[SeasonFile]:
    """A season file that holds the small season and its clean plan."""
    with SeasonFile.create(tmp_path / "small.dimpsy", problem.season) as made:
        with made.step("A plan"):
            made.save_plan(CLEAN)
        yield made


def _visit(key: VisitKey = FIRST) -> PlannedVisit:
    return CLEAN.by_key[key]


def test_that_a_move_is_one_step_in_words_and_undone_to_the_letter(file: SeasonFile, problem: SeasonProblem) -> None:
    steps = len(file.history())
    done = place(file, replace(_visit(), date=june(6)), problem=problem)
    assert [step.label for step in file.history()[steps:]] == ["Move R1 visit 1 to Sun 6 Jun"] == [done.label]
    assert done.changed == (FIRST,)
    assert file.plan() == CLEAN.with_visit(replace(_visit(), date=june(6))) == done.after
    file.undo()
    assert file.plan() == CLEAN == done.before


def test_that_what_would_break_a_rule_is_refused_with_the_rule_and_changes_nothing(
    file: SeasonFile, problem: SeasonProblem
) -> None:
    revision = file.revision
    with pytest.raises(ImpossibleError, match="does not come after the visit") as caught:
        place(file, replace(_visit(), date=june(9)), problem=problem)
    assert caught.value.asked == "R1 visit 1 cannot stand so, and nothing was changed:"
    assert (file.plan(), file.revision) == (CLEAN, revision)


def test_that_a_rule_broken_already_does_not_bar_another_change(file: SeasonFile, problem: SeasonProblem) -> None:
    broken = CLEAN.with_visit(replace(_visit(), reserve=june(4)))
    with file.step("Somebody broke it"):
        file.save_plan(broken)
    done = place(file, replace(broken.by_key[FIRST], second="V3"), problem=problem)
    assert done.verdict is not None
    assert [one.rule.value for one in done.verdict.still_broken] == ["reserve.date"]
    assert file.plan().by_key[FIRST].second == "V3"


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"pinned": True}, "is pinned. Unpin it first"),
        ({"status": Status.CONFIRMED}, "is confirmed: its people have agreed"),
        ({"status": Status.DONE}, "is done"),
    ],
)
def test_that_a_fixed_visit_is_neither_moved_nor_taken_out(
    file: SeasonFile, problem: SeasonProblem, changes: dict[str, object], reason: str
) -> None:
    fixed = CLEAN.with_visit(replace(_visit(), **changes))  # type: ignore[arg-type]  # fields by name
    with file.step("Fix"):
        file.save_plan(fixed)
    with pytest.raises(ImpossibleError, match=reason):
        place(file, replace(_visit(), date=june(6)), problem=problem)
    with pytest.raises(ImpossibleError, match=reason):
        take_out(file, FIRST)
    assert file.plan() == fixed


def test_that_what_is_past_stays_and_nothing_is_moved_into_the_past(file: SeasonFile, problem: SeasonProblem) -> None:
    later = replace(problem, today=june(6))
    with pytest.raises(ImpossibleError, match="that is past"):
        place(file, replace(_visit(), date=june(7)), problem=later)
    with pytest.raises(ImpossibleError, match="Sat 5 Jun is past"):
        place(file, replace(_visit(SECOND), date=june(5)), problem=later)
    with pytest.raises(ImpossibleError, match="that is past"):
        take_out(file, FIRST, today=june(6))


def test_that_an_unfilled_visit_is_filled_by_placing_it(file: SeasonFile, problem: SeasonProblem) -> None:
    take_out(file, SECOND)
    assert file.history()[-1].label == "Take R1 visit 2 out of the plan"
    assert SECOND not in file.plan().by_key
    done = place(file, replace(_visit(SECOND), second="V3"), problem=problem)
    assert done.label == "Fill R1 visit 2: Fri 25 Jun, V1 and V3"


def test_that_lead_second_reserve_and_setup_are_given_each_with_its_own_words(
    file: SeasonFile, problem: SeasonProblem
) -> None:
    def said(do: Callable[[], Placed]) -> str:
        return do().label

    assert said(lambda: set_second(file, FIRST, "V3", problem=problem)) == "Give R1 visit 1 to V1 and V3"
    assert said(lambda: set_lead(file, FIRST, "V3", problem=problem)) == "Give R1 visit 1 to V3 and V1"
    assert said(lambda: set_second(file, FIRST, "", problem=problem)) == "Give R1 visit 1 to V3"
    assert said(lambda: set_reserve(file, FIRST, june(7), problem=problem)) == "Hold Mon 7 Jun for R1 visit 1"
    assert said(lambda: set_reserve(file, FIRST, None, problem=problem)) == "Hold no reserve date for R1 visit 1"
    assert said(lambda: set_setup(file, FIRST, june(5), problem=problem)) == "Set up R1 on Sat 5 Jun"
    assert file.plan().by_key[FIRST] == replace(_visit(), lead="V3", reserve=None, setup=june(5))


def test_that_somebody_who_is_full_or_unknown_is_refused(file: SeasonFile, problem: SeasonProblem) -> None:
    set_lead(file, FIRST, "V3", problem=problem)
    with pytest.raises(ImpossibleError, match="V3 goes out on 2 visits, limit 1"):
        set_lead(file, SECOND, "V3", problem=problem)
    with pytest.raises(RuleError, match="no volunteer 'V9'"):
        set_lead(file, SECOND, "V9", problem=problem)


def test_that_pin_and_confirm_can_be_taken_back(file: SeasonFile) -> None:
    assert pin(file, FIRST, SECOND).label == "Pin R1 visit 1, R1 visit 2"
    assert all(visit.pinned for visit in file.plan().of_route("R1"))
    unpin(file, FIRST, SECOND)
    assert confirm(file, FIRST).changed == (FIRST,)
    assert file.plan().by_key[FIRST].status is Status.CONFIRMED
    unconfirm(file, FIRST)
    assert file.plan() == CLEAN


def test_that_a_visit_that_is_done_is_not_confirmed_again(file: SeasonFile) -> None:
    with file.step("Done"):
        file.save_plan(CLEAN.with_status(FIRST, Status.DONE))
    with pytest.raises(ImpossibleError, match="is done"):
        confirm(file, FIRST)


def test_that_nothing_is_done_to_an_unfilled_visit_or_to_none(file: SeasonFile, problem: SeasonProblem) -> None:
    take_out(file, FIRST)
    for change in (pin, confirm, take_out):
        with pytest.raises(ImpossibleError, match="is unfilled"):
            change(file, FIRST)
    with pytest.raises(ImpossibleError, match="is unfilled"):
        set_lead(file, FIRST, "V2", problem=problem)
    with pytest.raises(RuleError, match="no visit is chosen"):
        pin(file)


def test_that_pinning_what_is_pinned_leaves_no_step(file: SeasonFile) -> None:
    pin(file, FIRST)
    steps = len(file.history())
    assert pin(file, FIRST).changed == ()
    assert len(file.history()) == steps


@pytest.mark.xdist_group("reedhaven")
def test_that_the_problem_is_computed_again_only_where_the_season_has_changed(reedhaven: SeasonFile) -> None:
    first = problem_of(reedhaven, today=dt.date(2027, 10, 1))
    assert problem_of(reedhaven, first) is first
    season = reedhaven.season()
    with reedhaven.step("Somebody drives less"):
        shorter = replace(season.volunteers[0], drive_limit_minutes=1.0)
        reedhaven.save_season(replace(season, volunteers=(shorter, *season.volunteers[1:])))
    again = problem_of(reedhaven, first)
    assert again is not first
    assert again.today == dt.date(2027, 10, 1)
    assert again.season.volunteers[0] == shorter


def test_that_a_route_whose_set_up_is_not_wanted_any_more_says_so(file: SeasonFile) -> None:
    season = file.season()
    optional = replace(season.protocol, setup=None)
    plain = Plan(tuple(replace(one, setup=june(4) if one.key == FIRST else None) for one in CLEAN))
    with file.step("Another protocol"):
        file.save_season(replace(season, protocol=optional))
        file.save_plan(plain)
    done = set_setup(file, FIRST, None, problem=replace(Scene(protocol=optional).problem(), today=None))
    assert done.label == "Take the set-up of R1 away"
    assert july(1) not in {visit.setup for visit in file.plan()}
