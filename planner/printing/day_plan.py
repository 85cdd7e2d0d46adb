"""One outing on paper: the key times, the evening as a picture, the timetable, and the map."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from zoneinfo import ZoneInfo

from planner.domain.itinerary import DayPlan, Itinerary
from planner.domain.outing import Outing, StepKind
from planner.printing.blocks import Block, Rows, Section, filled_pages, paragraph, space
from planner.printing.geometry import Box
from planner.printing.headings import notice, page_title, running_head, twilight_band
from planner.printing.key_times import KeyCell, count_cells, key_strip, setup_cells
from planner.printing.map_page import map_page
from planner.printing.place_code import PlaceCode
from planner.printing.timeline import Lane, page_darkness, timeline, timeline_range
from planner.printing.times import LocalClock, long_date, short_date
from planner.printing.timetable import Timetable, timetable
from planner.printing.timetable_tables import ROWS_MM, LegTable, side_by_side
from planner.printing.twilight import Darkness
from planner.printing.type_scale import BODY, BODY_BOLD
from planner.printing.wording import (
    SETUP_PENDING,
    SETUP_SENTENCE,
    SKY,
    company,
    count_sentence,
    drive_sentence,
    leg_title,
    missed_sentence,
    overcast_bar,
    pause_sentence,
    reserve_words,
    squeeze_sentence,
    walk_sentence,
    what,
    zone_sentence,
)

CLEAR, OVERCAST = "clear sky", "overcast"


@dataclass(frozen=True, slots=True)
class Variant:
    """The outing under one sky; the name is empty where the sky does not matter."""

    name: str
    outing: Outing
    table: Timetable

    @property
    def lane(self) -> Lane:
        """What the timeline shows of it."""
        return Lane(self.name, self.table.spans, self.outing.steps)


@dataclass(frozen=True, slots=True)
class Page:
    """What every part of a day plan needs to know."""

    itinerary: Itinerary
    day: DayPlan
    clock: LocalClock
    variants: tuple[Variant, ...]
    width: float

    @property
    def darkness(self) -> Darkness:
        """How the light goes across the page: the timeline's own evening."""
        begin, end = timeline_range([variant.lane for variant in self.variants])
        return page_darkness(self.day.sun, begin, end)

    @property
    def running(self) -> Block:
        """What heads the later pages of the outing."""
        day = self.day
        words = f"{short_date(day.outing.date)}, {what(day)}, {day.route.title}"
        return running_head(words, self.darkness)


def page_of(itinerary: Itinerary, day: DayPlan, width: float) -> Page:
    """Gather what the parts of a day plan share."""
    outing = day.outing
    clock = LocalClock(ZoneInfo(itinerary.zone), outing.date)
    overcast = outing.overcast
    variants = [Variant("" if overcast is None else CLEAR, outing, timetable(outing))]
    if overcast is not None:
        variants.append(Variant(OVERCAST, overcast, timetable(overcast, overcast=True)))
    return Page(itinerary, day, clock, tuple(variants), width)


def day_plan(page: Page, content: Box) -> Iterator[Section]:
    """Yield the plan of one outing, then the map with the points' places; a reserve date has no map of its own.

    What explains the plan stands under the timetable; where that would begin a page for it alone, it goes with
    the map. A reserve date then does without: the paper of its visit has said the same.
    """
    notes = tuple(_notes(page))
    head, running = tuple(_head(page)), page.running

    @cache
    def times(row_mm: float) -> tuple[Block | Rows, ...]:
        return (*head, *_times(page, row_mm))

    explained = _tightest(lambda row_mm: Section((*times(row_mm), *notes), running), content)
    plain = explained
    if _page_count(explained, content) > 1:
        plain = _tightest(lambda row_mm: Section(times(row_mm), running), content)
    shorter = _page_count(plain, content) < _page_count(explained, content)
    yield plain if shorter else explained
    if page.day.is_reserve:
        return
    radius = page.itinerary.habitat.radius.metres if page.itinerary.habitat is not None else None
    yield map_page(page.day, running, notes if shorter else (), content, radius)


def _page_count(section: Section, content: Box) -> int:
    return len(filled_pages(section, content))


def _tightest(laid_out: Callable[[float], Section], content: Box) -> Section:
    """Return the plan with the largest rows with which it needs fewest pages; smaller ones than needed are not tried.

    Args:
        laid_out: gives the plan with rows of a height.
        content: of a page.
    """
    best = laid_out(ROWS_MM[0])
    for row_mm in ROWS_MM[1:]:
        if _page_count(best, content) == 1:
            break
        best = min(best, laid_out(row_mm), key=lambda section: _page_count(section, content))
    return best


