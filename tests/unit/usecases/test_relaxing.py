"""What an explanation offers is entered as one step that breaks no rule, or says what a person must do instead."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from planner.domain.change import Change, ChangeKind
from planner.domain.errors import ImpossibleError
from planner.domain.finding import Severity
from planner.domain.plan import Explanation, Plan, Relaxation, Status, VisitKey
from planner.domain.protocol import Gap
from planner.domain.window import PartOfDay
from planner.scheduling import SeasonProblem, audit, plan_season
from planner.store import SeasonFile
from planner.usecases.plan.relaxing import Offer, explained, hindrance, lacking_visits, plan_with, relax, season_with
from tests.unit.scheduling.changed_seasons import changed
from tests.unit.scheduling.random_seasons import busy_season, one_in, tiny_season
from tests.unit.scheduling.seasons import day, days, planned, problem, protocol, route, volunteer

KEY = VisitKey("R1", 1)


def _offers(season: SeasonProblem) -> tuple[Plan, tuple[Explanation, ...]]:
    result = plan_season(season)
    return result.plan, result.explanations


@pytest.mark.parametrize("seed", one_in(4, range(0, 120, 3)))
def test_that_every_change_comes_true_in_the_season_as_the_domain_has_it(seed: int) -> None:
    """The oracle is ``changed_seasons``, written against the domain for the tests of the explanations."""
    season = tiny_season(seed)
    plan, explanations = _offers(season)
    for explanation in explanations:
        for offered in explanation.relaxations:
            if hindrance(season.season, offered):
                continue
            entered = season_with(season.season, explanation.key.route, offered.changes)
            after = plan_with(season, plan, explanation.key, offered)
            stands = {str(f) for f in audit(season, plan) if f.severity is Severity.BROKEN}
            found = [f for f in audit(replace(season, season=entered), after) if f.severity is Severity.BROKEN]
            assert [str(f) for f in found if str(f) not in stands] == [], offered.what
            oracle = changed(season, explanation.key, offered.changes).season
            assert _gives(entered) == _gives(oracle), offered.what
            assert [one.visit_dates for one in entered.routes] == [one.visit_dates for one in oracle.routes]


def _gives(season: object) -> list[object]:
    """What volunteers offer, whether a vehicle is kept as one or as training."""
    people = getattr(season, "volunteers")  # noqa: B009  # any season
    return [(one.visits_limit, one.drive_limit_minutes, [one.parts_on(day(n)) for n in range(12)]) for one in people]


@pytest.fixture
def lacking() -> SeasonProblem:
    """One route that V0 could do if they gave day 3, or another vehicle or drive were there."""
    return problem(
        rules=protocol(visits=1),
        visits=(days(2, 4),),
        routes=[route("R1")],
        volunteers=[volunteer("V0", [10]), volunteer("V1", [2, 3], drive_limit_minutes=4.0)],
    )


@pytest.fixture
def file(lacking: SeasonProblem, tmp_path: Path) -> Iterator[SeasonFile]:
    with SeasonFile.create(tmp_path / "lacking.dimpsy", lacking.season) as made:
        yield made


def _place(offer: Offer, kind: ChangeKind) -> int:
    explanation = offer.of(KEY)
    assert explanation is not None
    return 1 + next(n for n, one in enumerate(explanation.relaxations) if {c.kind for c in one.changes} == {kind})


def test_that_pressing_an_offer_fills_the_visit_in_one_step_and_undo_takes_all_of_it_back(
    file: SeasonFile, lacking: SeasonProblem
) -> None:
    before = file.season()
    offer = explained(lacking, before, Plan())
    done = relax(file, offer, KEY, _place(offer, ChangeKind.GIVES), problem=lacking)
    (step,) = file.history()
    assert step.label == done.label == "R1 visit 1 is filled: V0 gives 1 evening more: Thu 3 Jun"
    visit = file.plan().by_key[KEY]
    assert visit.lead == "V0"
    assert PartOfDay.DUSK in file.season().volunteer("V0").parts_on(visit.date)
    assert done.changed == (KEY,)
    file.undo()
    assert (file.season(), file.plan()) == (before, Plan())


def test_that_a_longer_drive_is_entered(file: SeasonFile, lacking: SeasonProblem) -> None:
    offer = explained(lacking, file.season(), Plan())
    relax(file, offer, KEY, _place(offer, ChangeKind.DRIVES), problem=lacking)
    assert file.season().volunteer("V1").drive_limit_minutes == 10.0
    assert file.plan().by_key[KEY].lead == "V1"


def test_that_somebody_new_is_for_a_person_to_find(file: SeasonFile, lacking: SeasonProblem) -> None:
    offer = explained(lacking, file.season(), Plan())
    number = _place(offer, ChangeKind.NEWCOMER)
    with pytest.raises(ImpossibleError, match="Find somebody, enter them in People"):
        relax(file, offer, KEY, number, problem=lacking)
    assert file.history() == ()


def test_that_an_offer_made_before_the_season_changed_is_refused(file: SeasonFile, lacking: SeasonProblem) -> None:
    offer = explained(lacking, file.season(), Plan())
    with file.step("Something else"):
        file.save_season(replace(file.season(), notes="changed"))
    with pytest.raises(ImpossibleError, match="changed since"):
        relax(file, offer, KEY, 1, problem=lacking)


def test_that_what_was_not_offered_is_refused(file: SeasonFile, lacking: SeasonProblem) -> None:
    offer = explained(lacking, file.season(), Plan())
    for key, number in ((KEY, 99), (VisitKey("R1", 2), 1)):
        with pytest.raises(ImpossibleError, match="is offered for"):
            relax(file, offer, key, number, problem=lacking)


def test_that_an_offer_that_would_break_a_rule_is_not_saved(file: SeasonFile, lacking: SeasonProblem) -> None:
    wrong = Relaxation("V0 goes all the same.", 1.0, visits=(planned("R1/1", "V0", 3),))
    offer = Offer(file.season(), Plan(), (Explanation(KEY, (), (wrong,)),))
    with pytest.raises(ImpossibleError, match="would break these rules"):
        relax(file, offer, KEY, 1, problem=lacking)
    assert len(file.plan()) == 0


def test_that_rules_of_the_protocol_are_not_eased_for_one_route() -> None:
    season = problem(rules=protocol(gap=Gap(5))).season
    for kind in (ChangeKind.GAP, ChangeKind.SETUP):
        assert "protocol's rule" in hindrance(season, Relaxation("", 1.0, (Change(kind, amount=2),)))
        assert season_with(season, "R1", [Change(kind, amount=2)]) == season
    two = replace(season.protocol, people=replace(season.protocol.people, fewest=2, preferred=2))
    alone = Relaxation("", 1.0, (Change(ChangeKind.ONE_PERSON),))
    assert "protocol's rule" in hindrance(replace(season, protocol=two), alone)
    assert hindrance(season, alone) == ""


def test_that_planning_again_is_told_where_nothing_else_is_carried() -> None:
    assert hindrance(problem().season, Relaxation("Plan again.", 0.0)).startswith("Plan again")


def test_that_a_vehicle_is_brought_as_a_vehicle_and_a_skill_as_training() -> None:
    season = problem(volunteers=[volunteer("V0"), volunteer("V1", vehicle="4x4")]).season
    brings = season_with(season, "R1", [Change(ChangeKind.BRINGS, "V0", skills=("4x4", "owl course"))]).volunteer("V0")
    assert (brings.vehicle, brings.training) == ("4x4", frozenset({"owl course"}))
    learns = season_with(season, "R1", [Change(ChangeKind.LEARNS, "V0", skills=("course",))]).volunteer("V0")
    assert (learns.vehicle, learns.training) == ("car", frozenset({"course"}))


def test_that_a_route_goes_back_to_one_person_and_any_lead() -> None:
    season = problem(routes=[route("R1", people=2, lead="V0"), route("R2", people=2)]).season
    eased = season_with(season, "R1", [Change(ChangeKind.ONE_PERSON), Change(ChangeKind.ANY_LEAD)])
    assert (eased.route("R1").people, eased.route("R1").lead) == (1, "")
    assert eased.route("R2") == season.route("R2")


def test_that_dates_are_moved_by_the_days_asked_and_stay_inside_the_season() -> None:
    season = problem(visits=(days(0, 6), days(7, 12))).season
    later = season_with(season, "R1", [Change(ChangeKind.LATER, amount=3)]).route("R1")
    assert later.visit_dates == ((1, days(0, 9)), (2, days(7, 13)))
    earlier = season_with(season, "R1", [Change(ChangeKind.EARLIER, amount=3)]).route("R1")
    assert earlier.visit_dates == ((1, days(0, 6)), (2, days(4, 12)))


def test_that_offers_of_a_busy_season_that_make_others_move_come_true(tmp_path: Path) -> None:
    season = busy_season(1, 14, 9)
    plan, explanations = _offers(season)
    offer = Offer(season.season, plan, explanations)
    keys = [one.key for one in explanations if any(r.moves for r in one.relaxations)] or [explanations[0].key]
    explanation = offer.of(random.Random(1).choice(keys))
    assert explanation is not None
    number = 1 + next(n for n, one in enumerate(explanation.relaxations) if not hindrance(season.season, one))
    with SeasonFile.create(tmp_path / "busy.dimpsy", season.season) as made:
        with made.step("Plan"):
            made.save_plan(plan)
        done = relax(made, offer, explanation.key, number, problem=season)
        assert set(done.changed) <= {
            visit.key
            for visit in (*done.before, *done.after)
            if visit.key.route in {explanation.key.route, *(m.route for m in explanation.relaxations[number - 1].moves)}
        }
        assert len(made.plan()) > len(plan) or explanation.lacks_reserve_only


def test_that_unfilled_visits_come_first_then_those_without_a_reserve_date_that_are_still_to_be_made() -> None:
    season = problem(routes=[route("R1"), route("R2")]).season
    plan = Plan(
        (
            planned("R1/1", "V0", 1),
            planned("R1/2", "V0", 8, status=Status.DONE),
            planned("R2/2", "V0", 9, reserve=11),
        )
    )
    found = [(str(one.key), one.reserve_only) for one in lacking_visits(season, plan)]
    assert found == [("R2 visit 1", False), ("R1 visit 1", True)]
    broken = {(f.subject.route, f.subject.visit) for f in audit(problem(routes=[route("R1"), route("R2")]), plan)}
    assert {(one.key.route, one.key.number) for one in lacking_visits(season, plan)} <= broken
