"""The first pages: whose plan this is, which outings, whom to ring, and the care that comes before any count."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from zoneinfo import ZoneInfo

from planner.domain.itinerary import DayPlan, Itinerary
from planner.domain.season import Coordinator
from planner.printing.blocks import Block, Rows, Section, bullets, filled_pages, paragraph, space, stacked
from planner.printing.canvas import Align, Canvas
from planner.printing.fields import field_row
from planner.printing.fonts import Face
from planner.printing.geometry import Box
from planner.printing.headings import heading, notice, running_head, twilight_band
from planner.printing.setting import at_most_lines, largest_face
from planner.printing.times import LocalClock, Shown, long_date
from planner.printing.timetable import timetable
from planner.printing.twilight import nightfall
from planner.printing.type_scale import (
    BODY,
    BODY_BOLD,
    CLOCK,
    HEADING,
    LEAD,
    NAMES,
    SMALL,
    SMALL_BOLD,
    TELEPHONE,
    TITLES,
)
from planner.printing.wording import CARE, INVENTED, PRIVATE, TAKE, company, reserve_words, weather_advice, what

COLUMN_MM = 22.5
COLUMNS = (("Leave", "home"), ("Window", "opens"), ("Window", "closes"), ("Due", "home"))
TICK_MM = 4.5
AT_HOME = "Someone at home knows"
SKY_DECIDES = "Window under a clear sky; overcast: see the plan"
FIELD_MM = 15.0


def opening(itinerary: Itinerary, content: Box) -> tuple[Section, Section]:
    """Return the cover and the page to read before leaving.

    What to do when weather threatens, and who knows at home, stand on the cover as far as its outings leave room;
    what finds none is on the next page.
    """
    width = content.width
    weather, home = stacked(tuple(_weather(itinerary, width))), stacked((heading(AT_HOME), _known_at_home()))
    for here, there in (((weather, home), ()), ((weather,), (home,)), ((home,), (weather,))):
        cover = _cover(itinerary, width, here)
        if len(filled_pages(cover, content)) == 1:
            return cover, _care_page(itinerary, content, there)
    return _cover(itinerary, width, ()), _care_page(itinerary, content, (weather, home))


def _cover(itinerary: Itinerary, width: float, last: tuple[Block, ...]) -> Section:
    items: list[Block | Rows] = [twilight_band(nightfall, height=14.0, after=6.0), *_titles(itinerary, width)]
    if itinerary.invented:
        items.append(notice(INVENTED, width))
    items += [space(3.0), _outings(itinerary, width)]
    items += [space(5.0), _contact(itinerary.coordinator, width), *last]
    return Section(tuple(items), running_head(f"{itinerary.season}, your outings", nightfall))


def _care_page(itinerary: Itinerary, content: Box, first: tuple[Block, ...]) -> Section:
    """Return the page in the larger face, unless the smaller one saves a page."""
    choices = [_care(itinerary, content.width, first, face) for face in (LEAD, BODY)]
    return min(choices, key=lambda section: len(filled_pages(section, content)))


def _care(itinerary: Itinerary, width: float, first: tuple[Block, ...], face: Face) -> Section:
    head = running_head(f"{itinerary.season}, before you go", nightfall)
    gap = 1.8 if face is LEAD else 1.0
    items: list[Block | Rows] = [head, *first, heading("Care and safety", before=3.0 if first else 1.0)]
    items += bullets((*CARE, *itinerary.cautions), face, width, gap=gap)
    items += [heading("Take with you"), _checklist(TAKE, face)]
    if itinerary.unverified:
        items.append(heading("Figures of this survey that nobody has verified"))
        items += bullets(itinerary.unverified, BODY, width, gap=gap)
    items += [space(4.0), paragraph(PRIVATE, BODY_BOLD, width)]
    return Section(tuple(items), head)


def _titles(itinerary: Itinerary, width: float) -> Iterator[Block]:
    season = largest_face(itinerary.season, TITLES, width)
    name = largest_face(itinerary.volunteer.name, NAMES, width)
    yield paragraph(itinerary.survey, LEAD, width, after=0.5)
    yield paragraph(itinerary.season, season, width, after=6.0)
    yield paragraph("Itinerary for", LEAD, width, after=0.0)
    yield paragraph(itinerary.volunteer.name, name, width, after=4.0)


def _outings(itinerary: Itinerary, width: float) -> Rows:
    zone = ZoneInfo(itinerary.zone)
    rows = tuple(_outing_row(day, LocalClock(zone, day.outing.date), width) for day in itinerary.days)
    return Rows(_outings_head(), rows)


def _outings_head() -> Block:
    height = 2 * SMALL.line + 2.0

    def paint(canvas: Canvas, box: Box) -> None:
        canvas.text((box.left, box.bottom - 2.0 - HEADING.descent), "Your outings", HEADING)
        for number, words in enumerate(COLUMNS):
            canvas.lines((_column_left(box, number), box.top), words, SMALL)
        canvas.line((box.left, box.bottom - 0.6), (box.right, box.bottom - 0.6), 0.6)

    return Block(height, paint, keep_with_next=True)


def _column_left(box: Box, number: int) -> float:
    return box.right - COLUMN_MM * (len(COLUMNS) - number) + 4.0


def _outing_row(day: DayPlan, clock: LocalClock, width: float) -> Block:
    room = width - COLUMN_MM * len(COLUMNS) - 2.0
    date = largest_face(long_date(day.outing.date), (HEADING, BODY_BOLD), room)
    title = at_most_lines(f"{what(day)}, {day.route.title}", BODY_BOLD, room, 2)
    others = at_most_lines(company(day), BODY, room, 2)
    last = [line for line in (reserve_words(day), SKY_DECIDES if day.outing.overcast is not None else "") if line]
    height = 4.5 + date.line + len(title) * BODY_BOLD.line + (len(others) + len(last)) * BODY.line

    def paint(canvas: Canvas, box: Box) -> None:
        top = box.top + 2.0
        for lines, face in (((long_date(day.outing.date),), date), (title, BODY_BOLD), ((*others, *last), BODY)):
            canvas.lines((box.left, top), lines, face)
            top += len(lines) * face.line
        for number, shown in enumerate(_row_times(day, clock)):
            _paint_time(canvas, _column_left(box, number), box.top + 1.5, shown)
        canvas.line((box.left, box.bottom), (box.right, box.bottom), 0.2)

    return Block(height, paint)


def _row_times(day: DayPlan, clock: LocalClock) -> list[Shown]:
    key = timetable(day.outing).key
    leave, due = key.leave_home_utc, key.due_home_utc
    if day.outing.overcast is not None:
        other = timetable(day.outing.overcast, overcast=True).key
        leave, due = min(leave, other.leave_home_utc), max(due, other.due_home_utc)
    moments = (leave, key.opens_utc, key.closes_utc, due)
    return [clock.show(moment) if moment is not None else Shown("–") for moment in moments]


def _paint_time(canvas: Canvas, left: float, top: float, shown: Shown) -> None:
    canvas.text((left, top + CLOCK.ascent), shown.clock, CLOCK)
    if shown.day:
        canvas.text((left, top + CLOCK.line + SMALL_BOLD.ascent), shown.day, SMALL_BOLD)


def _contact(coordinator: Coordinator, width: float) -> Block:
    padding = 4.0
    room = width - 2 * padding
    number = largest_face(coordinator.telephone, TELEPHONE, room * 0.5)
    name = at_most_lines(coordinator.name or "Your coordinator", HEADING, room * 0.46, 2)
    mail = at_most_lines(coordinator.email, SMALL, room * 0.46, 2)
    left_height = len(name) * HEADING.line + len(mail) * SMALL.line
    height = 2 * padding + SMALL.line + 1.0 + max(number.line, left_height)

    def paint(canvas: Canvas, box: Box) -> None:
        canvas.frame(Box(box.left, box.top, box.width, height).inset(0.4), 0.8)
        left, top = box.left + padding, box.top + padding
        canvas.text((left, top + SMALL.ascent), "Coordinator: ring when anything is in doubt", SMALL)
        top += SMALL.line + 1.0
        canvas.lines((left, top), name, HEADING)
        canvas.lines((left, top + len(name) * HEADING.line), mail, SMALL)
        middle = top + (height - padding - (top - box.top)) / 2
        canvas.text((box.right - padding, middle + number.cap / 2), coordinator.telephone, number, align=Align.RIGHT)

    return Block(height, paint)


def _weather(itinerary: Itinerary, width: float) -> Iterator[Block]:
    yield heading("When weather threatens")
    if itinerary.weather:
        yield from bullets([f"Limit: {limit}" for limit in itinerary.weather], BODY_BOLD, width)
    yield from bullets(weather_advice(itinerary), BODY, width)


def _checklist(things: Sequence[str], face: Face) -> Block:
    rows = -(-len(things) // 2)
    step = face.line + 2.2

    def paint(canvas: Canvas, box: Box) -> None:
        for number, thing in enumerate(things):
            column, row = divmod(number, rows)
            left, top = box.left + column * box.width / 2, box.top + row * step
            middle = top + face.ascent - face.cap / 2
            canvas.frame(Box(left + 0.5, middle - TICK_MM / 2, TICK_MM, TICK_MM), 0.4)
            canvas.text((left + TICK_MM + 4.0, top + face.ascent), thing, face)

    return Block(rows * step, paint)


def _known_at_home() -> Block:
    def paint(canvas: Canvas, box: Box) -> None:
        labels = (("Name", ""), ("Telephone", ""), ("Rings if I am late by", "min"))
        field_row(canvas, Box(box.left, box.top, box.width, FIELD_MM), labels)

    return Block(FIELD_MM + 1.0, paint)
