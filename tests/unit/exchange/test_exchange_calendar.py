"""Calendar files: read by a reader that shares no code with the writer, and held against RFC 5545 and RFC 5546."""

from __future__ import annotations

import datetime as dt
import itertools
import uuid
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.errors import RuleError
from planner.domain.field.calendar_entry import CalendarEntry
from planner.domain.field.told import ToldKey, ToldKind
from planner.domain.geo import Place
from planner.domain.itinerary import Partner
from planner.domain.season import Coordinator
from planner.exchange.written.calendar_out import CalendarRow, calendar_bytes, entry_uid
from tests.calendar_store import CalendarStore, events_of

SEASON = "0123456789abcdef0123456789abcdef"
WHEN = dt.datetime(2027, 4, 1, 9, 0, 30, tzinfo=dt.UTC)
KEY = ToldKey("V01", "R04", 1, ToldKind.VISIT)
ENTRY = CalendarEntry(
    kind=ToldKind.VISIT,
    season="Nightjars, 2027",
    route="R04 Larkmoor; east, \\north",
    visit=1,
    date=dt.date(2027, 5, 10),
    zone="Europe/London",
    leave_utc=dt.datetime(2027, 5, 10, 17, 47, tzinfo=dt.UTC),
    arrive_utc=dt.datetime(2027, 5, 10, 18, 5, tzinfo=dt.UTC),
    count_utc=dt.datetime(2027, 5, 10, 19, 53, tzinfo=dt.UTC),
    due_utc=dt.datetime(2027, 5, 10, 23, 29, tzinfo=dt.UTC),
    by_sky=False,
    first_point=10,
    place=Place(54.7792234, 2.0614266),
    order=(3, 2, 1),
    setup=False,
    habitat_first=False,
    leads=True,
    partner=Partner("Zoë", "07700 900786"),
    reserve=dt.date(2027, 5, 12),
    coordinator=Coordinator("Kim Warden", "07700 900999", "kim@example.org"),
    cautions=("No smoking.",),
    invented=True,
)
LETTERS = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Cn", "Co"]), max_size=90)


def row(key: ToldKey = KEY, *, sequence: int = 0, cancelled: bool = False, **changes: object) -> CalendarRow:
    return CalendarRow(key, replace(ENTRY, kind=key.kind, **changes), sequence, cancelled, WHEN)  # type: ignore[arg-type]


def test_that_another_reader_finds_every_property_as_it_was_meant() -> None:
    (event,) = events_of(calendar_bytes(SEASON, [row(sequence=3)], ["Law first."]))
    assert event.summary.value == "R04 Larkmoor; east, \\north: visit 1"
    assert (event.dtstart.value, event.dtend.value) == (ENTRY.leave_utc, ENTRY.due_utc)
    assert event.dtstamp.value == event.last_modified.value == WHEN
    assert (event.sequence.value, event.status.value, event.transp.value) == ("3", "CONFIRMED", "OPAQUE")
    assert event.location.value == "R04 Larkmoor; east, \\north, point 10: 54.77922, 2.06143"
    assert event.geo.value == "54.779223;2.061427"
    assert event.organizer.value == "mailto:kim@example.org"
    assert event.organizer.params == {"CN": ["Kim Warden"]}
    assert event.valarm.action.value == "DISPLAY"
    assert event.valarm.trigger.value == dt.timedelta(hours=-1)
    assert uuid.UUID(event.uid.value).version == 5


def test_that_the_description_has_hours_of_the_season_s_zone_partner_coordinator_and_cautions() -> None:
    (event,) = events_of(calendar_bytes(SEASON, [row()], ["Law first."]))
    assert event.description.value.split("\n") == [
        "Nightjars, 2027. R04 Larkmoor; east, \\north: visit 1.",
        "You lead, with Zoë 07700 900786.",
        "Leave home by 18:47. Be at point 10 at 19:05. First count at 20:53. Due back at 00:29 on Tuesday 11 May.",
        "Order of the counts: point 3, 2, 1.",
        "Date in reserve: Wednesday 12 May 2027.",
        "Coordinator: Kim Warden 07700 900999.",
        "Law first.",
        "No smoking.",
        "Places of sensitive wildlife: pass them on only to those who must stand there.",
        "Invented demo: nothing here is real; do not go out with it.",
    ]


def test_that_a_date_in_reserve_is_tentative_leaves_the_day_free_and_reminds_nobody() -> None:
    (event,) = events_of(calendar_bytes(SEASON, [row(replace(KEY, kind=ToldKind.RESERVE), reserve=None)]))
    assert (event.status.value, event.transp.value) == ("TENTATIVE", "TRANSPARENT")
    assert "valarm" not in event.contents
    assert "go out only when you are told to" in event.description.value


def test_that_a_set_up_day_is_gone_to_alone_and_a_visit_with_set_up_says_so() -> None:
    alone, both = events_of(
        calendar_bytes(
            SEASON,
            [
                row(replace(KEY, kind=ToldKind.SETUP), setup=True, partner=None, count_utc=None, reserve=None),
                row(replace(KEY, route="R05"), setup=True, by_sky=True),
            ],
        )
    )
    texts = {alone.summary.value[-6:]: alone.description.value, both.summary.value[-19:]: both.description.value}
    assert (
        "You go alone.\nLeave home by 18:47. Be at point 10 at 19:05. Due back at 00:29 on Tuesday 11 May."
        in texts["set-up"]
    )
    assert "The points are set up first, in daylight." in texts[" set-up and visit 1"]
    assert "The sky of the evening decides" in texts[" set-up and visit 1"]


