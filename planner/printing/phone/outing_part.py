"""One outing on the telephone page: its times, its stops one under the other, and what explains them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from xml.etree.ElementTree import Element
from zoneinfo import ZoneInfo

from planner.domain.itinerary import DayPlan, Itinerary
from planner.domain.outing import Outing, StepKind
from planner.domain.route import Point, Route
from planner.printing.phone.events import Event, events
from planner.printing.phone.markup import put, say
from planner.printing.phone.places import geo_link, telephone_link
from planner.printing.times import LocalClock, Shown, long_date, nearest_minute, short_date
from planner.printing.timetable import KeyTimes, Timetable, timetable
from planner.printing.wording import (
    SETUP_PENDING,
    SETUP_SENTENCE,
    SKY,
    count_sentence,
    drive_sentence,
    missed_sentence,
    overcast_bar,
    reserve_words,
    squeeze_sentence,
    walk_sentence,
    what,
    zone_sentence,
)


@dataclass(frozen=True, slots=True)
class Sky:
    """The outing under one sky; the caption is empty where the sky does not matter."""

    caption: str
    outing: Outing
    table: Timetable


@dataclass(frozen=True, slots=True)
class Part:
    """What the parts of one outing share."""

    itinerary: Itinerary
    day: DayPlan
    number: int
    """Of the outing on the page, from 1."""
    clock: LocalClock
    skies: tuple[Sky, ...]

    @property
    def leave_utc(self) -> dt.datetime:
        """The earliest that one must leave under any sky, as printed."""
        return min(sky.table.key.leave_home_utc for sky in self.skies)

    @property
    def due_utc(self) -> dt.datetime:
        """The latest that one is due home under any sky, as printed."""
        return max(sky.table.key.due_home_utc for sky in self.skies)

    @property
    def name(self) -> str:
        """'Visit 1', 'Reserve for visit 1'."""
        words = what(self.day)
        return f"Reserve for {words[0].lower()}{words[1:]}" if self.day.is_reserve else words


def part_of(itinerary: Itinerary, day: DayPlan, number: int) -> Part:
    """Gather what one outing's part of the page needs to know."""
    outing, limit = day.outing, day.overcast_above_percent
    clock = LocalClock(ZoneInfo(itinerary.zone), outing.date)
    if outing.overcast is None:
        return Part(itinerary, day, number, clock, (Sky("", outing, timetable(outing)),))
    clear = "Clear sky" if limit is None else f"Clear: at most {limit:g} % of the sky is cloud"
    covered = "Overcast sky" if limit is None else f"Overcast: more than {limit:g} % of the sky is cloud"
    skies = (
        Sky(clear, outing, timetable(outing)),
        Sky(covered, outing.overcast, timetable(outing.overcast, overcast=True)),
    )
    return Part(itinerary, day, number, clock, skies)


def add_outing(parent: Element, part: Part, ground: str) -> None:
    """Add an outing; ``ground`` is the name of the part of the page with its map."""
    day = part.day
    article = put(
        parent,
        "article",
        id=f"outing{part.number}",
        aria_labelledby=f"date{part.number}",
        data_leave=_seconds(part.leave_utc),
        data_due=_seconds(part.due_utc),
        **({"data_reserve": ""} if day.is_reserve else {}),
    )
    heading = put(article, "h2", long_date(day.outing.date), id=f"date{part.number}")
    put(heading, "span", part.name, class_="tag")
    put(article, "p", day.route.title, class_="route")
    _add_company(article, part)
    _add_warnings(article, part)
    for sky in part.skies:
        _add_sky(article, part, sky)
    if len(part.skies) > 1:
        put(article, "p", SKY, class_="loud")
    put(put(article, "p"), "a", "Map and points", href=f"#{ground}", class_="key")
    for sentence in _sentences(part):
        put(article, "p", sentence)
    put(put(article, "p"), "a", "To the top", href="#top", class_="key")


def _add_company(article: Element, part: Part) -> None:
    day = part.day
    role = "You lead" if day.leads else "You are the second"
    if day.partner is None:
        put(article, "p", "You go alone." if day.visit is None else f"{role}, alone.")
    else:
        line = put(article, "p", f"{role}, with {day.partner.first_name} ")
        add_number(line, day.partner.telephone, f"Ring {day.partner.first_name}")
    if not day.is_reserve and day.visit is not None:
        put(article, "p", f"{reserve_words(day)}.")


