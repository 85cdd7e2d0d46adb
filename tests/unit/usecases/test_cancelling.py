"""Accepting a way on is one step that can be undone, and says whose papers are stale."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.domain.calendar import DateRange
from planner.domain.disruption import EveningCancelled, RoadClosed, VisitCancelled, VolunteerLeaves
from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.field.cancelled import CancelReason
from planner.domain.finding import Severity
from planner.domain.plan import Plan
from planner.scheduling import audit
from planner.store import SeasonFile
from planner.usecases.evening.cancelling import accept, papers_to_print, papers_to_withdraw, ways_on
from planner.usecases.season.opening import road_network
from planner.usecases.season.problem import season_problem

pytestmark = pytest.mark.xdist_group("reedhaven")


def test_that_asking_changes_nothing(reedhaven: SeasonFile) -> None:
    before = reedhaven.plan(), reedhaven.season(), reedhaven.revision
    offer = ways_on(reedhaven, VisitCancelled(reedhaven.plan().visits[0].key))
    assert offer.possible
    assert offer.reasons == ()
    assert (reedhaven.plan(), reedhaven.season(), reedhaven.revision) == before


def test_that_a_way_is_accepted_as_one_step_in_words_and_undone_to_the_letter(reedhaven: SeasonFile) -> None:
    before, steps = reedhaven.plan(), len(reedhaven.history())
    visit = before.visits[0]
    offer = ways_on(reedhaven, VisitCancelled(visit.key))
    done = accept(reedhaven, offer, 1)
    (step,) = reedhaven.history()[steps:]
    assert step.label == done.label
    assert step.label.startswith(f"Weather cancels {visit.key}: {visit.key} goes to ")
    assert reedhaven.plan() == offer.ways[0].plan
    reedhaven.undo()
    assert reedhaven.plan() == before


def test_that_papers_are_stale_for_those_whose_visits_differ_and_nobody_else(reedhaven: SeasonFile) -> None:
    before = reedhaven.plan()
    offer = ways_on(reedhaven, EveningCancelled(before.visits[0].date))
    for way in offer.ways:
        changed = {
            one.code
            for one in offer.season.volunteers
            if before.of_volunteer(one.code) != way.plan.of_volunteer(one.code)
        }
        assert set(way.papers) == changed
        assert {*papers_to_print(offer.season, way), *papers_to_withdraw(offer.season, way)} == changed


def test_that_who_drops_out_gives_no_dates_any_more_and_gets_them_back_by_undo(reedhaven: SeasonFile) -> None:
    before, season = reedhaven.plan(), reedhaven.season()
    visit = before.visits[0]
    offer = ways_on(reedhaven, VolunteerLeaves(visit.lead, season.dates.first))
    done = accept(reedhaven, offer, 1)
    assert not reedhaven.plan().of_volunteer(visit.lead)
    assert visit.lead in papers_to_withdraw(season, done.way)
    after = reedhaven.season()
    assert not any(after.volunteer(visit.lead).parts_on(day) for day in after.dates)
    network = road_network(reedhaven.path, after.roads)
    findings = audit(season_problem(after, network), reedhaven.plan())
    assert not [finding for finding in findings if finding.severity is Severity.BROKEN]
    reedhaven.undo()
    assert (reedhaven.plan(), reedhaven.season()) == (before, season)


def test_that_an_old_offer_is_refused(reedhaven: SeasonFile) -> None:
    offer = ways_on(reedhaven, VisitCancelled(reedhaven.plan().visits[0].key))
    with reedhaven.step("Something else"):
        reedhaven.save_plan(Plan(reedhaven.plan().visits[1:]))
    with pytest.raises(ImpossibleError, match="changed since"):
        accept(reedhaven, offer, 1)


def test_that_a_way_that_was_not_offered_is_refused(reedhaven: SeasonFile) -> None:
    offer = ways_on(reedhaven, VisitCancelled(reedhaven.plan().visits[0].key))
    with pytest.raises(RuleError, match="numbered 1 to"):
        accept(reedhaven, offer, 4)


def test_that_where_nobody_can_go_the_reasons_are_told(reedhaven: SeasonFile) -> None:
    first = min(reedhaven.plan(), key=lambda visit: visit.date)
    alone = tuple(
        one if one.code == first.lead else replace(one, availability=()) for one in reedhaven.season().volunteers
    )
    with reedhaven.step("Only one is left"):
        reedhaven.save_season(replace(reedhaven.season(), volunteers=alone))
        reedhaven.save_plan(Plan((replace(first, second=""),)))
    offer = ways_on(reedhaven, VolunteerLeaves(first.lead, first.date - dt.timedelta(days=30)))
    assert not offer.possible
    assert str(first.key) in offer.reasons[0]


def test_that_the_dates_that_are_given_up_are_kept_with_why_and_go_with_undo(reedhaven: SeasonFile) -> None:
    visit = reedhaven.plan().visits[0]
    number = next(n for n, way in enumerate(ways_on(reedhaven, VisitCancelled(visit.key)).ways, 1) if way.full)
    accept(reedhaven, ways_on(reedhaven, VisitCancelled(visit.key)), number)
    (lost,) = reedhaven.cancelled()
    assert (lost.key, lost.date, lost.reason, lost.setup) == (visit.key, visit.date, CancelReason.WEATHER, False)
    moved = reedhaven.plan().by_key[visit.key]
    closing = RoadClosed(moved.key.route, DateRange(moved.date, moved.date))
    accept(reedhaven, ways_on(reedhaven, closing), 1)
    assert {(one.date, one.reason) for one in reedhaven.cancelled()} == {
        (visit.date, CancelReason.WEATHER),
        (moved.date, CancelReason.ROAD),
    }
    reedhaven.undo()
    assert reedhaven.cancelled() == (lost,)
    reedhaven.undo()
    assert reedhaven.cancelled() == ()


def test_that_who_drops_out_cancels_no_date(reedhaven: SeasonFile) -> None:
    leaving = VolunteerLeaves(reedhaven.plan().visits[0].lead, reedhaven.season().dates.first)
    accept(reedhaven, ways_on(reedhaven, leaving), 1)
    assert reedhaven.cancelled() == ()
