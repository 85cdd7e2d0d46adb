"""Letters after a change: to those it touches, with their own data, fit for any mail program."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest

from planner.domain.calendar import DateRange
from planner.domain.disruption import (
    Disruption,
    EveningCancelled,
    PartlyDone,
    RoadClosed,
    VisitCancelled,
    VisitsCancelled,
    VolunteerLeaves,
)
from planner.domain.field.telling import News
from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.domain.season import Coordinator
from planner.printing.timetable import timetable
from planner.scheduling import SeasonProblem, outing_for
from planner.store import SeasonFile
from planner.usecases.evening.cancelling import accept, papers_to_print, ways_on
from planner.usecases.sending.after_change import letters_after
from planner.usecases.sending.letters import letter_to
from planner.usecases.sending.notice import Notice, cause_told
from planner.usecases.sending.send import news_in, send_files
from tests.unit.scheduling.seasons import day, days, planned, problem, volunteer

R1 = VisitKey("R1", 1)
PEOPLE = {
    "A": ("Ada Firth", "07700 900001", "ada@example.org"),
    "B": ("Ben Holm", "07700 900002", "ben+moths@example.org"),
    "C": ("Cora Lyle", "07700 900003", ""),
}


def season() -> SeasonProblem:
    made = problem(visits=(days(0, 6),), length=7, volunteers=tuple(volunteer(code) for code in PEOPLE))
    people = tuple(
        replace(one, name=PEOPLE[one.code][0], telephone=PEOPLE[one.code][1], email=PEOPLE[one.code][2])
        for one in made.season.volunteers
    )
    coordinator = Coordinator("Kim Warden", "07700 900999", "kim@example.org")
    return replace(made, season=replace(made.season, volunteers=people, coordinator=coordinator))


def letters(before: PlannedVisit, after: PlannedVisit | None, because: str = "the weather") -> dict[str, Notice]:
    found = letters_after(season(), plans(before, after), (), at(-1), because)
    return {one.volunteer: one for one in found}


def plans(before: PlannedVisit, after: PlannedVisit | None) -> tuple[Plan, Plan]:
    return Plan((before,)), Plan((after,) if after is not None else ())


def at(day_number: int) -> dt.datetime:
    return dt.datetime.combine(day(day_number), dt.time(12), season().season.tzinfo)


def said(day_number: int) -> str:
    date = day(day_number)
    return f"{date:%A} {date.day} {date:%B %Y}"


def test_that_everybody_touched_gets_a_letter_and_nobody_else() -> None:
    found = letters(planned("R1/1", "A", 0), planned("R1/1", "B", 2))
    assert list(found) == ["A", "B"]


def test_that_who_would_go_out_first_is_told_first() -> None:
    both = Plan((planned("R1/1", "B", 0), planned("R1/2", "A", 5)))
    found = letters_after(season(), (both, Plan()), (), at(-1))
    assert [one.volunteer for one in found] == ["B", "A"]


def test_that_who_moves_reads_the_old_and_the_new_date_times_partner_and_reserve() -> None:
    after = planned("R1/1", "A", 2, second="B", reserve=4)
    text = letters(planned("R1/1", "A", 0, second="B"), after)["A"].text
    assert f"Do not go out on {said(0)}. New date: {said(2)}." in text
    assert "You lead, with Ben 07700 900002." in text
    assert f"Date in reserve: {said(4)}." in text
    printed = timetable(outing_for(season(), after, "A")).key
    zone = season().season.tzinfo
    leave, due = printed.leave_home_utc.astimezone(zone), printed.due_home_utc.astimezone(zone)
    assert f"Leave home by {leave:%H:%M}." in text
    assert f"Due back at {due:%H:%M}." in text
    assert text.startswith("Dear Ada,\n")
    assert "because of the weather" in text
    assert "07700 900999" in text


def test_that_somebody_who_never_got_files_is_not_said_to_have_been_told_before() -> None:
    both = Plan((planned("R1/1", "A", 0), planned("R1/2", "A", 5)))
    text = letters_after(season(), (both, Plan(both.visits[1:])), (), at(-1))[0].text
    assert "told before" not in text
    assert f"Your other outings stay as they are:\n  {said(5)}: R1" in text


def test_that_nobody_is_told_to_stay_away_from_an_evening_that_is_over() -> None:
    again = plans(planned("R1/1", "A", 0), planned("R1/1", "A", 2))
    ahead, over = (letters_after(season(), again, (), at(today))[0].text for today in (0, 1))
    assert f"Do not go out on {said(0)}." in ahead
    assert f"{said(0)} is over" in over
    assert "Do not go out" not in over
    assert f"New date: {said(2)}." in over


def test_that_who_leaves_who_joins_and_who_waits_read_what_holds_for_them() -> None:
    found = letters(planned("R1/1", "A", 0), planned("R1/1", "B", 2))
    assert "no outing of yours is left" in found["A"].text
    assert not found["A"].fresh_paper
    assert f"You are asked to go out on {said(2)}." in found["B"].text
    assert "Do not go out" not in found["B"].text
    assert "There is no date in reserve." in found["B"].text
    assert found["B"].fresh_paper
    waiting = letters(planned("R1/1", "A", 0), None)["A"].text
    assert f"Do not go out on {said(0)}. You have no date for this visit now." in waiting


def test_that_where_only_the_reserve_changes_the_date_is_said_to_stay() -> None:
    text = letters(planned("R1/1", "A", 0, reserve=2), planned("R1/1", "A", 0, reserve=4))["A"].text
    assert f"Your outing stays on {said(0)}." in text
    assert "Do not go out" not in text
    assert f"Date in reserve: {said(4)}." in text


def test_that_a_set_up_day_is_told_to_the_lead_alone() -> None:
    after = planned("R1/1", "A", 4, second="B", setup=2)
    found = letters(planned("R1/1", "A", 0, second="B"), after)
    assert f"Set-up day, in daylight: {said(2)}." in found["A"].text
    assert "Set-up day" not in found["B"].text


def test_that_where_no_timetable_can_be_made_the_letter_is_silent_on_times() -> None:
    sound, dark = planned("R1/1", "A", 0), replace(planned("R1/1", "A", 2), window="noon")
    text = letters(sound, dark)["A"].text
    assert "Leave home" not in text
    assert f"New date: {said(2)}." in text
    gone = letters(dark, None)["A"].text
    assert f"Do not go out on {said(2)}." in gone


def test_that_a_letter_is_signed_with_what_is_known_of_the_coordinator() -> None:
    nobody = replace(season(), season=replace(season().season, coordinator=Coordinator()))
    (letter,) = letters_after(nobody, plans(planned("R1/1", "A", 0), None), (), at(-1))
    assert "07700 900999" not in letter.text


def test_that_a_letter_holds_no_data_of_others_but_the_partners_first_name_and_number() -> None:
    found = letters(planned("R1/1", "A", 0, second="C"), planned("R1/1", "A", 2, second="B"))
    partners = {"A": "B", "B": "A", "C": ""}
    for code, notice in found.items():
        for other, (name, telephone, email) in PEOPLE.items():
            if other == code:
                continue
            first, family = name.split()
            assert family not in notice.text
            assert not email or email not in notice.text
            assert (first in notice.text) == (other == partners[code])
            assert (telephone in notice.text) == (other == partners[code])


def test_that_the_mail_address_reads_back_as_the_letter() -> None:
    """Read by the standard library's parser of addresses; line ends as RFC 6068 wants them."""
    found = letters(planned("R1/1", "B", 0), planned("R1/1", "B", 2))
    notice = replace(found["B"], subject="50 % & more?", text=found["B"].text + "\nx=1&y=2#z ‘é’")
    address = urlsplit(notice.mail_address)
    assert address.scheme == "mailto"
    assert address.path == "ben%2Bmoths@example.org"
    read = parse_qs(address.query, strict_parsing=True)
    assert read == {"subject": [notice.subject], "body": [notice.text.replace("\n", "\r\n")]}
    assert address.fragment == ""
    assert letters(planned("R1/1", "C", 0), planned("R1/1", "C", 2))["C"].mail_address == ""