def add_number(parent: Element, number: str, name: str) -> None:
    """Add a telephone number as a link that dials it; as plain text where there is nothing to dial."""
    address = telephone_link(number)
    if address:
        put(parent, "a", number, href=address, class_="key", aria_label=f"{name}: {number}")
    elif number:
        say(parent, number)


def _add_warnings(article: Element, part: Part) -> None:
    day = part.day
    if day.is_reserve:
        put(article, "p", "Only if the coordinator moves the visit to this date.", class_="notice")
    if day.setup_pending:
        put(article, "p", SETUP_PENDING, class_="notice")
    alike = len({sky.outing.missed for sky in part.skies}) == 1
    for sky in part.skies[:1] if alike else part.skies:
        if sky.outing.missed:
            head = "" if alike else f"{sky.caption}. "
            put(article, "p", head + missed_sentence(sky.outing.missed), class_="notice")
    if day.overcast_above_percent is not None and day.visit is not None and day.outing.overcast is None:
        put(article, "p", overcast_bar(day.overcast_above_percent), class_="notice")


def _add_sky(article: Element, part: Part, sky: Sky) -> None:
    section = put(article, "section", class_="sky", data_sky=sky.caption)
    if sky.caption:
        put(section, "h3", sky.caption)
    times = put(section, "dl", class_="times")
    for name, shown in _key_times(part, sky.table.key):
        row = put(times, "div", data_time=name)
        put(row, "dt", name)
        add_clock(put(row, "dd"), shown)
    stops = put(section, "ol", class_="stops", role="list")
    for event in events(sky.table, part.clock):
        _add_event(stops, part, event)


def _key_times(part: Part, key: KeyTimes) -> Iterator[tuple[str, Shown]]:
    show = part.clock.show
    yield "Leave home", show(key.leave_home_utc)
    if key.opens_utc is not None and key.closes_utc is not None:
        yield "Window opens", show(key.opens_utc)
        yield "Window closes", show(key.closes_utc)
    sunset = part.day.sun.sunset_utc
    if part.day.visit is None and sunset is not None:
        yield "Sunset", show(nearest_minute(sunset))
    if key.margin_minutes is not None:
        yield "Margin", Shown(str(key.margin_minutes), "min")
    yield "Due home", show(key.due_home_utc)


def _add_event(stops: Element, part: Part, event: Event) -> None:
    begin = event.begin_utc
    row = put(stops, "li", data_from=_seconds(begin), data_to=_seconds(event.end_utc))
    shown = part.clock.show(begin)
    add_clock(put(row, "time", datetime=part.clock.local(begin).isoformat()), shown)
    said = put(row, "div", class_="what")
    put(said, "strong", event.title)
    for line in event.lines[:1]:
        put(said, "span", line)
    more = list(event.lines[1:])
    if event.point is not None:
        point = part.day.route.point(event.point)
        add_point(row, part.day.route, point)
        more += [point.note] if point.note else []
    for line in more:
        put(row, "div", line, class_="more")


def add_clock(parent: Element, shown: Shown) -> None:
    """Add a time, and the weekday smaller where it is not that of the outing."""
    say(parent, shown.clock)
    if shown.day:
        say(parent, " ")
        put(parent, "span", shown.day, class_="day")


def add_point(parent: Element, route: Route, point: Point) -> None:
    """Add a point's number as a link that shows the place in a map program."""
    name = f"Point {point.number}: open in a map"
    put(parent, "a", str(point.number), href=geo_link(route, point), class_="point", aria_label=name)


def _seconds(moment: dt.datetime) -> str:
    """Return a moment as seconds since 1970 in UTC: what the page's script reckons with."""
    return str(int(moment.timestamp()))


def _sentences(part: Part) -> Iterator[str]:
    day, outing = part.day, part.day.outing
    if outing.of_kind(StepKind.SETUP):
        yield SETUP_SENTENCE
    if outing.order:
        yield count_sentence(part.itinerary.count)
    if outing.squeeze is not None:
        yield squeeze_sentence(outing.squeeze)
    yield drive_sentence(day)
    if day.walks:
        yield walk_sentence(day.walks)
    yield zone_sentence(part.clock, outing.leave_home_utc, outing.due_home_utc)


def line_of(part: Part) -> str:
    """Return an outing in one line, for the list at the top: 'Fri 18 June, Visit 1, R07 Long Heath'."""
    return f"{short_date(part.day.outing.date)}, {part.name}, {part.day.route.title}"
