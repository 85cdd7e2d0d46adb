"""Papers have one hash when, and only when, they say the same. The oracle is the renderer: the text that it sets."""

from __future__ import annotations

import datetime as dt
import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace

import pytest

from planner.domain.calendar import DateRange
from planner.domain.geo import Place
from planner.domain.itinerary import DayPlan, Itinerary, Partner
from planner.domain.route import Point
from planner.domain.season import Coordinator
from planner.domain.volunteer import Availability
from planner.domain.window import PartOfDay
from planner.printing import render_pages
from planner.usecases.paper.content import FORM, comparable, content_hash
from tests.golden.itineraries import ITINERARIES, past_midnight, southern_dawn, ten_points
from tests.golden.texts import document_text

MAY = DateRange(dt.date(2027, 5, 1), dt.date(2027, 5, 31))


def _first_day(itinerary: Itinerary, change: Callable[[DayPlan], DayPlan]) -> Itinerary:
    return replace(itinerary, days=(change(itinerary.days[0]), *itinerary.days[1:]))


def _later(day: DayPlan, minutes: float) -> DayPlan:
    shift = dt.timedelta(minutes=minutes)
    steps = tuple(
        replace(step, start_utc=step.start_utc + shift, end_utc=step.end_utc + shift) for step in day.outing.steps
    )
    return replace(day, outing=replace(day.outing, steps=steps))


def _noted(day: DayPlan) -> DayPlan:
    first, *others = day.route.points
    return replace(day, route=replace(day.route, points=(Point(first.number, first.place, "by the gate"), *others)))


def _moved(day: DayPlan) -> DayPlan:
    first, *others = day.route.points
    there = Place(first.place.latitude + 0.001, first.place.longitude)
    return replace(day, route=replace(day.route, points=(Point(first.number, there, first.note), *others)))


SAYING_MORE: dict[str, Callable[[Itinerary], Itinerary]] = {
    "another number to ring": lambda one: replace(
        one, coordinator=Coordinator("Marigold Pennyfeather", "07700 900999")
    ),
    "another name of the season": lambda one: replace(one, season="Another season"),
    "a caution more": lambda one: replace(one, cautions=(*one.cautions, "Mind the ditch.")),
    "a new name": lambda one: replace(one, volunteer=replace(one.volunteer, name="Ottoline Fenwick")),
    "a day fewer": lambda one: replace(one, days=one.days[1:]),
    "an outing a minute later": lambda one: _first_day(one, lambda day: _later(day, 1.0)),
    "another partner": lambda one: _first_day(
        one, lambda day: replace(day, partner=Partner("Zebedee", "07700 900998"))
    ),
    "a note at a point": lambda one: _first_day(one, _noted),
    "a point moved by a hundred metres": lambda one: _first_day(one, _moved),
    "another reserve date": lambda one: _first_day(one, lambda day: replace(day, reserve=dt.date(2027, 7, 31))),
}
SAYING_THE_SAME: dict[str, Callable[[Itinerary], Itinerary]] = {
    "more evenings given": lambda one: replace(
        one, volunteer=replace(one.volunteer, availability=(Availability(MAY, frozenset(PartOfDay)),))
    ),
    "a longer drive offered": lambda one: replace(one, volunteer=replace(one.volunteer, drive_limit_minutes=99.0)),
    "something learnt": lambda one: replace(
        one, volunteer=replace(one.volunteer, training=frozenset({"owls", "frogs"}))
    ),
    "needs of the route": lambda one: _first_day(
        one, lambda day: replace(day, route=replace(day.route, needs=frozenset({"4x4"}), lead="V99", people=2))
    ),
}


@pytest.mark.parametrize("what", SAYING_MORE)
def test_that_what_changes_the_text_changes_the_hash(what: str) -> None:
    before = southern_dawn()
    after = SAYING_MORE[what](before)
    assert document_text(render_pages(before)) != document_text(render_pages(after))
    assert content_hash(before) != content_hash(after)


def test_that_what_can_be_grazed_leaves_the_hash_alone() -> None:
    before = ten_points()
    assert before.habitat is not None
    classes = tuple(replace(one, grazeable=not one.grazeable) for one in before.habitat.classes)
    after = replace(before, habitat=replace(before.habitat, classes=classes))
    assert after != before
    assert content_hash(after) == content_hash(before)


@pytest.mark.parametrize("what", SAYING_THE_SAME)
def test_that_what_stands_on_no_paper_leaves_the_hash_alone(what: str) -> None:
    before = southern_dawn()
    after = SAYING_THE_SAME[what](before)
    assert after != before
    assert document_text(render_pages(before)) == document_text(render_pages(after))
    assert content_hash(before) == content_hash(after)


def test_that_the_day_of_printing_and_the_step_do_not_count() -> None:
    before = past_midnight()
    after = replace(before, printed_on=before.printed_on + dt.timedelta(days=3), revision=before.revision + 5)
    assert content_hash(before) == content_hash(after)


def test_that_the_arithmetic_of_another_processor_does_not_count() -> None:
    before = past_midnight()
    after = _first_day(before, lambda day: _later(day, 1e-7))
    assert after != before
    assert content_hash(before) == content_hash(after)


def test_that_no_two_papers_have_one_hash() -> None:
    assert len({content_hash(make()) for make in ITINERARIES.values()}) == len(ITINERARIES)


def test_that_another_process_finds_the_same_hash() -> None:
    """Sets and words are hashed anew by each interpreter; the hash of a paper must not hang on that."""
    code = (
        "from tests.golden.itineraries import ten_points; from planner.usecases.paper.content import content_hash;"
        " print(content_hash(ten_points()))"
    )
    said = {
        subprocess.run(
            [sys.executable, "-c", code],
            env=os.environ | {"PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
            timeout=60,
        ).stdout.strip()
        for seed in ("1", "2")
    }
    assert said == {content_hash(ten_points())}


def test_that_hashes_of_older_programs_are_known_to_be_no_use() -> None:
    assert comparable(content_hash(past_midnight()))
    assert content_hash(past_midnight()).startswith(FORM)
    assert not comparable("2284b730c2cdd1929af684fced084da43aa20e22d73cf664e2dbe83d3daf46cc")
