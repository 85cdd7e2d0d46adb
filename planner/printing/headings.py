"""Heads of pages and of the parts of a page."""

from __future__ import annotations

from planner.printing.blocks import Block
from planner.printing.canvas import Align, Canvas
from planner.printing.geometry import Box
from planner.printing.place_code import CODE_MM, QUIET_MM, PlaceCode, draw_code, draw_words
from planner.printing.setting import at_most_lines, largest_face, wrapped
from planner.printing.twilight import Darkness, draw_darkness
from planner.printing.type_scale import BODY, HEADING, LEAD, SMALL_BOLD, TITLES

BAND_MM = 6.0
TAG_PADDING_MM = 3.0


def twilight_band(darkness: Darkness, height: float = BAND_MM, after: float = 4.0) -> Block:
    """Return the engraved band that begins a page."""

    def paint(canvas: Canvas, box: Box) -> None:
        band = Box(box.left, box.top, box.width, height)
        draw_darkness(canvas, band, darkness)
        canvas.line((band.left, band.bottom), (band.right, band.bottom), 0.5)

    return Block(height + after, paint, keep_with_next=True)


def page_title(
    title: str, width: float, *, tag: str = "", under: str = "", also: str = "", code: PlaceCode | None = None
) -> Block:
    """Return the title of a page: large, with a black tag at the right and up to two lines below.

    A place's code stands at the far right, its white border in the page's margin, and its words below the tag.
    """
    right = width if code is None else width + QUIET_MM - CODE_MM
    beside = width if code is None else right - code.words_mm - 4.0
    tag_width = HEADING.width(tag) + 2 * TAG_PADDING_MM if tag else 0.0
    room = right - tag_width - (6.0 if tag else 0.0)
    face = largest_face(title, TITLES, room)
    below = at_most_lines(under, LEAD, beside, 2) if under else ()
    last = wrapped(also, BODY, beside) if also else ()
    text_height = face.line + len(below) * LEAD.line + len(last) * BODY.line + 3.0
    height = max(text_height, 0.0 if code is None else CODE_MM + 1.0)

    def paint(canvas: Canvas, box: Box) -> None:
        baseline = box.top + face.ascent
        canvas.text((box.left, baseline), title, face, width=room)
        tag_box = Box(box.left + right - tag_width, baseline - face.cap / 2 - 4.5, tag_width, 9.0)
        if tag:
            _paint_tag(canvas, tag_box, tag)
        if code is not None:
            draw_code(canvas, (box.left + right, box.top - QUIET_MM), code.place)
            draw_words(canvas, box.left + right, tag_box.bottom + 1.0, code)
        canvas.lines((box.left, box.top + face.line), below, LEAD)
        canvas.lines((box.left, box.top + face.line + len(below) * LEAD.line), last, BODY)

    return Block(height, paint, keep_with_next=True)


def _paint_tag(canvas: Canvas, box: Box, tag: str) -> None:
    canvas.fill(box)
    across, middle = box.centre
    canvas.text((across, middle + HEADING.cap / 2), tag, HEADING, align=Align.CENTRE, white=True)


def heading(text: str, *, before: float = 4.0) -> Block:
    """Return the head of a part: bold over a rule."""

    def paint(canvas: Canvas, box: Box) -> None:
        baseline = box.top + before + HEADING.ascent
        canvas.text((box.left, baseline), text, HEADING, width=box.width)
        rule = baseline + HEADING.descent
        canvas.line((box.left, rule), (box.right, rule), 0.4)

    return Block(before + HEADING.line + 2.0, paint, keep_with_next=True)


def running_head(text: str, darkness: Darkness) -> Block:
    """Return what heads the later pages of a section: a slim band and where one is."""
    band = 3.0

    def paint(canvas: Canvas, box: Box) -> None:
        draw_darkness(canvas, Box(box.left, box.top, box.width, band), darkness)
        canvas.line((box.left, box.top + band), (box.right, box.top + band), 0.5)
        canvas.text((box.left, box.top + band + 2.0 + SMALL_BOLD.ascent), text, SMALL_BOLD, width=box.width)

    return Block(band + 2.0 + SMALL_BOLD.line + 2.0, paint)


def notice(text: str, width: float) -> Block:
    """Return something that must not be missed: a heavy frame round bold text."""
    padding = 3.0
    lines = wrapped(text, HEADING, width - 2 * padding)
    height = len(lines) * HEADING.line + 2 * padding

    def paint(canvas: Canvas, box: Box) -> None:
        canvas.frame(Box(box.left, box.top, box.width, height).inset(0.5), 1.0)
        canvas.lines((box.left + padding, box.top + padding), lines, HEADING)

    return Block(height + 3.0, paint)