def test_that_what_is_cancelled_says_no_more_than_that() -> None:
    (event,) = events_of(calendar_bytes(SEASON, [row(sequence=1, cancelled=True)], ["Law first."]))
    assert (event.status.value, event.sequence.value) == ("CANCELLED", "1")
    assert event.summary.value == "Cancelled: R04 Larkmoor; east, \\north: visit 1"
    assert not {"description", "location", "geo", "valarm"} & event.contents.keys()


def test_that_every_event_has_what_a_published_one_must_and_nothing_it_must_not() -> None:
    rows = [row(replace(KEY, kind=kind), cancelled=kind is ToldKind.SETUP) for kind in ToldKind]
    data = calendar_bytes(SEASON, rows)
    assert data.startswith(b"BEGIN:VCALENDAR\r\n")
    assert b"\r\nMETHOD:PUBLISH\r\n" in data
    for event in events_of(data):  # RFC 5546, section 3.2.1
        assert {"dtstamp", "dtstart", "organizer", "summary", "uid", "sequence"} <= event.contents.keys()
        assert "attendee" not in event.contents


def test_that_a_season_whose_coordinator_has_no_address_names_itself_as_organizer() -> None:
    (event,) = events_of(calendar_bytes(SEASON, [row(coordinator=Coordinator())]))
    assert event.organizer.value == uuid.UUID(SEASON).urn
    assert "Coordinator:" not in event.description.value


def test_that_a_uid_stays_over_dates_and_differs_for_every_other_entry_and_season() -> None:
    keys = [ToldKey(*parts) for parts in itertools.product(("V1", "V11"), ("R1", "R11", "1R"), (1, 11), ToldKind)]
    uids = {entry_uid(season, key) for season in (SEASON, SEASON[::-1]) for key in keys}
    assert len(uids) == 2 * len(keys)
    moved = row(date=dt.date(2027, 6, 1))
    assert events_of(calendar_bytes(SEASON, [moved]))[0].uid.value == entry_uid(SEASON, KEY)
    # Worked out apart by the rule of RFC 9562, section 5.5: it must stay the same in every later version.
    assert entry_uid(SEASON, KEY) == "e3af3269-1705-5ece-984e-cf8f1f71ab8f"


def test_that_the_same_rows_in_any_order_give_the_same_bytes() -> None:
    rows = [row(replace(KEY, route=route)) for route in ("R3", "R1", "R2")]
    assert calendar_bytes(SEASON, rows) == calendar_bytes(SEASON, rows[::-1])


@settings(max_examples=30)
@given(LETTERS, LETTERS, LETTERS)
def test_that_any_words_are_read_back_from_lines_of_75_octets(route: str, name: str, caution: str) -> None:
    data = calendar_bytes(
        SEASON,
        [row(route=route, coordinator=Coordinator(name, "07700 900999", "kim@example.org"), cautions=(caution,))],
    )
    lines = data.split(b"\r\n")
    assert all(len(line) <= 75 for line in lines)
    assert not any(b"\r" in line or b"\n" in line for line in lines)
    assert all(line.decode() is not None for line in lines), "no letter is cut in two"
    (event,) = events_of(data)
    assert event.summary.value == " ".join(f"{route}: visit 1".split())
    assert caution.rstrip() in event.description.value


def test_that_a_calendar_that_takes_a_later_file_in_moves_cancels_and_doubles_nothing() -> None:
    store = CalendarStore()
    reserve = replace(KEY, kind=ToldKind.RESERVE)
    first = calendar_bytes(SEASON, [row(), row(reserve)])
    moved = dt.timedelta(days=2)
    later = calendar_bytes(
        SEASON,
        [
            row(sequence=1, leave_utc=ENTRY.leave_utc + moved, due_utc=ENTRY.due_utc + moved),
            row(reserve, sequence=1, cancelled=True),
        ],
    )
    store.take(first)
    store.take(first)
    assert len(store.shown) == 2
    store.take(later)
    (event,) = store.shown.values()
    assert (event.begin, event.uid) == (ENTRY.leave_utc + moved, entry_uid(SEASON, KEY))
    store.take(first)
    assert list(store.shown.values()) == [event], "an older file that is opened again changes nothing"


def test_that_an_entry_ends_after_it_begins_and_knows_its_moments_zone() -> None:
    with pytest.raises(RuleError, match="ends after it begins"):
        replace(ENTRY, due_utc=ENTRY.leave_utc)
    with pytest.raises(RuleError, match="time zone"):
        replace(ENTRY, leave_utc=ENTRY.leave_utc.replace(tzinfo=None))


@pytest.mark.parametrize(
    ("email", "organiser"),
    [
        ("kim+heath@example.org", "mailto:kim+heath@example.org"),
        ("k%m@example.org", "mailto:k%25m@example.org"),
        ("kim@example.org\nATTENDEE:x", uuid.UUID(SEASON).urn),
        ("kim at example", uuid.UUID(SEASON).urn),
        ("", uuid.UUID(SEASON).urn),
    ],
)
def test_that_what_is_no_address_never_stands_as_the_organiser(email: str, organiser: str) -> None:
    (event,) = events_of(calendar_bytes(SEASON, [row(coordinator=Coordinator("Kim", "", email))], []))
    assert event.organizer.value == organiser
