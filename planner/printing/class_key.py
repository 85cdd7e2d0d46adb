"""How to tell the habitat classes apart: the short key as a diagram, and what each class means."""

from __future__ import annotations

from collections.abc import Iterator

from planner.domain.habitat import HabitatClass, HabitatRule
from planner.printing.blocks import Block, Rows, Section, filled_pages, paragraph
from planner.printing.canvas import Canvas
from planner.printing.geometry import Box
from planner.printing.headings import heading, page_title, running_head, twilight_band
from planner.printing.key_diagram import SPACINGS, KeySpacing, begin, key_rows, row_block
from planner.printing.setting import wrapped
from planner.printing.twilight import nightfall
from planner.printing.type_scale import BODY, BODY_BOLD
from planner.printing.wording import radius_words

SPANS_MARK = "Pole spans: common practice, no published source."
"""Said once on paper; behind other words, for the key fills its page."""


def class_key(rule: HabitatRule, content: Box) -> Section:
    """Return the page that explains the classes; more pages where they are many."""
    choices = [_key(rule, content.width, spacing) for spacing in SPACINGS]
    return min(choices, key=lambda section: len(filled_pages(section, content)))


def _key(rule: HabitatRule, width: float, spacing: KeySpacing) -> Section:
    items = [
        twilight_band(nightfall),
        page_title("Which class is it?", width, under=f"{radius_words(rule)}. Look all round before you write."),
    ]
    if rule.key:
        items.append(begin(width))
    items += [row_block(row, rule, width, spacing) for row in key_rows(rule)]
    rows = (*(_class(one, width) for one in rule.classes), *_changes(rule, width))
    classes = Rows(heading("The classes"), rows, whole=True)
    return Section((*items, classes), running_head("Which class is it?", nightfall))


def _changes(rule: HabitatRule, width: float) -> Iterator[Block]:
    stable = [one.code for one in rule.classes if one.stable]
    changeable = [one.code for one in rule.classes if not one.stable]
    said = [
        *([f"Should not change between visits: {', '.join(stable)}."] if stable else []),
        *([f"May change with the season: {', '.join(changeable)}."] if changeable else []),
    ]
    said[-1] += f" {SPANS_MARK}"
    yield from (paragraph(one, BODY, width) for one in said)


def _class(one: HabitatClass, width: float) -> Block:
    left = 22.0
    needs = " Write a note." if one.needs_note else ""
    said = f"{one.name}. {one.hint}{needs}" if one.hint else f"{one.name}.{needs}"
    lines = wrapped(said, BODY, width - left)

    def paint(canvas: Canvas, box: Box) -> None:
        canvas.text((box.left, box.top + BODY_BOLD.ascent), one.code, BODY_BOLD, width=left - 2.0)
        canvas.lines((box.left + left, box.top), lines, BODY)

    return Block(len(lines) * BODY.line + 1.5, paint)
