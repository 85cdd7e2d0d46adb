"""Heads of pages and of the parts of a page."""

from __future__ import annotations

from planner.printing.blocks import Block
from planner.printing.canvas import Align, Canvas
from planner.printing.geometry import Box
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


def page_title(title: str, width: float, *, tag: str = "", under: str = "", also: str = "") -> Block:
    """Return the title of a page: large, with a black tag at the right and up to two lines below."""
    tag_width = HEADING.width(tag) + 2 * TAG_PADDING_MM if tag else 0.0
    room = width - tag_width - (6.0 if tag else 0.0)
    face = largest_face(title, TITLES, room)
    below = at_most_lines(under, LEAD, width, 2) if under else ()
    last = wrapped(also, BODY, width) if also else ()
    height = face.line + len(below) * LEAD.line + len(last) * BODY.line + 3.0

    def paint(canvas: Canvas, box: Box) -> None:
        baseline = box.top + face.ascent
        canvas.text((box.left, baseline), title, face, width=room)
        if tag:
            _paint_tag(canvas, Box(box.right - tag_width, baseline - face.cap / 2 - 4.5, tag_width, 9.0), tag)
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
