"""The finished pages: nothing missing, nothing clipped, nothing on top of something else, black on white."""

from __future__ import annotations

import datetime as dt
import functools
from dataclasses import replace
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from PySide6.QtGui import QImage

from planner.domain.geo import Place
from planner.domain.habitat import HabitatRule
from planner.domain.itinerary import DayPlan, Itinerary, MapRoad
from planner.domain.light import SunLine
from planner.domain.measures import Length
from planner.domain.outing import StepKind
from planner.printing import Pages, Paper, render_pages
from planner.printing.canvas import TextMark
from planner.printing.fonts import has_glyph
from planner.printing.geometry import Box
from planner.printing.paper import MARGIN_MM
from planner.printing.times import LocalClock
from planner.printing.timetable import timetable
from planner.printing.twilight import darkness_at
from tests.golden.itineraries import (
    CLASSES,
    ITINERARIES,
    LONDON,
    Evening,
    long_names,
    moment,
    past_midnight,
    southern_dawn,
    ten_points,
)
from tests.golden.texts import FOLDER, baseline, document_text, marks_of

NAMES = tuple(ITINERARIES)
MAY_BE_CUT = ("opposite the second", "Maximiliana", "unimproved acid", "broadleaved woodland", "Tue 8 June, Set-up")
"""What the hard case holds on purpose that is longer than its place: notes in the timetable, the footer's name."""


@functools.cache
def _pages(name: str, paper: Paper = Paper.A4) -> Pages:
    return render_pages(ITINERARIES[name](), paper)


@functools.cache
def _marks(name: str, paper: Paper = Paper.A4) -> tuple[tuple[TextMark, ...], ...]:
    pages = _pages(name, paper)
    return tuple(tuple(marks_of(pages, number)) for number in range(pages.page_count))


def _words(name: str) -> str:
    return "\n".join(mark.text for page in _marks(name) for mark in page)


