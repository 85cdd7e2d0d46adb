"""How to tell the habitat classes apart: the short key as questions with arrows, and what each class means."""

from __future__ import annotations

from collections.abc import Iterator

from planner.domain.habitat import HabitatClass, HabitatRule, KeyQuestion
from planner.printing.blocks import Block, Rows, Section, filled_pages, paragraph
from planner.printing.canvas import Align, Canvas
from planner.printing.geometry import Box, Spot
from planner.printing.headings import heading, page_title, running_head, twilight_band
from planner.printing.setting import at_most_lines, wrapped
from planner.printing.twilight import nightfall
from planner.printing.type_scale import BODY, BODY_BOLD, HEADING, SMALL, SMALL_BOLD
from planner.printing.wording import radius_words

ANSWER_MM = 62.0
QUESTIONS_MM = (20.5, 18.4)
"""Heights of a question; the larger is taken unless the smaller one saves a page."""
PILL_MM = 7.6


def class_key(rule: HabitatRule, content: Box) -> Section:
    """Return the page that explains the classes; more pages where they are many."""
    choices = [_key(rule, content.width, question_mm) for question_mm in QUESTIONS_MM]
    return min(choices, key=lambda section: len(filled_pages(section, content)))


def _key(rule: HabitatRule, width: float, question_mm: float) -> Section:
    items = [
        twilight_band(nightfall),
        page_title("Which class is it?", width, under=f"{radius_words(rule)}. Look all round before you write."),
    ]
    if rule.key:
        items.append(_start(rule.key[0]))
    items += [_question(question, rule, width, question_mm) for question in rule.key]
    rows = (*(_class(one, width) for one in rule.classes), *_changes(rule, width))
    classes = Rows(heading("The classes"), rows, whole=True)
    return Section((*items, classes), running_head("Which class is it?", nightfall))


def _changes(rule: HabitatRule, width: float) -> Iterator[Block]:
    stable = [one.code for one in rule.classes if one.stable]
    changeable = [one.code for one in rule.classes if not one.stable]
    if stable:
        yield paragraph(f"Should not change between visits: {', '.join(stable)}.", BODY, width)
    if changeable:
        yield paragraph(f"May change with the season: {', '.join(changeable)}.", BODY, width)


def _start(first: KeyQuestion) -> Block:
    def paint(canvas: Canvas, box: Box) -> None:
        canvas.text((box.left, box.top + SMALL.ascent), f"Begin with question {first.number}.", SMALL)

    return Block(SMALL.line + 1.5, paint, keep_with_next=True)


def _question(question: KeyQuestion, rule: HabitatRule, width: float, least: float) -> Block:
    room = width - ANSWER_MM - 18.0
    lines = wrapped(question.ask, BODY_BOLD, room)
    height = max(least, len(lines) * BODY_BOLD.line + 4.0)
    names = {one.code: one.name for one in rule.classes}

    def paint(canvas: Canvas, box: Box) -> None:
        middle = box.top + height / 2
        _paint_number(canvas, (box.left + 5.0, middle), question.number)
        canvas.lines((box.left + 13.0, middle - len(lines) * BODY_BOLD.line / 2), lines, BODY_BOLD)
        left = box.right - ANSWER_MM
        for word, answer, down in (("yes", question.yes, -4.4), ("no", question.no, 4.4)):
            _paint_answer(canvas, (left, middle + down), word, answer, names.get(answer))
        canvas.line((box.left, box.bottom), (box.right, box.bottom), 0.15)

    return Block(height, paint)


def _paint_number(canvas: Canvas, spot: Spot, number: int, radius: float = 4.2) -> None:
    canvas.disc(spot, radius, width=0.5)
    canvas.text((spot[0], spot[1] + HEADING.cap / 2), str(number), HEADING, align=Align.CENTRE)


def _paint_answer(canvas: Canvas, spot: Spot, word: str, answer: str, name: str | None) -> None:
    """Draw 'yes' or 'no', an arrow, and where it leads: a class in a black box, or the next question's number."""
    left, middle = spot
    canvas.text((left, middle + SMALL_BOLD.cap / 2), word, SMALL_BOLD)
    _paint_arrow(canvas, (left + 8.5, middle), 8.0)
    target = left + 19.0
    if name is None:
        _paint_number(canvas, (target + 3.6, middle), int(answer), 3.6)
        return
    width = max(HEADING.width(answer) + 3.0, PILL_MM)
    canvas.fill(Box(target, middle - PILL_MM / 2 + 0.2, width, PILL_MM - 0.4))
    canvas.text((target + width / 2, middle + HEADING.cap / 2), answer, HEADING, align=Align.CENTRE, white=True)
    room = ANSWER_MM - 19.0 - width - 2.0
    lines = at_most_lines(name, SMALL, room, 2)
    canvas.lines((target + width + 2.0, middle - len(lines) * SMALL.line / 2), lines, SMALL)


def _paint_arrow(canvas: Canvas, spot: Spot, length: float) -> None:
    left, middle = spot
    canvas.line((left, middle), (left + length - 2.0, middle), 0.5)
    tip = left + length
    canvas.shape([(tip, middle), (tip - 2.6, middle - 1.4), (tip - 2.6, middle + 1.4)])


def _class(one: HabitatClass, width: float) -> Block:
    left = 22.0
    needs = " Write a note." if one.needs_note else ""
    said = f"{one.name}. {one.hint}{needs}" if one.hint else f"{one.name}.{needs}"
    lines = wrapped(said, BODY, width - left)

    def paint(canvas: Canvas, box: Box) -> None:
        canvas.text((box.left, box.top + BODY_BOLD.ascent), one.code, BODY_BOLD, width=left - 2.0)
        canvas.lines((box.left + left, box.top), lines, BODY)

    return Block(len(lines) * BODY.line + 1.5, paint)
