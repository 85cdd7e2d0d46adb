"""The class key as a diagram that is followed with the finger: questions in boxes, arrows, and where they lead.

A question stands in a column, and what it leads on to stands below it. Where both answers lead to questions, those of
'yes' come first, a column further in, and the line of 'no' passes them on the left. Where a question is reached a
second time, or the columns are used up, a circle with its number stands in place of the arrow.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass

from planner.domain.habitat import HabitatRule, KeyQuestion
from planner.printing.blocks import Block
from planner.printing.canvas import Align, Canvas
from planner.printing.geometry import Box, Spot
from planner.printing.setting import at_most_lines, wrapped
from planner.printing.type_scale import BODY_BOLD, HEADING, SMALL, SMALL_BOLD

MOST_COLUMNS = 5
COLUMN_MM = 12.0
LINE_MM = 6.2
"""From the left edge of a box to the lines that enter and leave it."""
EXIT_MM = 62.0
"""Room at the right for the classes: the arrow, the code, the name."""
ARROW_MM = 16.0
PILL_MM = 7.6
STROKE_MM = 0.5
TEXT_MM = 13.0
"""From the left edge of a box to its question."""


@dataclass(frozen=True, slots=True)
class KeySpacing:
    """How much room the diagram takes."""

    box_mm: float
    """Least height of a box."""
    two_exits_mm: float
    """Least height of a box with two classes beside it."""
    below_mm: float
    """Room for the lines below a box."""


SPACINGS = (KeySpacing(11.4, 20.0, 8.0), KeySpacing(9.8, 16.8, 6.2), KeySpacing(9.2, 16.0, 5.4))
"""The widest one is taken unless a narrower one saves a page."""


@dataclass(frozen=True, slots=True)
class KeyRow:
    """One question of the diagram, with all lines beside and below it."""

    question: KeyQuestion
    column: int
    exits: tuple[tuple[str, str], ...]
    """('yes' or 'no', class code or number of a question that stands elsewhere), at the right."""
    down: tuple[tuple[str, int], ...] = ()
    """('yes' or 'no', column) of the lines that leave the box below."""
    passing: tuple[int, ...] = ()
    """Columns whose lines come from further up and go on."""
    lands: int | None = None
    """Column in which a line below reaches the next question."""


@dataclass(frozen=True, slots=True)
class _Ahead:
    """A question that is still to be placed."""

    number: str
    column: int
    has_line: bool


def key_rows(rule: HabitatRule) -> tuple[KeyRow, ...]:
    """Return the questions from the top down, each once; those that nothing leads to come last."""
    rows = list(_placed(rule))
    for place, (row, after) in enumerate(itertools.pairwise(rows)):
        lines = {*row.passing, *(column for _, column in row.down)}
        if after.column in lines:
            rows[place] = KeyRow(row.question, row.column, row.exits, row.down, row.passing, lands=after.column)
    return tuple(rows)


def _placed(rule: HabitatRule) -> Iterator[KeyRow]:
    questions = {str(question.number): question for question in rule.key}
    roots = list(reversed(questions))
    known: set[str] = set()
    ahead: list[_Ahead] = []
    while ahead or roots:
        if not ahead:
            root = roots.pop()
            if root in known:
                continue
            known.add(root)
            ahead.append(_Ahead(root, 0, has_line=False))
        here = ahead.pop()
        question = questions[here.number]
        answers = (("yes", question.yes), ("no", question.no))
        on = [(word, target) for word, target in answers if target in questions and target not in known]
        if len(on) == 2 and (on[0][1] == on[1][1] or here.column + 1 >= MOST_COLUMNS):
            on = on[1:]
        known.update(target for _, target in on)
        columns = [here.column + 1, here.column] if len(on) == 2 else [here.column]
        passing = tuple(one.column for one in ahead if one.has_line)
        ahead += [_Ahead(target, column, has_line=True) for (_, target), column in zip(on, columns, strict=False)][::-1]
        exits = tuple(answer for answer in answers if answer not in on)
        down = tuple((word, column) for (word, _), column in zip(on, columns, strict=False))
        yield KeyRow(question, here.column, exits, down, passing)


def begin(width: float) -> Block:
    """Return where the finger starts: words, and an arrow into the first box."""
    height = 8.0

    def paint(canvas: Canvas, box: Box) -> None:
        across = box.left + LINE_MM
        canvas.text((across + 3.0, box.top + SMALL_BOLD.ascent), "Begin here", SMALL_BOLD, width=width - LINE_MM - 3.0)
        canvas.line((across, box.top + 0.5), (across, box.bottom - 2.0), STROKE_MM)
        _paint_tip(canvas, (across, box.bottom), down=True)

    return Block(height, paint, keep_with_next=True)


def row_block(row: KeyRow, rule: HabitatRule, width: float, spacing: KeySpacing) -> Block:
    """Return one question as it is drawn."""
    left = row.column * COLUMN_MM
    lines = wrapped(row.question.ask, BODY_BOLD, width - EXIT_MM - left - TEXT_MM - 2.0)
    least = spacing.two_exits_mm if len(row.exits) == 2 else spacing.box_mm
    tall = max(least, len(lines) * BODY_BOLD.line + 3.6)
    below = spacing.below_mm if row.down or row.passing else 3.0
    names = {one.code: one.name for one in rule.classes}

    def paint(canvas: Canvas, box: Box) -> None:
        frame = Box(box.left + left, box.top, width - EXIT_MM - left, tall)
        middle = box.top + tall / 2
        canvas.frame(frame, STROKE_MM, rounded=2.0)
        _paint_number(canvas, (frame.left + LINE_MM, middle), row.question.number)
        canvas.lines((frame.left + TEXT_MM, middle - len(lines) * BODY_BOLD.line / 2), lines, BODY_BOLD)
        for place, (word, target) in enumerate(row.exits):
            share = (place + 0.5) / len(row.exits)
            _paint_exit(canvas, (frame.right, box.top + tall * share), word, target, names.get(target))
        _paint_lines(canvas, row, Box(box.left, box.top, box.width, box.height), frame.bottom)

    return Block(tall + below, paint)


def _paint_lines(canvas: Canvas, row: KeyRow, box: Box, under: float) -> None:
    """Draw the lines that pass a question, and those that leave it below."""

    def across(column: int) -> float:
        return box.left + column * COLUMN_MM + LINE_MM

    starts = [(column, box.top - 0.1) for column in row.passing] + [(column, under) for _, column in row.down]
    for column, top in starts:
        end = box.bottom - (2.0 if column == row.lands else 0.0)
        canvas.line((across(column), top), (across(column), end), STROKE_MM)
    if row.lands is not None:
        _paint_tip(canvas, (across(row.lands), box.bottom), down=True)
    for word, column in row.down:
        canvas.text((across(column) + 2.2, under + 0.3 + SMALL_BOLD.ascent), word, SMALL_BOLD)


def _paint_exit(canvas: Canvas, spot: Spot, word: str, target: str, name: str | None) -> None:
    """Draw an arrow with 'yes' or 'no' on it, and where it leads: a class, or the number of a question elsewhere."""
    start, middle = spot
    tip = start + ARROW_MM
    canvas.text((start + 2.5, middle - 1.4), word, SMALL_BOLD)
    canvas.line((start, middle), (tip - 2.0, middle), STROKE_MM)
    _paint_tip(canvas, (tip, middle), down=False)
    if name is None:
        _paint_number(canvas, (tip + 4.2, middle), int(target), 3.6)
        return
    pill = max(HEADING.width(target) + 3.0, PILL_MM)
    canvas.fill(Box(tip + 0.6, middle - PILL_MM / 2 + 0.2, pill, PILL_MM - 0.4))
    canvas.text((tip + 0.6 + pill / 2, middle + HEADING.cap / 2), target, HEADING, align=Align.CENTRE, white=True)
    left = tip + 0.6 + pill + 2.0
    lines = at_most_lines(name, SMALL, start + EXIT_MM - left, 2)
    canvas.lines((left, middle - len(lines) * SMALL.line / 2), lines, SMALL)


def _paint_number(canvas: Canvas, spot: Spot, number: int, radius: float = 4.2) -> None:
    canvas.disc(spot, radius, width=STROKE_MM)
    canvas.text((spot[0], spot[1] + HEADING.cap / 2), str(number), HEADING, align=Align.CENTRE)


def _paint_tip(canvas: Canvas, spot: Spot, *, down: bool) -> None:
    """Draw the head of an arrow, its tip at the spot."""
    across, along = spot
    back, half = 2.6, 1.4
    if down:
        canvas.shape([spot, (across - half, along - back), (across + half, along - back)])
    else:
        canvas.shape([spot, (across - back, along - half), (across - back, along + half)])