def _head(page: Page) -> Iterator[Block]:
    day = page.day
    tag = f"RESERVE, {what(day)}" if day.is_reserve else what(day)
    who = company(day) if day.is_reserve else ". ".join(part for part in (company(day), reserve_words(day)) if part)
    yield twilight_band(page.darkness)
    title, under, code = long_date(day.outing.date), day.route.title, _first_stop(page)
    yield page_title(title, page.width, tag=tag.upper(), under=under, also=f"{who}.", code=code)
    if day.is_reserve:
        yield notice("Only if the coordinator moves the visit to this date.", page.width)
    if day.setup_pending:
        yield notice(SETUP_PENDING, page.width)
    yield from _left_out(page)


def _first_stop(page: Page) -> PlaceCode | None:
    """Return the code of the point that one drives to first."""
    number = page.variants[0].table.key.arrive_point
    if number is None:
        return None
    return PlaceCode(page.day.route.point(number).place, f"Scan: first stop, point {number}")


def _left_out(page: Page) -> Iterator[Block]:
    """Say loudly what is not to be counted: points that do not fit, or everything under an overcast sky."""
    alike = len({variant.outing.missed for variant in page.variants}) == 1
    for variant in page.variants[:1] if alike else page.variants:
        if variant.outing.missed:
            sky = "" if alike else f"{variant.name.capitalize()}: "
            yield notice(sky + missed_sentence(variant.outing.missed), page.width)
    limit = page.day.overcast_above_percent
    if limit is not None and page.day.visit is not None and page.day.outing.overcast is None:
        yield notice(overcast_bar(limit), page.width)


def _times(page: Page, row_mm: float) -> Iterator[Block | Rows]:
    for variant in page.variants:
        yield key_strip(_cells(page, variant), _caption(page, variant))
    if len(page.variants) > 1:
        yield paragraph(SKY, BODY_BOLD, page.width, after=2.0)
    yield timeline([variant.lane for variant in page.variants], page.day.sun, page.clock, page.width)
    for rows in _tables(page, row_mm):
        yield space(2.0)
        yield rows
    yield space(2.5)
    yield from _pauses(page)


def _cells(page: Page, variant: Variant) -> list[KeyCell]:
    key = variant.table.key
    if page.day.visit is None:
        return setup_cells(key, page.clock, page.day.sun)
    return count_cells(key, page.clock)


def _caption(page: Page, variant: Variant) -> str:
    limit = page.day.overcast_above_percent
    if limit is None:
        return {CLEAR: "If the sky is clear", OVERCAST: "If the sky is overcast"}.get(variant.name, "")
    clear, overcast = f"If at most {limit:g} % of the sky is cloud", f"If more than {limit:g} % of the sky is cloud"
    return {CLEAR: clear, OVERCAST: overcast}.get(variant.name, "")


def _leg_tables(page: Page, variant: Variant, row_mm: float) -> list[LegTable]:
    passes = max((leg.pass_number for leg in variant.table.legs), default=1)
    named = f", {variant.name}" if variant.name else ""
    return [
        LegTable(leg_title(leg, passes) + named, leg, page.clock, page.day.route, row_mm, arrivals=not variant.name)
        for leg in variant.table.legs
    ]


def _tables(page: Page, row_mm: float) -> Iterator[Rows]:
    """Yield the tables in the order of the evening, two side by side where they belong together and fit."""
    columns = [_leg_tables(page, variant, row_mm) for variant in page.variants]
    if len(columns) == 2 and len(columns[0]) == len(columns[1]):
        for clear, overcast in zip(*columns, strict=True):
            yield from _together(clear, overcast, page.width)
    elif len(columns) == 1 and len(columns[0]) == 2:
        yield from _together(columns[0][0], columns[0][1], page.width)
    else:
        yield from (table.rows(page.width) for tables in columns for table in tables)


def _together(left: LegTable, right: LegTable, width: float) -> Iterator[Rows]:
    pair = side_by_side(left, right, width)
    if pair is not None:
        yield pair
    else:
        yield from (left.rows(width), right.rows(width))


def _pauses(page: Page) -> Iterator[Block]:
    for variant in page.variants:
        opens = variant.table.key.opens_utc
        said = [pause_sentence(pause, page.clock, opens) for pause in variant.table.pauses]
        if said:
            name = f"{variant.name.capitalize()}: " if variant.name else ""
            yield paragraph(name + " ".join(said), BODY_BOLD, page.width)
    if page.day.outing.of_kind(StepKind.SETUP):
        yield paragraph(SETUP_SENTENCE, BODY, page.width)
    if page.day.outing.order:
        yield paragraph(count_sentence(page.itinerary.count), BODY, page.width)


def _notes(page: Page) -> Iterator[Block]:
    outing = page.day.outing
    if outing.squeeze is not None:
        yield paragraph(squeeze_sentence(outing.squeeze), BODY, page.width)
    yield paragraph(drive_sentence(page.day), BODY_BOLD if page.day.estimated_drive else BODY, page.width)
    if page.day.walks:
        yield paragraph(walk_sentence(page.day.walks), BODY_BOLD, page.width)
    yield paragraph(zone_sentence(page.clock, outing.leave_home_utc, outing.due_home_utc), BODY, page.width)
