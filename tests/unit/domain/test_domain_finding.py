from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.errors import Fault, ImpossibleError, InputError
from planner.domain.finding import Finding, Rule, Severity, Subject, worst_first

findings = st.builds(
    Finding,
    st.sampled_from(Rule),
    st.sampled_from(Severity),
    st.builds(Subject, st.text(max_size=3)),
    st.text(),
    st.text(),
)


@given(st.lists(findings))
def test_that_the_worst_come_first_and_equals_stay_in_their_order(some: list[Finding]) -> None:
    by_hand = [finding for severity in Severity for finding in some if finding.severity is severity]
    assert list(worst_first(some)) == by_hand


def test_that_broken_is_worse_than_trouble_than_doubt_than_note() -> None:
    assert [severity.words for severity in sorted(Severity)] == ["broken", "trouble", "doubt", "note"]


@pytest.mark.parametrize(
    ("subject", "words"),
    [
        (Subject(), "the season"),
        (Subject(route="R1", visit=2), "route R1, visit 2"),
        (Subject(route="R1", point=3), "route R1, point 3"),
        (Subject(volunteer="V1", date=dt.date(2027, 6, 8)), "volunteer V1, Tue 8 Jun 2027"),
    ],
)
def test_that_a_subject_says_what_applies(subject: Subject, words: str) -> None:
    assert str(subject) == words


def test_that_a_finding_is_one_line() -> None:
    broken = Finding(Rule.VISIT_GAP, Severity.BROKEN, Subject(route="R1"), "The gap is short.", "Move it.")
    assert str(broken) == "broken: route R1: The gap is short. Move it."
    assert str(Finding(Rule.SEASON_EMPTY, Severity.NOTE, Subject(), "Empty.", "")) == "note: the season: Empty."


def test_that_a_fault_says_place_expectation_finding_and_way_out() -> None:
    fault = Fault("routes.csv", "line 3", "a latitude", "'x'", "Mend it.")
    assert str(fault) == "routes.csv, line 3: expected a latitude, found 'x'. Mend it."
    whole = Fault("routes.csv", "", "a table", "nothing", "Fill it.")
    assert str(whole) == "routes.csv: expected a table, found nothing. Fill it."
    error = InputError(fault, whole)
    assert error.faults == (fault, whole)
    assert str(error).splitlines() == [str(fault), str(whole)]


def test_that_an_input_error_without_a_fault_is_a_fault_of_the_program() -> None:
    with pytest.raises(ValueError, match="at least one fault"):
        InputError()


def test_that_what_is_impossible_comes_with_its_reasons() -> None:
    error = ImpossibleError("Visit 2 cannot be filled.", "nobody is free", "the moon is new")
    assert error.reasons == ("nobody is free", "the moon is new")
    assert str(error) == "Visit 2 cannot be filled.\n- nobody is free\n- the moon is new"
