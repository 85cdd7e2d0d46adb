"""The sheets on which habitat is written down: a point's whole estimate in one place, boxes that add up to 100."""

from __future__ import annotations

import math
from dataclasses import dataclass

from planner.domain.habitat import HabitatClass, HabitatRule
from planner.domain.itinerary import DayPlan
from planner.domain.outing import StepKind
from planner.domain.route import Point
from planner.printing.blocks import Block, Section
from planner.printing.canvas import Align, Canvas
from planner.printing.fields import field, field_row
from planner.printing.fonts import Face
from planner.printing.geometry import Box
from planner.printing.place_code import CODE_MM, QUIET_MM, draw_code
from planner.printing.setting import at_most_lines
from planner.printing.type_scale import BODY, BODY_BOLD, CLOCK, HEADING, SMALL, SMALL_BOLD
from planner.printing.wording import radius_words

NUMBER = Face(26, bold=True)
HEAD_MM = 19.5
FIELD_MM = 13.0
GAP_MM = 2.4
SUM_MM = 26.0
PADDING_MM = 2.0
CELL_MM = (15.6, 31.0)
"""Least and most height of a class's box."""
ENTRY_MM = 17.0


@dataclass(frozen=True, slots=True)
class SheetLook:
    """How the boxes of a protocol's classes are laid out."""

    rule: HabitatRule
    columns: int
    cell_mm: float

    @property
    def class_rows(self) -> int:
        """How many rows of boxes there are."""
        return math.ceil(len(self.rule.classes) / self.columns)

    @property
    def height(self) -> float:
        """Height of one point's estimate."""
        return _FIXED_MM + self.class_rows * (self.cell_mm + GAP_MM)

    @property
    def sides(self) -> tuple[str, ...]:
        """The estimates of each class: one circle, or the two sides of the road."""
        return ("left", "right") if self.rule.sides_of_road else ("",)


_FIXED_MM = HEAD_MM + 2 * FIELD_MM + GAP_MM + 3 * PADDING_MM


def sheet_look(rule: HabitatRule, room: float) -> SheetLook:
    """Return the layout that lets two points share a page with ``room`` millimetres, or fills it with one."""
    rows = math.ceil(len(rule.classes) / (3 if rule.sides_of_road else 4))
    columns = math.ceil(len(rule.classes) / rows)
    least, most = CELL_MM
    for share in (room / 2, room):
        cell = (share - _FIXED_MM) / rows - GAP_MM
        if cell >= least:
            return SheetLook(rule, columns, min(cell, most))
    return SheetLook(rule, columns, least)


def points_for_habitat(day: DayPlan) -> tuple[Point, ...]:
    """Return the points whose habitat this outing estimates, in the order in which it does so.

    A set-up finds and marks a point and does its habitat in one piece of work. None where another person of the
    team writes the sheets.
    """
    if not day.writes_habitat:
        return ()
    work = [step.point for step in day.outing.steps if step.kind in (StepKind.HABITAT, StepKind.SETUP)]
    numbers = dict.fromkeys(point for point in work if point is not None)
    return tuple(day.route.point(number) for number in numbers)


def habitat_sheets(day: DayPlan, rule: HabitatRule, head: Block, content: Box) -> Section | None:
    """Return the sheets of one outing, two points to a page; None where no habitat is estimated."""
    points = points_for_habitat(day)
    if not points:
        return None
    look = sheet_look(rule, content.height - head.height - 0.5)
    return Section((head, *(_point_block(point, look) for point in points)), head)


def _point_block(point: Point, look: SheetLook) -> Block:
    def paint(canvas: Canvas, box: Box) -> None:
        top = box.top + PADDING_MM
        _paint_head(canvas, Box(box.left, top, box.width, HEAD_MM), point, look)
        top += HEAD_MM
        for number, one in enumerate(look.rule.classes):
            _paint_class(canvas, _cell(box, top, number, look), one, look)
        top += look.class_rows * (look.cell_mm + GAP_MM)
        _paint_totals(canvas, Box(box.left, top, box.width, FIELD_MM), look)
        top += FIELD_MM + GAP_MM
        field(canvas, Box(box.left, top, box.width, FIELD_MM), _note_label(look.rule))
        canvas.line((box.left, box.bottom - 1.0), (box.right, box.bottom - 1.0), 0.6)

    return Block(look.height, paint)


