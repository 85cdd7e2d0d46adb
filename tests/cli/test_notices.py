"""``dimpsy notices``: what is written, taken in by a calendar, after changes and undoing; and what is refused."""

from __future__ import annotations

import datetime as dt
import shutil
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import gpxpy
import pytest
from lxml import etree

from planner.domain.plan import Plan
from planner.store import SeasonFile
from planner.usecases.paper.itineraries import itinerary_for
from planner.usecases.paper.print_facts import facts_of
from planner.usecases.sending.parcels import points_files
from planner.usecases.sending.send import Sent, news_in, send_files
from tests.calendar_store import CalendarStore, events_of
from tests.cli.conftest import Dimpsy
from tests.unit.exchange.test_exchange_written import GPX_RULES

pytestmark = pytest.mark.xdist_group("heath")

APRIL = dt.datetime(2027, 4, 1, 9, 0, tzinfo=dt.UTC)


def bytes_in(folder: Path) -> Mapping[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.fixture
def sent(sent_once: Path, tmp_path: Path) -> Path:
    """Return a copy of that folder which a test may change."""
    return Path(shutil.copytree(sent_once, tmp_path / "sent", ignore=shutil.ignore_patterns("*.lock")))


def send(season: Path, folder: Path, days: int = 0, volunteers: list[str] | None = None) -> Sent:
    with SeasonFile.open(season) as file:
        return send_files(file, folder, volunteers, APRIL + dt.timedelta(days=days))


def with_news(season: Path, days: int) -> set[str]:
    with SeasonFile.open(season) as file:
        return {one.code for one in news_in(file, APRIL + dt.timedelta(days=days)) if one.news != "unchanged"}


def change(season: Path, plan: Plan) -> None:
    with SeasonFile.open(season) as file, file.step("Change the plan"):
        file.save_plan(plan)


def plan_of(season: Path) -> Plan:
    with SeasonFile.open(season) as file:
        return file.plan()


def calendars(folder: Path) -> Mapping[str, bytes]:
    return {path.parent.name.split()[0]: path.read_bytes() for path in folder.glob("*/calendar.ics")}


def test_that_everybody_who_goes_out_has_a_folder_and_written_again_later_every_byte_is_the_same(
    sent: Path, tmp_path: Path
) -> None:
    plan = plan_of(sent / "heath.dimpsy")
    assert calendars(sent / "out").keys() == {code for visit in plan for code in visit.people}
    tamsin = sent / "out" / "V01 Tamsin Quillfeather"
    own = {f"{visit.key.route} visit {visit.key.number}.gpx" for visit in plan.of_volunteer("V01")}
    written = {"calendar.ics", "telephone.html", "message.txt", "short message.txt", *own}
    assert {path.name for path in tamsin.iterdir()} == written
    for folder, days in ((sent / "out", 3), (tmp_path / "elsewhere", 5)):
        again = send(sent / "heath.dimpsy", folder, days, ["V01", "V02", "V03"])
        assert [(one.news, one.written) for one in again.people] == [("unchanged", 0 if days == 3 else 6)] * 3
    assert bytes_in(tmp_path / "elsewhere").items() <= bytes_in(sent / "out").items()


def test_that_calendars_hold_what_the_plan_holds_after_changes_and_undoing_and_nothing_twice(sent: Path) -> None:
    """Everybody's calendar takes every file in; in the end it shows what the files of a fresh season would show."""
    season, out = sent / "heath.dimpsy", sent / "out"
    stores = {code: CalendarStore() for code in calendars(out)}

    def shown_after_taking() -> Mapping[str, set[tuple[dt.datetime, dt.datetime, str]]]:
        for code, data in calendars(out).items():
            stores[code].take(data)
        return {
            code: {(one.begin, one.end, one.summary) for one in store.shown.values()} for code, store in stores.items()
        }

    at_first = shown_after_taking()
    assert {code: len(events) for code, events in at_first.items()} == {
        code: len(events_of(data)) for code, data in calendars(out).items()
    }
    plan = plan_of(season)
    visit = next(one for one in plan if one.reserve is not None and one.setup is not None)
    moved = replace(visit, date=visit.reserve or visit.date, reserve=None, setup=visit.reserve)
    change(season, plan.with_visit(moved).without(plan.visits[9].key))
    changed = {*visit.people, *plan.visits[9].people}
    assert with_news(season, 1) == changed
    send(season, out, 1, [*changed])
    now = shown_after_taking()
    assert {code for code, events in now.items() if events != at_first[code]} == changed
    assert moved.date in {begin.date() for begin, _, words in now[visit.lead] if words.endswith("set-up and visit 1")}
    with SeasonFile.open(season) as file:
        file.undo()
    assert with_news(season, 2) == changed
    send(season, out, 2, [*changed])
    assert shown_after_taking() == at_first, "undone, every calendar is as it was"
    assert {int(event.sequence.value) for event in events_of(calendars(out)[visit.lead])} == {0, 2}


def test_that_whoever_has_no_outing_any_more_gets_a_calendar_that_cancels_and_a_letter(sent: Path) -> None:
    season, out = sent / "heath.dimpsy", sent / "out"
    plan = plan_of(season)
    lead = plan.visits[4].lead
    change(season, Plan(tuple(visit for visit in plan if lead not in visit.people)))
    (person,) = send(season, out, 1, [lead]).people
    assert person.news == "cancelled"
    assert person.files == ("calendar.ics", "message.txt", "short message.txt")
    assert {event.status.value for event in events_of(calendars(out)[lead])} == {"CANCELLED"}
    store = CalendarStore()
    store.take(calendars(out)[lead])
    assert not store.shown
    assert {path.suffix for path in person.old} == {".gpx", ".html"}
    assert "no outing of yours is left" in (person.folder / "message.txt").read_text(encoding="utf-8")


def test_that_only_what_went_out_and_stands_unchanged_is_deleted_where_it_is_nobodys_any_more(
    sent: Path, dimpsy: Dimpsy
) -> None:
    season, out = sent / "heath.dimpsy", sent / "out"
    folder = out / "V01 Tamsin Quillfeather"
    page, first, second = folder / "telephone.html", *sorted(folder.glob("*.gpx"))
    foreign = folder / "R01 visit 9.gpx"
    foreign.write_bytes(second.read_bytes())
    first.write_bytes(first.read_bytes() + b"<!-- my own note -->")
    (folder / "photo.jpg").write_bytes(b"mine")
    change(season, Plan(tuple(visit for visit in plan_of(season) if "V01" not in visit.people)))
    named = dimpsy("notices", season, "--to", out, "--volunteer", "V01", "--json").data["sent"][0]
    assert named["deleted"] == []
    assert {Path(path).name for path in named["old_files"]} == {page.name, first.name, second.name, foreign.name}
    words = dimpsy("notices", season, "--to", out, "--volunteer", "V01", "--clear").out
    gone = f"  {folder.name}/{second.name}\n  {folder.name}/{page.name}\n"
    assert f"Deleted, because they are nobody's any more:\n{gone}" in words
    assert "do not send them (--clear deletes those left as written):" in words
    left = {"calendar.ics", "message.txt", "short message.txt", "photo.jpg", first.name, foreign.name}
    assert {path.name for path in folder.iterdir()} == left


def test_that_the_points_of_an_outing_are_valid_gpx_in_the_order_in_which_they_are_gone_to(sent_once: Path) -> None:
    rules = etree.RelaxNG(etree.fromstring(GPX_RULES))
    folder = sent_once / "out" / "V01 Tamsin Quillfeather"
    files = sorted(folder.glob("*.gpx"))
    assert files
    for path in files:
        rules.assertValid(etree.fromstring(path.read_bytes()))
        read = gpxpy.parse(path.read_text(encoding="utf-8"))
        (way,) = read.routes
        places = {point.name: (point.latitude, point.longitude) for point in read.waypoints}
        assert {point.name: (point.latitude, point.longitude) for point in way.points} == places
        said = (folder / "calendar.ics").read_bytes().replace(b"\r\n ", b"").decode()
        order = ", ".join(str(int((point.name or "").rpartition("-")[2])) for point in way.points)
        assert f"Order of the counts: point {order}.".replace(",", "\\,") in said


def test_that_points_of_a_date_in_reserve_say_in_name_and_file_which_it_is_for(sent_once: Path) -> None:
    """In the demo the order of the points is the same on both dates: one is turned here."""
    with SeasonFile.open(sent_once / "heath.dimpsy") as file:
        itinerary = itinerary_for(facts_of(file, APRIL), "V01")
    reserve = itinerary.reserves[0]
    turned = replace(reserve, outing=replace(reserve.outing, order=reserve.outing.order[::-1]))
    files = points_files(replace(itinerary, reserves=(turned,)))
    name = f"{reserve.route.code} visit {reserve.visit} reserve {reserve.outing.date}.gpx"
    assert files.keys() == {*points_files(itinerary), name}
    (way,) = gpxpy.parse(files[name].decode()).routes
    assert way.name == f"{reserve.route.title}, reserve for visit {reserve.visit}, {reserve.outing.date}"
    assert [int((point.name or "")[-2:]) for point in way.points] == list(turned.outing.way)


def test_that_a_look_says_what_would_be_told_and_writes_nothing(heath: Path, dimpsy: Dimpsy) -> None:
    said = dimpsy("notices", heath, "--look", "--volunteer", "V01", "--json")
    assert said.status == 1
    (person,) = said.data["people"]
    assert (person["volunteer"], person["news"], person["told"]) == ("V01", "new", None)
    assert person["message"].startswith("Dear Tamsin,")
    with SeasonFile.open(heath) as file:
        assert file.told() == ()
    words = dimpsy("notices", heath, "--look")
    assert words.out.startswith("33 people, 33 of them to be told something:\n  V01 Tamsin Quillfeather: new\n")


def test_that_what_is_past_by_noon_of_the_day_that_is_given_is_not_told(heath: Path, dimpsy: Dimpsy) -> None:
    setup = min(visit.setup for visit in plan_of(heath) if visit.setup is not None and visit.setup != visit.date)
    told: dict[dt.date, set[tuple[str, str]]] = {}
    for today in (setup, setup + dt.timedelta(days=1)):
        people = dimpsy("notices", heath, "--look", "--today", today, "--json").data["people"]
        told[today] = {
            (one["volunteer"], entry["date"]) for one in people for entry in one["entries"] if entry["kind"] == "set-up"
        }
    assert {day for _, day in told[setup]} - {day for _, day in told[setup + dt.timedelta(days=1)]} == {str(setup)}
    wrong = dimpsy("notices", heath, "--look", "--today", "tomorrow")
    assert wrong.status == 2
    assert "write a date as YYYY-MM-DD" in wrong.err


def test_that_written_files_are_told_at_noon_of_the_day_that_is_given(
    heath: Path, tmp_path: Path, dimpsy: Dimpsy
) -> None:
    said = dimpsy("notices", heath, "--to", tmp_path / "out", "--volunteer", "V01", "--today", "2027-04-01")
    assert said.status == 0
    with SeasonFile.open(heath) as file:
        noon = dt.datetime(2027, 4, 1, 12, tzinfo=file.season().tzinfo)
        assert {one.when_utc for one in file.told()} == {noon}


def test_that_the_command_writes_and_counts_as_told_and_then_there_is_no_news(
    sent: Path, tmp_path: Path, dimpsy: Dimpsy
) -> None:
    season, out = sent / "heath.dimpsy", tmp_path / "out"
    said = dimpsy("notices", season, "--to", out, "--volunteer", "V01", "--volunteer", "V02", "--json")
    assert said.status == 0
    assert [(one["volunteer"], one["news"], one["written"]) for one in said.data["sent"]] == [
        ("V01", "unchanged", 6),
        ("V02", "unchanged", 6),
    ]
    assert said.data["sent"][0]["mail"].startswith("mailto:tamsin.quillfeather@example.org?subject=")
    visit = plan_of(season).visits[0]
    change(season, plan_of(season).with_visit(replace(visit, reserve=None)))
    assert dimpsy("notices", season, "--look").status == 1
    words = dimpsy("notices", season, "--to", out, "--changed").out
    assert words.startswith(f"Files for {len(visit.people)} people, in {out}:\n")
    assert words.endswith(
        "They count as told. Send each folder to its own person only: it has telephone numbers and places in it.\n"
    )
    assert dimpsy("notices", season, "--to", out, "--changed").out == "Everybody has been told how things stand.\n"
    nothing = dimpsy("notices", season, "--to", out, "--changed", "--clear").out
    assert nothing.endswith("Nothing was deleted: without --changed every folder is looked through.\n")


@pytest.mark.parametrize(
    ("options", "status", "words"),
    [
        ((), 2, "name a folder with --to DIR, or say --look"),
        (("--look", "--to", "x"), 2, "name a folder with --to DIR, or say --look"),
        (("--look", "--clear"), 2, "--look writes nothing and deletes nothing"),
        (("--look", "--volunteer", "X9"), 3, "No volunteer 'X9' who has an outing or was told of one."),
    ],
)
def test_that_what_cannot_be_done_is_said(
    heath: Path, dimpsy: Dimpsy, options: tuple[str, ...], status: int, words: str
) -> None:
    said = dimpsy("notices", heath, *options)
    assert said.status == status
    assert words in said.err


def test_that_nobody_counts_as_told_where_a_file_cannot_be_written(heath: Path, tmp_path: Path, dimpsy: Dimpsy) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "V02 Barnaby Thistlewood").write_text("in the way", encoding="utf-8")
    said = dimpsy("notices", heath, "--to", tmp_path / "out")
    assert said.status == 2
    assert "Name another folder." in said.err
    with SeasonFile.open(heath) as file:
        assert file.told() == ()


def test_that_a_plan_that_breaks_a_rule_and_a_season_without_one_are_told(
    heath: Path, tmp_path: Path, dimpsy: Dimpsy
) -> None:
    visit = max(plan_of(heath), key=lambda one: one.date)
    change(heath, plan_of(heath).with_visit(replace(visit, reserve=visit.date)))
    said = dimpsy("notices", heath, "--to", tmp_path / "out")
    assert said.status == 3
    assert "breaks these rules, so nothing goes out" in said.err
    assert not (tmp_path / "out").exists()
    change(heath, Plan())
    assert dimpsy("notices", heath, "--look").out == "Nobody has to be told anything.\n"
    said = dimpsy("notices", heath, "--to", tmp_path / "out")
    assert (said.status, said.err.splitlines()[0]) == (
        3,
        "dimpsy: Nothing is planned yet, so there is nothing to tell.",
    )