@pytest.mark.parametrize(
    ("disruption", "words"),
    [
        (VisitCancelled(R1), "the weather"),
        (VisitsCancelled((R1,)), "the weather"),
        (EveningCancelled(day(0)), "the weather"),
        (RoadClosed("R1", DateRange(day(0), day(1))), "a road that is closed"),
        (PartlyDone(R1, 1), "a visit that could not be finished"),
        (VolunteerLeaves("A", day(0)), ""),
    ],
)
def test_that_who_has_dropped_out_is_nobody_elses_affair(disruption: Disruption, words: str) -> None:
    assert cause_told(disruption) == words
    letter = letters(planned("R1/1", "A", 0), None, words)["A"]
    assert ("because of" in letter.text) == bool(words)


@pytest.mark.xdist_group("reedhaven")
def test_that_after_a_lost_evening_exactly_those_whose_paper_is_stale_are_told(reedhaven: SeasonFile) -> None:
    date = max({visit.date for visit in reedhaven.plan()}, key=lambda d: sum(v.date == d for v in reedhaven.plan()))
    offer = ways_on(reedhaven, EveningCancelled(date), today=date - dt.timedelta(days=1))
    done = accept(reedhaven, offer, 1)
    going = papers_to_print(offer.season, done.way)
    now = dt.datetime.combine(date - dt.timedelta(days=1), dt.time(12), offer.season.tzinfo)
    cause = cause_told(offer.disruption)
    found = letters_after(offer.problem, (offer.before, done.way.plan), reedhaven.told(), now, cause)
    assert {one.volunteer for one in found} == set(done.way.papers)
    assert {one.volunteer for one in found if one.fresh_paper} == set(going)
    assert all("Invented demo" in one.text for one in found)


@pytest.mark.xdist_group("reedhaven")
def test_that_the_letter_of_today_is_that_which_goes_with_the_files_but_for_the_cause(
    reedhaven: SeasonFile, tmp_path: Path
) -> None:
    date = max({visit.date for visit in reedhaven.plan()}, key=lambda d: sum(v.date == d for v in reedhaven.plan()))
    now = dt.datetime.combine(date - dt.timedelta(days=1), dt.time(12), reedhaven.season().tzinfo)
    offer = ways_on(reedhaven, EveningCancelled(date), today=now.date())
    told = send_files(reedhaven, tmp_path, None, now - dt.timedelta(days=1))
    done = accept(reedhaven, offer, 1)
    today = letters_after(offer.problem, (offer.before, done.way.plan), reedhaven.told(), now, "the weather")
    with_files = {one.code: letter_to(one).text for one in news_in(reedhaven, now) if one.news is not News.SAME}
    assert len(told.people) > len(with_files) > 0
    assert {one.volunteer: one.text.replace(" because of the weather", "") for one in today} == with_files