def _paint_head(canvas: Canvas, box: Box, point: Point, look: SheetLook) -> None:
    centre = (box.left + 8.6, box.top + 8.6)
    canvas.disc(centre, 8.3, width=0.8)
    canvas.text((centre[0], centre[1] + NUMBER.cap / 2), str(point.number), NUMBER, align=Align.CENTRE)
    corner = box.right + QUIET_MM - CODE_MM, box.top - QUIET_MM
    draw_code(canvas, corner, point.place)
    left, room = box.left + 21.0, corner[0] - box.left - 21.0
    step = look.rule.step_percent
    how = "tens only" if step == 10 else f"steps of {step} %"
    words = f"{radius_words(look.rule)}; {how}."
    canvas.text((left, box.top + BODY_BOLD.ascent), words, BODY_BOLD, width=room)
    lines = at_most_lines(f"{point.place}   {point.note}", BODY, room, 2)
    canvas.lines((left, box.top + BODY_BOLD.line + 0.5), lines, BODY)
    scan = (corner[0], box.top + HEAD_MM - QUIET_MM - SMALL.descent)
    canvas.text(scan, f"Scan: point {point.number} on your map", SMALL, align=Align.RIGHT)


def _cell(box: Box, top: float, number: int, look: SheetLook) -> Box:
    width = (box.width - GAP_MM * (look.columns - 1)) / look.columns
    row, column = divmod(number, look.columns)
    return Box(box.left + column * (width + GAP_MM), top + row * (look.cell_mm + GAP_MM), width, look.cell_mm)


def _paint_class(canvas: Canvas, cell: Box, one: HabitatClass, look: SheetLook) -> None:
    entries = len(look.sides) * ENTRY_MM
    room = cell.width - entries - 2.5
    canvas.text((cell.left + 1.5, cell.top + 0.3 + HEADING.ascent), one.code, HEADING, width=room)
    names = at_most_lines(one.name, SMALL, room, 2)
    canvas.lines((cell.left + 1.5, cell.top + HEADING.line - 0.7), names, SMALL)
    for number, side in enumerate(look.sides):
        entry = Box(cell.right - entries + number * ENTRY_MM, cell.top, ENTRY_MM, cell.height)
        field(canvas, entry, side, "%")
    canvas.frame(cell, 0.35)


def _paint_totals(canvas: Canvas, box: Box, look: SheetLook) -> None:
    """Draw the small questions, and at the right what the boxes add up to."""
    words = "= 100"
    left = box.right - CLOCK.width(words) - len(look.sides) * (SUM_MM + 1.0) - 1.0
    field_row(canvas, Box(box.left, box.top, left - box.left - GAP_MM, box.height), _asked(look.rule), GAP_MM)
    for side in look.sides:
        entry = Box(left, box.top, SUM_MM, box.height)
        canvas.frame(entry, 0.9)
        canvas.text((entry.left + 1.8, entry.top + 0.8 + SMALL_BOLD.ascent), f"SUM {side}".strip(), SMALL_BOLD)
        left += SUM_MM + 1.0
    canvas.text((box.right, box.centre[1] + CLOCK.cap / 2), words, CLOCK, align=Align.RIGHT)


def _asked(rule: HabitatRule) -> list[tuple[str, str]]:
    asked = [("Grazed", "%")] if rule.grazed_share else []
    asked += [("Livestock", "domestic")] if rule.livestock else []
    return [*asked, ("Time", ""), ("Initials", "")]


def _note_label(rule: HabitatRule) -> str:
    wanting = [one.code for one in rule.classes if one.needs_note]
    note = f"Note (needed for {', '.join(wanting)})" if wanting else "Note"
    return f"{note}; other species of concern seen"
