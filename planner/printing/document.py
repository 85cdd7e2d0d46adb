"""A volunteer's whole itinerary as pages that can be painted anywhere."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from PySide6.QtGui import QImage, QPainter

from planner.domain.itinerary import DayPlan, Itinerary
from planner.printing.blocks import PageMatter, Section, filled_pages
from planner.printing.canvas import WHITE, Align, Canvas, Watcher
from planner.printing.class_key import class_key
from planner.printing.count_sheet import count_sheet
from planner.printing.cover import opening
from planner.printing.day_plan import day_plan, page_of
from planner.printing.fonts import load_fonts
from planner.printing.geometry import Box
from planner.printing.habitat_sheet import habitat_sheets, points_for_habitat
from planner.printing.paper import PageCount, Paper
from planner.printing.times import MONTHS
from planner.printing.type_scale import SMALL

MM_AN_INCH = 25.4


@dataclass(frozen=True, slots=True)
class Pages:
    """The pages of one itinerary, laid out for one paper."""

    itinerary: Itinerary
    paper: Paper
    matter: tuple[PageMatter, ...]

    @property
    def page_count(self) -> PageCount:
        """How many pages there are."""
        return len(self.matter)

    @property
    def title(self) -> str:
        """The document's title."""
        return f"Itinerary of {self.itinerary.volunteer.name}, {self.itinerary.season}"

    def paint_page(self, painter: QPainter, number: int, *, watch: Watcher | None = None) -> None:
        """Paint page ``number`` (from 0) with the painter's origin at the corner of the sheet.

        The same for a PDF, a printer in full-page mode and an image: the device's resolution gives the scale.

        Args:
            painter: active, on a device that knows its resolution.
            number: of the page, from 0.
            watch: told of every line of text that is set.

        Raises:
            IndexError: there is no such page.
        """
        matter = self.matter[number]
        device = painter.device()
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.scale(device.logicalDpiX() / MM_AN_INCH, device.logicalDpiY() / MM_AN_INCH)
        canvas = Canvas(painter, watch)
        matter.paint(canvas)
        _paint_footer(canvas, self.paper.footer, self, number)
        painter.restore()

    def image(self, number: int, dots_per_inch: float = 110.0) -> QImage:
        """Return a picture of page ``number`` (from 0), for a preview.

        Raises:
            IndexError: there is no such page.
        """
        if not 0 <= number < self.page_count:
            raise IndexError(f"the pages are numbered 0 to {self.page_count - 1}, found {number}")
        width, height = (round(side / MM_AN_INCH * dots_per_inch) for side in self.paper.size_mm)
        image = QImage(width, height, QImage.Format.Format_RGB32)
        image.fill(WHITE)
        dots_per_metre = round(dots_per_inch / MM_AN_INCH * 1000)
        image.setDotsPerMeterX(dots_per_metre)
        image.setDotsPerMeterY(dots_per_metre)
        painter = QPainter(image)
        self.paint_page(painter, number)
        painter.end()
        return image


def render_pages(itinerary: Itinerary, paper: Paper = Paper.A4) -> Pages:
    """Lay an itinerary out in pages; nothing is painted yet."""
    load_fonts()
    matter = [page for section in _sections(itinerary, paper.content) for page in filled_pages(section, paper.content)]
    return Pages(itinerary, paper, tuple(matter))


def _sections(itinerary: Itinerary, content: Box) -> Iterator[Section]:
    yield from opening(itinerary, content)
    if itinerary.habitat is not None and any(points_for_habitat(day) for day in itinerary.days):
        yield class_key(itinerary.habitat, content)
    for day in itinerary.days:
        yield from _day_sections(itinerary, day, content)
    for day in itinerary.reserves:
        yield from day_plan(page_of(itinerary, day, content.width), content)


def _day_sections(itinerary: Itinerary, day: DayPlan, content: Box) -> Iterator[Section]:
    page = page_of(itinerary, day, content.width)
    yield from day_plan(page, content)
    sheets = None
    if itinerary.habitat is not None:
        sheets = habitat_sheets(day, itinerary.habitat, page.running, content)
    if sheets is not None:
        yield sheets
    counts = count_sheet(page, content, codes_elsewhere=sheets is not None)
    if counts is not None:
        yield counts


def _paint_footer(canvas: Canvas, box: Box, pages: Pages, number: int) -> None:
    itinerary = pages.itinerary
    rule = box.bottom - SMALL.line - 1.5
    baseline = rule + 1.5 + SMALL.ascent
    canvas.line((box.left, rule), (box.right, rule), 0.25)
    day = itinerary.printed_on
    printed = f"printed {day.day} {MONTHS[day.month - 1][:3]} {day.year}, revision {itinerary.revision}"
    count = f"page {number + 1} of {pages.page_count}"
    printed_left = box.left + box.width * 0.46
    canvas.text((box.left, baseline), itinerary.volunteer.name, SMALL, width=box.width * 0.44)
    canvas.text((printed_left, baseline), printed, SMALL)
    canvas.text((box.right, baseline), count, SMALL, align=Align.RIGHT)
