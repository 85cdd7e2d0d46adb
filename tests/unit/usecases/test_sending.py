"""What each is told: new, changed, cancelled or nothing; in a letter, in a short message, by the plan that stands."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.errors import ImpossibleError, SeasonFileError
from planner.domain.field.entry_words import before_counts_words, hours_words
from planner.domain.field.telling import News
from planner.domain.field.told import Told, ToldKey, ToldKind
from planner.domain.plan import Plan, PlannedVisit, Status
from planner.domain.season import Coordinator
from planner.scheduling import SeasonProblem
from planner.usecases.paper.itineraries import PrintFacts
from planner.usecases.sending.differences import SOMETHING_ELSE, differences_in_words
from planner.usecases.sending.entries import content_of, entries_of, entry_of
from planner.usecases.sending.letters import letter_to
from planner.usecases.sending.news import EntryNews, KnownEntries, PersonNews, what_to_send
from planner.usecases.sending.short_message import parts_of, short_message
from tests.unit.scheduling.seasons import day, habitat_rule, planned, problem, route, setup_rule, volunteer
from tests.unit.scheduling.seasons import protocol as rules

NOW = dt.datetime(2027, 5, 20, 9, 0, tzinfo=dt.UTC)
PEOPLE = {
    "A": ("Ada Firth", "07700 900001", "ada@example.org"),
    "B": ("Ben Holm", "07700 900002", "ben@example.org"),
    "C": ("Cora Lyle", "07700 900003", ""),
}


def season() -> SeasonProblem:
    made = problem(
        rules=rules(visits=2, setup=setup_rule()),
        routes=(route("R1"), route("R2")),
        volunteers=tuple(volunteer(code) for code in PEOPLE),
    )
    people = tuple(
        replace(one, name=PEOPLE[one.code][0], telephone=PEOPLE[one.code][1], email=PEOPLE[one.code][2])
        for one in made.season.volunteers
    )
    coordinator = Coordinator("Kim Warden", "07700 900999", "kim@example.org")
    return replace(made, season=replace(made.season, volunteers=people, coordinator=coordinator))


SEASON = season()
FIRST = planned("R1/1", "A", 4, second="B", reserve=6, setup=2)
SECOND = planned("R1/2", "A", 8, reserve=9)
BEFORE = (FIRST, SECOND)


def found(visits: Sequence[PlannedVisit], log: Sequence[Told] = (), now: dt.datetime = NOW) -> dict[str, PersonNews]:
    facts = PrintFacts(SEASON, Plan(tuple(visits)), None, now.date(), 1)
    return {one.code: one for one in what_to_send(facts, log, now)}


def told(visits: Sequence[PlannedVisit] = BEFORE, log: Sequence[Told] = (), now: dt.datetime = NOW) -> list[Told]:
    return [one for person in found(visits, log, now).values() for one in person.after]


def after(visits: Sequence[PlannedVisit], days_later: int = 1) -> dict[str, PersonNews]:
    return found(visits, told(), NOW + dt.timedelta(days=days_later))


def said(day_number: int) -> str:
    date = day(day_number)
    return f"{date:%A} {date.day} {date:%B %Y}"


def test_that_a_lead_has_visit_reserve_and_set_up_day_and_a_second_has_no_set_up_day() -> None:
    plan = Plan(BEFORE)
    lead, second = (entries_of(SEASON, plan, code) for code in "AB")
    assert sorted((key.visit, key.kind, one.date) for key, one in lead.items()) == sorted(
        [
            (1, ToldKind.SETUP, day(2)),
            (1, ToldKind.VISIT, day(4)),
            (1, ToldKind.RESERVE, day(6)),
            (2, ToldKind.VISIT, day(8)),
            (2, ToldKind.RESERVE, day(9)),
        ]
    )
    assert {key.kind for key in second} == {ToldKind.VISIT, ToldKind.RESERVE}
    assert all(entry_of(content_of(one)) == one for one in (*lead.values(), *second.values()))


def test_that_nothing_told_is_new_to_those_with_an_outing_and_only_to_them() -> None:
    people = found(BEFORE)
    assert {code: one.news for code, one in people.items()} == {"A": News.NEW, "B": News.NEW}
    assert all(one.told_utc is None for one in people.values())
    assert found(()) == {}


def test_that_what_was_told_and_stands_brings_nothing_and_the_letter_of_then_comes_again_to_the_letter() -> None:
    first, again = found(BEFORE), after(BEFORE)
    assert {one.news for one in again.values()} == {News.SAME}
    for code, person in first.items():
        assert letter_to(again[code]) == letter_to(person)
        assert short_message(again[code]) == short_message(person)
        assert again[code].after == person.after
        assert again[code].told_utc == NOW


MOVES = st.lists(
    st.sampled_from(
        [
            BEFORE,
            (replace(FIRST, date=day(6), reserve=None, setup=day(3)), SECOND),
            (replace(FIRST, lead="B", second="C"), SECOND),
            (SECOND,),
            (),
            (FIRST, replace(SECOND, reserve=None, second="C")),
            (planned("R2/1", "B", 5, setup=5),),
        ]
    ),
    min_size=1,
    max_size=5,
)


@given(MOVES)
def test_that_the_last_letter_can_be_written_again_after_any_changes(
    plans: list[tuple[PlannedVisit, ...]],
) -> None:
    log: list[Told] = []
    letters: dict[str, tuple[object, str]] = {}
    for number, visits in enumerate(plans):
        now = NOW + dt.timedelta(hours=number)
        people = found(visits, log, now)
        letters |= {
            code: (letter_to(one).text, short_message(one)) for code, one in people.items() if one.news is not News.SAME
        }
        log = [told_one for one in people.values() for told_one in one.after]
    again = found(plans[-1], log, NOW + dt.timedelta(days=1))
    assert {code: (letter_to(one).text, short_message(one)) for code, one in again.items()} == letters
    assert all(parts_of(short) <= 2 for _, short in letters.values())


def test_that_a_moved_visit_says_the_old_and_the_new_date_hours_partner_and_reserve() -> None:
    text = letter_to(after((replace(FIRST, date=day(5), reserve=day(6)), SECOND))["A"]).text
    assert text.startswith("Dear Ada,\n\nthe plan of Small has changed. For you this means:\n\nR1 Lane R1, visit 1\n")
    assert f"Do not go out on {said(4)}. New date: {said(5)}." in text
    assert "You lead, with Ben 07700 900002." in text
    assert f"Date in reserve: {said(6)}." in text
    assert f"As you were told before, and unchanged:\n  {said(8)}: R1 Lane R1, visit 2" in text
    assert text.endswith("Kim Warden\n07700 900999\n\nInvented demo: nothing here is real; do not go out with it.")


def test_that_another_order_on_the_date_in_reserve_is_told_with_the_name_of_its_points() -> None:
    person = found(BEFORE)["A"]
    assert "the order is another" not in letter_to(person).text

    def turned(one: EntryNews) -> EntryNews:
        if one.after is None or one.key.kind is not ToldKind.RESERVE or one.key.visit != 1:
            return one
        return replace(one, after=replace(one.after, order=one.after.order[::-1]))

    text = letter_to(replace(person, entries=tuple(map(turned, person.entries)))).text
    (line,) = (line for line in text.split("\n") if "the order is another" in line)
    assert f"named 'reserve {day(6).isoformat()}': take that only if the date in reserve is used." in line
    key = ToldKey("A", "R1", 1, ToldKind.RESERVE)
    (order,) = (one.entry.order for one in person.entries if one.key == key)
    assert f"point {', '.join(map(str, order[::-1]))}." in line


def test_that_a_date_held_that_becomes_the_visit_s_own_is_not_called_free() -> None:
    person = after((replace(FIRST, date=day(6), reserve=None, setup=day(3)), SECOND))["A"]
    for words in (letter_to(person).text, short_message(person)):
        assert "free" not in words
    assert "There is no date in reserve." in letter_to(person).text
    freed = after((replace(FIRST, reserve=None), SECOND))["A"]
    assert f"You need not keep {said(6)} free for it any more." in letter_to(freed).text
    assert "R1 reserve Mon 7 Jun free again." in short_message(freed)


def test_that_whoever_has_no_outing_any_more_is_told_so_and_nothing_of_others() -> None:
    person = after((replace(FIRST, second="C"), SECOND))["B"]
    letter = letter_to(person)
    assert person.news is News.CANCELLED
    assert not person.goes_out
    assert f"Do not go out on {said(4)}. You have no date for this visit now." in letter.text
    assert f"You need not keep {said(6)} free for it any more." in letter.text
    assert letter.subject == "Small: no outing of yours is left"
    assert not any(name in letter.text for name in ("Ada", "Cora", "900001", "900003"))
    assert short_message(person).startswith("Kim Warden 07700 900999: R1 visit 1 Sat 5 Jun cancelled, do not go.")


def test_that_the_same_date_with_another_partner_says_what_is_new() -> None:
    text = letter_to(after((replace(FIRST, second="C"), SECOND))["A"]).text
    assert f"Your outing stays on {said(4)}. New: who goes with you." in text
    assert "with Cora 07700 900003" in text
    assert "Ben" not in text


def test_that_a_set_up_day_that_moves_or_falls_away_is_told() -> None:
    moved = letter_to(after((replace(FIRST, setup=day(3)), SECOND))["A"]).text
    assert f"Set-up day, in daylight: {said(3)}. It is no longer on {said(2)}." in moved
    gone = letter_to(after((replace(FIRST, setup=day(4)), SECOND))["A"]).text
    assert f"There is no set-up day on {said(2)} any more." in gone
    assert "The points are set up first, in daylight." in gone


def test_that_who_left_the_season_is_told_by_code_alone() -> None:
    visit = next(one for one in told() if one.key.kind is ToldKind.VISIT)
    log = [*told(), replace(visit, key=replace(visit.key, volunteer="Z"))]
    person = found(BEFORE, log)["Z"]
    assert (person.name, person.telephone, person.email, person.news) == ("Z", "", "", News.CANCELLED)
    assert letter_to(person).text.startswith("Dear Z,")


def test_that_what_is_over_is_left_as_it_was_told() -> None:
    later = 20  # the ninth of June: day 8, that of visit 2
    people = after((replace(FIRST, second="C", status=Status.DONE), SECOND), later)
    assert people["A"].news is News.SAME, "who went with them to what is over"
    assert "C" not in people, "who was never told of what is over"
    assert people["B"].news is News.CANCELLED
    assert [one.key.kind for one in people["B"].differing] == [ToldKind.VISIT], "a reserve date that passed"


def test_that_a_visit_done_gives_the_date_in_reserve_free() -> None:
    person = after((replace(FIRST, status=Status.DONE), SECOND), 13)["A"]  # day 1 is over, day 4 is not
    assert (ToldKind.RESERVE, News.CANCELLED) in {(one.key.kind, one.news) for one in person.entries}


def test_that_a_visit_moved_into_the_past_takes_the_entry_off_its_future_date() -> None:
    moved = replace(SECOND, date=day(5), reserve=None, status=Status.DONE)
    person = after((FIRST, moved), 18)["A"]  # day 6
    (visit,) = (one for one in person.differing if one.key.kind is ToldKind.VISIT)
    assert visit.before is not None
    assert visit.after is not None
    assert (visit.before.date, visit.after.date) == (day(8), day(5))


def test_that_an_evening_that_has_passed_is_told_to_be_over_and_not_to_be_stayed_away_from() -> None:
    later = 17  # the day after day 4
    moved = letter_to(after((replace(FIRST, date=day(5), reserve=None), SECOND), later)["B"]).text
    assert f"{said(4)} is over, and the visit is not done. New date: {said(5)}." in moved
    assert "Do not go out" not in moved
    gone = letter_to(after((SECOND,), later)["B"]).text
    assert f"{said(4)} is over, and the visit is not done. You have no date for this visit now." in gone
    made = letter_to(after((FIRST, replace(SECOND, date=day(5), reserve=None, status=Status.DONE)), 18)["A"]).text
    assert f"Do not go out on {said(8)}: your outing is down for {said(5)}, now over." in made


def test_that_habitat_before_the_counts_is_said_where_hours_would_be_a_riddle_without_it() -> None:
    key, visits = ToldKey("A", "R1", 2, ToldKind.VISIT), Plan(BEFORE)
    assert before_counts_words(entries_of(SEASON, visits, "A")[key]) == ""
    rounds = problem(
        rules=rules(visits=2, setup=setup_rule(), habitat=habitat_rule()), volunteers=SEASON.season.volunteers
    )
    entry = entries_of(rounds, visits, "A")[key]
    said_first = before_counts_words(replace(entry, first_point=9))
    assert said_first == "Habitat comes first, in daylight, at each point, beginning at point 9."
    assert before_counts_words(replace(entry, setup=True)).startswith("The points are set up first")
    assert "whether habitat comes first" in differences_in_words(entry, replace(entry, habitat_first=False))


def test_that_nothing_goes_out_while_the_plan_breaks_a_rule() -> None:
    with pytest.raises(ImpossibleError, match="breaks these rules, so nothing goes out"):
        found((replace(FIRST, reserve=FIRST.date),))


def test_that_entries_once_computed_are_kept_until_light_drives_or_the_visits_change() -> None:
    known = KnownEntries()
    facts = PrintFacts(SEASON, Plan(BEFORE), None, NOW.date(), 1)
    first = known.of(facts, "A")
    assert known.of(replace(facts, plan=Plan((*BEFORE, planned("R2/1", "C", 5, setup=5)))), "A") is first
    assert known.of(replace(facts, plan=Plan((FIRST,))), "A") is not first
    assert known.of(replace(facts, problem=season()), "A") is not first


def test_that_hours_of_another_day_than_the_outing_s_are_told_with_their_day() -> None:
    early = dt.timedelta(hours=22)
    entry = next(one for one in entries_of(SEASON, Plan(BEFORE), "A").values() if one.date == day(8))
    entry = replace(entry, leave_utc=entry.leave_utc - early)
    (hours,) = hours_words(entry)
    assert hours.startswith(f"Leave home by {entry.leave_utc:%H:%M} on Tuesday 8 June. Be at point ")
    assert "First count at 21:00. " in hours
    one = EntryNews(ToldKey("A", "R1", 2, ToldKind.VISIT), News.NEW, None, entry)
    assert f"leave {entry.leave_utc:%H:%M} on Tue." in short_message(replace(found(BEFORE)["A"], entries=(one,)))


@pytest.mark.parametrize("content", ["", "{", "[]", "7", '{"kind": "visit"}', '{"kind": "whim"}'])
def test_that_a_log_changed_from_outside_is_told_as_such(content: str) -> None:
    damaged = [replace(one, content=content) for one in told()]
    with pytest.raises(SeasonFileError, match="another program wrote to the season file"):
        found(BEFORE, damaged)


def test_that_every_difference_has_words() -> None:
    (entry,) = (one for key, one in entries_of(SEASON, Plan(BEFORE), "A").items() if one.date == day(4))
    words = differences_in_words(
        entry,
        replace(
            entry,
            due_utc=entry.due_utc + dt.timedelta(minutes=1),
            leads=False,
            partner=None,
            setup=True,
            order=(1,),
            reserve=None,
            coordinator=Coordinator(),
        ),
    )
    assert words == (
        "the hours, who goes with you, who leads, whether points are set up, the points or their order,"
        " the date in reserve, and whom to ring"
    )
    assert differences_in_words(entry, replace(entry, date=day(5))) == "the date"
    assert differences_in_words(entry, replace(entry, cautions=("New.",))) == SOMETHING_ELSE


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("a" * 160, 1),
        ("a" * 161, 2),
        ("a" * 306, 2),
        ("a" * 307, 3),
        ("€" * 80, 1),
        ("€" * 81, 2),
        ("ł" * 70, 1),
        ("ł" * 71, 2),
        ("ł" * 134, 2),
        ("ł" * 135, 3),
        ("🦉" * 35, 1),
        ("🦉" * 36, 2),
    ],
)
def test_that_parts_are_counted_as_3gpp_ts_23_038_and_23_040_have_it(text: str, parts: int) -> None:
    assert parts_of(text) == parts


def test_that_a_short_message_counts_what_does_not_fit() -> None:
    one = found([replace(FIRST, setup=FIRST.date, reserve=None)])["A"]
    many = replace(one, entries=one.entries * 30)
    text = short_message(many)
    assert parts_of(text) <= 2
    assert "more changes: see the letter." in text
    assert text.count("R1 visit 1") + int(text.split(" And ")[1].split()[0]) == 30


def test_that_the_coordinator_s_name_is_left_out_where_its_letters_leave_no_room() -> None:
    one = found(BEFORE)["A"]
    named = [
        replace(e, after=replace(e.after, coordinator=Coordinator("ł" * 90, "07700 900999")))
        for e in one.entries
        if e.after
    ]
    text = short_message(replace(one, entries=tuple(named)))
    assert parts_of(text) <= 2
    assert "07700 900999" in text
