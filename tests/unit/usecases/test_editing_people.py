"""Volunteers are added, changed field by field and removed, each in one step that leaves the file consistent."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.domain.errors import ImpossibleError, InputError, RuleError
from planner.domain.geo import Place
from planner.domain.plan import Plan, Status, VisitKey
from planner.store import SeasonFile
from planner.usecases.people.editing import add_person, change_person, removal_of, remove_person
from planner.usecases.people.person_entry import PersonEntry, PersonField, free_code, read_entry
from planner.usecases.season.history import undo

pytestmark = pytest.mark.xdist_group("reedhaven")

NEW = PersonEntry(
    code="V09",
    name=" Ivy Example ",
    telephone="07700 900123",
    email="ivy@example.org",
    home="41 31 16 S, 158 0 12 E",
    drive_limit="37,5",
    visits_limit="3",
    training="Marsh bird calls; first aid",
    vehicle="High clearance",
)


def _led(file: SeasonFile) -> str:
    """Somebody who leads a visit."""
    return next(visit.lead for visit in file.plan())


def test_that_somebody_new_is_read_from_the_texts_and_kept_as_one_step(reedhaven: SeasonFile) -> None:
    person = add_person(reedhaven, NEW)
    assert reedhaven.season().volunteer("V09") == person
    assert (person.name, person.drive_limit_minutes, person.visits_limit) == ("Ivy Example", 37.5, 3)
    assert person.training == {"marsh bird calls", "first aid"}
    assert person.vehicle == "high clearance"
    assert person.home == Place(-(41 + 31 / 60 + 16 / 3600), 158 + 12 / 3600)
    assert reedhaven.history()[-1].label == "New volunteer V09"


def test_that_every_field_that_cannot_be_taken_is_told_at_once(reedhaven: SeasonFile) -> None:
    wrong = PersonEntry("V01", "", "", "ivy at home", "north of the church", "0", "2.5")
    with pytest.raises(InputError) as caught:
        add_person(reedhaven, wrong)
    assert {fault.where for fault in caught.value.faults} == {
        PersonField.CODE,
        PersonField.NAME,
        PersonField.EMAIL,
        PersonField.HOME,
        PersonField.DRIVE_LIMIT,
        PersonField.VISITS_LIMIT,
    }
    assert len(reedhaven.season().volunteers) == 8


def test_that_a_home_that_is_missing_is_asked_for(reedhaven: SeasonFile) -> None:
    with pytest.raises(InputError, match=r"found nothing\. Fill in the field\."):
        add_person(reedhaven, PersonEntry("V09", "Ivy Example"))


@pytest.mark.parametrize("limit", ["", "-1", "a few", "1000"])
def test_that_a_visits_limit_that_is_no_plain_number_is_refused(reedhaven: SeasonFile, limit: str) -> None:
    with pytest.raises(InputError, match="a whole number from 0 to 999"):
        change_person(reedhaven, "V01", PersonField.VISITS_LIMIT, limit)


def test_that_one_field_changes_and_nothing_else(reedhaven: SeasonFile) -> None:
    before = reedhaven.season()
    changed = change_person(reedhaven, "V02", PersonField.DRIVE_LIMIT, "42")
    assert changed.label == reedhaven.history()[-1].label == "V02: drive limit"
    expected = replace(before.volunteer("V02"), drive_limit_minutes=42.0)
    assert reedhaven.season().volunteer("V02") == expected
    others = [person for person in before.volunteers if person.code != "V02"]
    assert [person for person in reedhaven.season().volunteers if person.code != "V02"] == others


def test_that_a_home_that_was_not_typed_anew_keeps_its_last_figures(reedhaven: SeasonFile) -> None:
    exact = Place(-41.521161234, 158.003441234)
    season = reedhaven.season()
    person = replace(season.volunteer("V01"), home=exact)
    entry = PersonEntry.of(person).with_text(PersonField.NAME, "Ann Other")
    assert read_entry(season, entry, person).home == exact


def test_that_a_field_typed_as_it_stood_leaves_no_step(reedhaven: SeasonFile) -> None:
    steps = len(reedhaven.history())
    assert change_person(reedhaven, "V02", PersonField.NAME, "Bram Wattlebury").label == ""
    assert len(reedhaven.history()) == steps


def test_that_a_new_code_follows_into_the_plan_and_the_agreements(reedhaven: SeasonFile) -> None:
    code = _led(reedhaven)
    season = reedhaven.season()
    agreed = tuple(replace(route, lead=code) if route.code == "M05" else route for route in season.routes)
    with reedhaven.step("Agree"):
        reedhaven.save_season(replace(season, routes=agreed))
    before = reedhaven.plan()
    change_person(reedhaven, code, PersonField.CODE, "NEW1")
    assert reedhaven.season().route("M05").lead == "NEW1"
    assert not reedhaven.plan().of_volunteer(code)
    assert [visit.key for visit in reedhaven.plan().of_volunteer("NEW1")] == [
        visit.key for visit in before.of_volunteer(code)
    ]
    assert reedhaven.history()[-1].label == f"{code} becomes NEW1"
    undo(reedhaven)
    assert reedhaven.plan() == before


def test_that_a_code_that_somebody_has_is_refused(reedhaven: SeasonFile) -> None:
    with pytest.raises(InputError, match="a code that nobody has yet"):
        change_person(reedhaven, "V02", PersonField.CODE, "V01")


def test_that_removing_is_foretold_and_does_just_that_in_one_step(reedhaven: SeasonFile) -> None:
    season, plan = reedhaven.season(), reedhaven.plan()
    code = _led(reedhaven)
    steps = len(reedhaven.history())
    foretold = removal_of(season, plan, code)
    removed = remove_person(reedhaven, code)
    assert removed == foretold
    assert removed.unfilled
    after = reedhaven.plan().by_key
    assert all(key not in after for key in removed.unfilled)
    assert not reedhaven.plan().of_volunteer(code)
    assert set(after) == set(plan.by_key) - set(removed.unfilled)
    assert len(reedhaven.history()) == steps + 1
    undo(reedhaven)
    assert (reedhaven.season(), reedhaven.plan()) == (season, plan)


def test_that_a_second_who_is_not_needed_leaves_the_lead_alone_and_one_who_is_empties_the_visit(
    reedhaven: SeasonFile,
) -> None:
    visits = {visit.key: visit for visit in reedhaven.plan()}
    two, one = VisitKey("M04", 1), VisitKey("M01", 1)
    helper = visits[two].second
    assert helper
    lead = next(visit.lead for visit in visits.values() if visit.key == one)
    if helper == lead:
        visits[one] = replace(visits[one], lead=visits[two].lead)
    visits[one] = replace(visits[one], second=helper)
    with reedhaven.step("Arrange"):
        reedhaven.save_plan(Plan(tuple(visits[key] for key in (one, two))))
    removed = remove_person(reedhaven, helper)
    assert (removed.alone, removed.unfilled) == ((one,), (two,))
    assert [(visit.key, visit.second) for visit in reedhaven.plan()] == [(one, "")]
    assert "M04 visit 1 would be unfilled. M01 visit 1 would have the lead alone." in removed.words


def test_that_the_routes_somebody_agreed_to_lead_are_open_again(reedhaven: SeasonFile) -> None:
    season = reedhaven.season()
    agreed = (*(replace(route, lead="V05") for route in season.routes[:2]), *season.routes[2:])
    with reedhaven.step("Agree"):
        reedhaven.save_season(replace(season, routes=agreed))
    removed = remove_person(reedhaven, "V05")
    assert removed.agreements == ("M01", "M02")
    assert "The lead of M01 and M02 would be open again." in removed.words
    assert not any(route.lead for route in reedhaven.season().routes)


def test_that_somebody_with_a_visit_done_stays(reedhaven: SeasonFile) -> None:
    first = reedhaven.plan().visits[0]
    with reedhaven.step("Done"):
        reedhaven.save_plan(reedhaven.plan().with_status(first.key, Status.DONE))
    before = reedhaven.season(), reedhaven.plan()
    with pytest.raises(ImpossibleError, match=f"{first.key} is done"):
        remove_person(reedhaven, first.lead)
    assert (reedhaven.season(), reedhaven.plan()) == before


def test_that_somebody_without_visits_goes_without_a_trace(reedhaven: SeasonFile) -> None:
    add_person(reedhaven, NEW)
    assert removal_of(reedhaven.season(), reedhaven.plan(), "V09").words == "Nothing is planned for V09."
    remove_person(reedhaven, "V09")
    assert "V09" not in {person.code for person in reedhaven.season().volunteers}


def test_that_removing_somebody_unknown_is_refused(reedhaven: SeasonFile) -> None:
    with pytest.raises(RuleError, match="no volunteer 'V99'"):
        remove_person(reedhaven, "V99")


def test_that_a_free_code_goes_on_in_the_manner_of_the_season(reedhaven: SeasonFile) -> None:
    season = reedhaven.season()
    assert free_code(season) == "V09"
    assert free_code(replace(season, volunteers=())) == "V01"
    named = replace(season.volunteers[0], code="ANN")
    assert free_code(replace(season, volunteers=(named,))) == "V01"
    odd = (replace(season.volunteers[0], code="T007"), replace(season.volunteers[1], code="T8"))
    assert free_code(replace(season, volunteers=odd)) == "T9"