@pytest.mark.parametrize("name", NAMES)
def test_that_the_words_of_every_page_are_those_that_were_read_and_kept(name: str) -> None:
    # To change them on purpose: python -m tests.golden, then read the difference.
    assert document_text(_pages(name)) == (FOLDER / f"{name}.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("name", NAMES)
def test_that_every_line_of_text_lies_inside_the_margins(name: str, paper: Paper) -> None:
    width, height = paper.size_mm
    inside = Box(MARGIN_MM, MARGIN_MM, width - 2 * MARGIN_MM, height - 2 * MARGIN_MM)
    outside = [mark for page in _marks(name, paper) for mark in page if not inside.holds(mark.box)]
    assert outside == []


def _ink(mark: TextMark) -> Box:
    """The box of a line's capitals: what must not be overprinted."""
    return Box(mark.box.left, baseline(mark) - mark.face.cap, mark.box.width, mark.face.cap)


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("name", NAMES)
def test_that_no_text_lies_on_other_text(name: str, paper: Paper) -> None:
    for number, page in enumerate(_marks(name, paper)):
        boxes = [(_ink(mark), mark.text) for mark in page]
        for place, (box, text) in enumerate(boxes):
            on = [other for other_box, other in boxes[place + 1 :] if box.meets(other_box)]
            assert on == [], f"page {number + 1}: {text!r}"


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("name", NAMES)
def test_that_text_is_cut_only_where_that_is_meant(name: str, paper: Paper) -> None:
    cut = {mark.whole for page in _marks(name, paper) for mark in page if mark.cut}
    cut |= {mark.whole for page in _marks(name, paper) for mark in page if mark.text.endswith("…")}
    assert [text for text in cut if not text.startswith(MAY_BE_CUT) and "…" not in text] == []
    if name != "long_names":
        assert cut == set()


@pytest.mark.parametrize("name", NAMES)
def test_that_every_letter_is_in_the_shipped_font(name: str) -> None:
    assert [letter for letter in sorted(set(_words(name))) if letter != "\n" and not has_glyph(letter)] == []


@pytest.mark.parametrize("name", NAMES)
def test_that_no_letter_is_smaller_than_ten_points(name: str) -> None:
    assert min(mark.face.points for page in _marks(name) for mark in page) >= 10


def _day_pages(name: str, day: DayPlan) -> list[TextMark]:
    """The marks of all pages that speak of one day, its first page and those under its running head."""
    title = f"{day.outing.date:%A} {day.outing.date.day} {day.outing.date:%B %Y}"
    pages = _marks(name)
    start = next(n for n, page in enumerate(pages) if page[0].text == title)
    following = range(start + 1, len(pages))
    stop = next((n for n in following if pages[n][0].face.points > 10), len(pages))
    return [mark for page in pages[start:stop] for mark in page]


@pytest.mark.parametrize("name", NAMES)
def test_that_every_time_of_the_plan_is_printed_large_and_bold(name: str) -> None:
    itinerary = ITINERARIES[name]()
    for day in (*itinerary.days, *itinerary.reserves):
        clock = LocalClock(ZoneInfo(itinerary.zone), day.outing.date)
        large = {m.text for m in _day_pages(name, day) if m.face.points >= 16 and m.face.bold}
        outings = [(day.outing, False)] + ([(day.outing.overcast, True)] if day.outing.overcast else [])
        for outing, overcast in outings:
            table = timetable(outing, overcast=overcast)
            key = table.key
            moments = [key.leave_home_utc, key.arrive_utc, key.counts_start_utc, key.last_count_ends_utc]
            moments += [key.closes_utc, key.due_home_utc]
            moments += [moment for stop in table.stops for times in (stop.ground, stop.count) for moment in times or ()]
            wanted = {clock.show(moment).clock for moment in moments if moment is not None}
            assert wanted <= large


def test_that_times_after_midnight_carry_their_weekday() -> None:
    marks = _day_pages("past_midnight", past_midnight().days[0])
    late = [mark for mark in marks if mark.text in ("00:01", "00:09", "00:14", "00:22")]
    assert late
    for mark in late:
        near = [m.text for m in marks if abs(baseline(m) - baseline(mark)) < 8 and m.box.left >= mark.box.left - 1]
        assert any(text.startswith("Sat") for text in near)


@pytest.mark.parametrize("name", NAMES)
def test_that_each_page_is_numbered_and_names_the_volunteer(name: str) -> None:
    pages, volunteer = _marks(name), ITINERARIES[name]().volunteer
    for number, page in enumerate(pages, start=1):
        texts = [mark.text for mark in page]
        assert f"page {number} of {len(pages)}" in texts
        assert "printed 28 May 2027, revision 41" in texts
        assert any(mark.whole == volunteer.name for mark in page)


@pytest.mark.parametrize("name", NAMES)
def test_that_nothing_personal_is_printed_but_what_the_volunteer_needs(name: str) -> None:
    words = _words(name)
    volunteer = ITINERARIES[name]().volunteer
    for private in (str(volunteer.home), volunteer.telephone, volunteer.email):
        assert private not in words


def _black_share(image: QImage, top: float = 0.0, bottom: float = 1.0) -> float:
    grey = image.convertToFormat(QImage.Format.Format_Grayscale8)
    width, height, stride = grey.width(), grey.height(), grey.bytesPerLine()
    data = bytes(grey.constBits())
    rows = range(round(height * top), round(height * bottom))
    black = sum(value < 128 for row in rows for value in data[row * stride : row * stride + width])
    return black / (width * len(rows))


@pytest.mark.parametrize("name", ["past_midnight", "southern_dawn"])
def test_that_no_page_is_empty_and_none_is_black(name: str) -> None:
    pages = _pages(name)
    for number in range(pages.page_count):
        image = pages.image(number, 60.0)
        assert (image.width(), image.height()) == (496, 702)
        assert 0.01 < _black_share(image) < 0.3
        assert _black_share(image, 0.12, 0.9) > 0.003


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("name", NAMES)
def test_that_each_page_holds_more_than_a_few_orphaned_words(name: str, paper: Paper) -> None:
    for number, page in enumerate(_marks(name, paper), start=1):
        assert len(page) >= 15, f"page {number}"


def test_that_the_invented_demo_says_so_and_a_real_season_does_not() -> None:
    assert "Invented demo" in _words("ten_points")
    assert "Invented demo" not in _words("past_midnight")


def test_that_unverified_figures_are_said() -> None:
    assert "count: minutes to settle: from memory, not verified" in _words("past_midnight")
    assert "nobody has verified" not in _words("ten_points")


def test_when_no_roads_are_known_the_map_says_so() -> None:
    assert "Roads not known: straight lines from point to point." in _words("past_midnight")
    assert "Roads not known" not in _words("ten_points")
    assert "Invented roads of the demo island, free to use" in _words("ten_points")


def test_that_missed_points_are_stated_above_the_key_times() -> None:
    page = next(page for page in _marks("long_names") if page[0].text == "Tuesday 8 June 2027")
    texts = [mark.text for mark in page]
    loud = next(mark for mark in page if mark.text.startswith("Points 14 and 15 do not fit"))
    assert loud.face.bold
    assert loud.face.points >= 14
    assert texts.index(loud.text) < texts.index("MARGIN")


def test_that_each_reserve_date_has_its_own_times_and_no_second_map() -> None:
    marks = _marks("ten_points")
    reserve = [page for page in marks if any(mark.text.startswith("RESERVE") for mark in page)]
    assert len(reserve) == 2
    assert all(any(m.text == "Only if the coordinator moves the visit to this date." for m in page) for page in reserve)
    assert sum(any(mark.text == "Where the points are" for mark in page) for page in marks) == 3


def test_that_every_point_of_a_habitat_round_has_its_sheet_in_the_order_of_the_round() -> None:
    numbers = [
        mark.text for page in _marks("ten_points") for mark in page if mark.face.points == 26 and mark.text.isdigit()
    ]
    set_up, visit = list(range(1, 11)), list(range(10, 0, -1))
    assert numbers == [str(number) for number in (*set_up, *visit)]


def test_that_a_count_sheet_has_a_line_for_every_count() -> None:
    page = next(p for p in _marks("southern_dawn") if any(m.text == "Count sheet" for m in p))
    assert [m.text for m in page if m.text == "run 2"] == ["run 2"] * 5


def test_that_a_protocol_without_habitat_prints_neither_key_nor_sheets() -> None:
    assert "Which class is it?" not in _words("southern_dawn")
    assert "SUM" not in _words("southern_dawn")


def test_that_a_page_beyond_the_last_is_refused() -> None:
    with pytest.raises(IndexError):
        _pages("southern_dawn").image(99)


def _texts(itinerary: Itinerary) -> str:
    return document_text(render_pages(itinerary))


def test_when_the_coordinator_is_not_known_yet_the_paper_is_still_printed() -> None:
    itinerary = past_midnight()
    blank = replace(itinerary.coordinator, name="", telephone="", email="")
    assert "Your coordinator" in _texts(replace(itinerary, coordinator=blank, weather=()))


def test_when_the_sun_neither_sets_nor_rises_the_sky_has_no_events() -> None:
    itinerary = southern_dawn()
    day = replace(itinerary.days[0], sun=SunLine(None, None, None, None, None, None), map=past_midnight().days[0].map)
    text = _texts(replace(itinerary, days=(day,)))
    assert "sunrise" not in text
    assert darkness_at(day.sun, dt.datetime(2027, 10, 14, tzinfo=dt.UTC)) == 0.0
    setup = ten_points().days[0]
    assert "Sunset" not in _texts(replace(ten_points(), days=(replace(setup, sun=day.sun),), reserves=()))


def test_that_darkness_grows_from_sunset_to_nautical_dusk_and_wanes_to_sunrise() -> None:
    sun = ten_points().days[1].sun
    assert sun.sunset_utc is not None
    evening = [
        darkness_at(sun, sun.sunset_utc + dt.timedelta(minutes=minutes)) for minutes in (-60, 0, 20, 60, 120, 200)
    ]
    assert evening == sorted(evening)
    assert evening[:2] == [0.0, 0.0]
    assert evening[-1] == 0.9
    dawn = southern_dawn().days[0].sun
    assert dawn.sunrise_utc is not None
    morning = [darkness_at(dawn, dawn.sunrise_utc - dt.timedelta(minutes=minutes)) for minutes in (200, 50, 20, 0)]
    assert morning == sorted(morning, reverse=True)


def test_that_classes_too_many_for_half_a_page_get_a_page_for_each_point() -> None:
    many = tuple(replace(CLASSES[n % 8], code=f"K{n:02d}") for n in range(30))
    itinerary = ten_points()
    rule = HabitatRule(Length(200, "m"), 10, 8.0, many)
    pages = render_pages(replace(itinerary, habitat=rule, days=itinerary.days[1:2], reserves=()))
    giants = [
        sum(m.face.points == 26 and m.text.isdigit() for m in marks_of(pages, n)) for n in range(pages.page_count)
    ]
    assert max(giants) == 1
    assert sum(giants) == 10
    enormous = HabitatRule(Length(200, "m"), 10, 8.0, tuple(replace(CLASSES[0], code=f"K{n}") for n in range(80)))
    assert render_pages(replace(itinerary, habitat=enormous, days=itinerary.days[1:2])).page_count > pages.page_count


@pytest.mark.parametrize(
    ("outings", "on_the_cover"),
    [
        (1, {"When weather threatens", "Someone at home knows"}),
        (2, {"When weather threatens"}),
        (3, {"Someone at home knows"}),
        (4, set()),
        (7, set()),
    ],
)
def test_that_what_finds_no_room_on_the_cover_is_on_the_next_page(outings: int, on_the_cover: set[str]) -> None:
    parts = {"When weather threatens", "Someone at home knows"}
    itinerary = ten_points()
    days = tuple(itinerary.days[1] for _ in range(outings))
    pages = render_pages(replace(itinerary, days=days, reserves=()))
    words = [{mark.text for mark in marks_of(pages, number)} for number in range(4)]
    care = next(page for page in words if "Care and safety" in page)
    assert parts & words[0] == on_the_cover
    assert parts & care == parts - on_the_cover


def test_when_tables_are_unequal_or_the_skies_differ_in_shape_all_stops_are_printed() -> None:
    itinerary = long_names()
    day = itinerary.days[0]
    overcast = day.outing.overcast
    assert overcast is not None
    bare = replace(overcast, steps=tuple(s for s in overcast.steps if s.kind is not StepKind.HABITAT))
    text = _texts(replace(itinerary, days=(replace(day, outing=replace(day.outing, overcast=bare)),), reserves=()))
    assert "Counts, overcast" in text
    assert "Habitat round, overcast" not in text
    assert "Habitat round, clear sky" in text


def test_when_all_counts_are_missed_the_paper_says_so_without_a_margin() -> None:
    itinerary = past_midnight()
    day = itinerary.days[0]
    steps = tuple(step for step in day.outing.steps if step.kind is StepKind.DRIVE)
    outing = replace(day.outing, steps=steps, order=(), missed=(1, 2, 3, 4, 5, 6), margin_minutes=None)
    text = _texts(replace(itinerary, days=(replace(day, outing=outing),)))
    assert "MARGIN" not in text
    assert "do not fit inside the light window" in text


def test_that_a_route_of_one_point_is_printed_with_habitat_and_count_in_one_line() -> None:
    itinerary = ten_points()
    day = itinerary.days[1]
    evening = Evening(moment(LONDON, 2027, 6, 8, 20, 40))
    evening.drive(45.0, 1)
    evening.work(StepKind.HABITAT, 8.0)
    evening.work(StepKind.COUNT, 75.0)
    evening.drive(45.0, None)
    outing = replace(day.outing, steps=tuple(evening.steps), order=(1,), squeeze=None)
    route = replace(day.route, points=day.route.points[:1])
    place = route.points[0].place
    ground = replace(day.map, way=(place,), roads=())
    text = _texts(replace(itinerary, days=(replace(day, outing=outing, route=route, map=ground),), reserves=()))
    assert "Habitat and counts" in text
    assert "point | drive | habitat from | habitat to | count from | count to" in text


def test_when_a_count_is_lost_under_an_overcast_sky_its_planned_time_is_left_out() -> None:
    itinerary = long_names()
    day = itinerary.days[0]
    overcast = day.outing.overcast
    assert overcast is not None
    kept = tuple(step for step in overcast.steps if (step.kind, step.point) != (StepKind.COUNT, 13))
    shorter = replace(day, outing=replace(day.outing, overcast=replace(overcast, steps=kept)))
    pages = render_pages(replace(itinerary, days=(shorter,), reserves=()))
    sheet = next(
        page
        for page in (marks_of(pages, number) for number in range(pages.page_count))
        if any(mark.text == "Count sheet" for mark in page)
    )
    assert [mark.text for mark in sheet].count("clear") == 13
    assert [mark.text for mark in sheet].count("overcast") == 12


def _north_of(place: Place, metres: float) -> Place:
    return Place(place.latitude + metres / 111_195, place.longitude)


@pytest.mark.parametrize("start", [0, 4])
def test_that_a_road_name_never_lies_on_the_flag_at_the_start(start: int) -> None:
    itinerary = southern_dawn()
    day = itinerary.days[0]
    foot = day.route.points[start].place
    roads = (
        MapRoad("tertiary", "Hawk Drift", tuple(_north_of(foot, metres) for metres in range(200, 900, 10))),
        MapRoad("tertiary", "Wren Drift", tuple(_north_of(foot, -metres) for metres in range(200, 900, 10))),
    )
    first = day.route.points[start].number
    steps = tuple(
        replace(step, point=first) if step.kind is StepKind.COUNT and step.pass_number == 1 else step
        for step in day.outing.steps
    )
    moved = replace(day, map=replace(day.map, roads=roads), outing=replace(day.outing, steps=steps))
    pages = render_pages(replace(itinerary, days=(moved,)))
    page = next(
        marks for marks in (marks_of(pages, n) for n in range(5)) if any(m.text.endswith("START") for m in marks)
    )
    flag = next(mark for mark in page if mark.text.endswith("START"))
    names = [mark for mark in page if mark.text in ("Hawk Drift", "Wren Drift")]
    assert len(names) == 2
    assert not any(_ink(flag).meets(_ink(name)) for name in names)


def _all_text(itinerary: Itinerary) -> str:
    pages = render_pages(itinerary)
    return " ".join(mark.text for number in range(pages.page_count) for mark in marks_of(pages, number))


def test_where_no_count_fits_under_cloud_the_paper_says_not_to_count() -> None:
    itinerary = southern_dawn()
    tied = tuple(replace(day, overcast_above_percent=75.0) for day in itinerary.days)
    assert "If more than 75 % of the sky is cloud, do not count" in _all_text(replace(itinerary, days=tied))
    assert "do not count: ring" not in _all_text(itinerary)


def test_that_points_left_out_under_one_sky_alone_are_named_for_that_sky() -> None:
    itinerary = long_names()
    day = itinerary.days[0]
    assert day.outing.overcast is not None
    overcast = replace(day.outing.overcast, missed=(*day.outing.overcast.missed, 13))
    changed = replace(day, outing=replace(day.outing, overcast=overcast))
    texts = _all_text(replace(itinerary, days=(changed,), reserves=()))
    assert "Clear sky: Points 14 and 15 do not fit" in texts
    assert "Overcast: Points 14, 15 and 13 do not fit" in texts


def test_that_a_reserve_date_warns_where_the_set_up_may_not_have_been_done() -> None:
    itinerary = ten_points()
    pending = tuple(replace(day, setup_pending=True) for day in itinerary.reserves)
    assert "the points must be found by daylight first" in _all_text(replace(itinerary, reserves=pending))
    assert "the points must be found by daylight first" not in _all_text(itinerary)


def test_that_a_set_up_is_explained() -> None:
    assert "Set-up: find each point" in _all_text(ten_points())


@pytest.mark.parametrize(("early_minutes", "shown"), [(0, False), (3, True)])
def test_that_arrivals_are_printed_only_where_one_stands_waiting(early_minutes: int, *, shown: bool) -> None:
    itinerary = southern_dawn()
    day = itinerary.days[0]
    work = [step for step in day.outing.steps if step.kind is not StepKind.WAIT]
    for index, (step, following) in enumerate(pairwise(work)):
        if step.kind is StepKind.DRIVE:
            early = dt.timedelta(minutes=early_minutes if step.point == day.outing.order[1] else 0)
            work[index] = replace(step, start_utc=step.start_utc - early, end_utc=following.start_utc - early)
    changed = replace(day, outing=replace(day.outing, steps=tuple(work)))
    text = _all_text(replace(itinerary, days=(changed,), reserves=()))
    assert ("arrive" in text.replace("arrived", "")) is shown  # a column of the count sheet is called 'arrived'
