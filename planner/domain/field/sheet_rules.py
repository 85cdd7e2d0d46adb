"""The rules that a habitat sheet keeps before it is final, and the small sums that help while it is written."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from planner.domain.errors import RuleError
from planner.domain.field.habitat_sheet import Cover, HabitatSheet, Side
from planner.domain.finding import Rule
from planner.domain.habitat import HabitatRule

WHOLE_PERCENT = 100
SUM_FIELD = "sum"
SIDES_FIELD = "sides"
GRAZED_FIELD = "grazed"
LIVESTOCK_FIELD = "livestock"
NOTE_FIELD = "note"
_SHOWN = 60
"""Letters of what could not be read that a fault shows; all of them are kept with the sheet."""
_SIDE_WORDS = {Side.CIRCLE: "", Side.LEFT: "left of the road: ", Side.RIGHT: "right of the road: "}


@dataclass(frozen=True, slots=True)
class SheetFault:
    """One thing that keeps a sheet from being final, in words that a volunteer understands."""

    field: str
    """A class code, 'sum', 'sides', 'grazed', 'livestock' or 'note'; of an unread cell, what it was under."""
    side: Side | None
    """The estimate that it is in; None where it concerns the whole sheet."""
    what: str
    """The class and its figure first: 'tall heath 35: tens only'. The side of the road is not said."""
    todo: str
    rule: Rule

    def __str__(self) -> str:
        """The fault in words, with the side of the road."""
        return f"{_SIDE_WORDS[self.side] if self.side else ''}{self.what}"


def sheet_faults(sheet: HabitatSheet, rule: HabitatRule) -> tuple[SheetFault, ...]:
    """Return all that keeps a sheet from being final; nothing: it may be handed in.

    The covers come first, side by side and class by class in the protocol's order, then the figures and words.
    """
    faults = [*_side_faults(sheet, rule)]
    for cover in sheet.covers:
        faults += _cover_faults(cover, rule)
    faults += [*_grazed_faults(sheet, rule), *_livestock_faults(sheet, rule), *_note_faults(sheet, rule)]
    return (*faults, *_unread_faults(sheet, rule))


def asked_sides(rule: HabitatRule) -> tuple[Side, ...]:
    """Return what the protocol has estimated at each point: the circle, or the left and right of the road."""
    return (Side.LEFT, Side.RIGHT) if rule.sides_of_road else (Side.CIRCLE,)


def missing_percent(cover: Cover) -> int:
    """Return how many percent are still to be given; below 0: so many too many."""
    return WHOLE_PERCENT - cover.total


def with_percent(cover: Cover, code: str, percent: int | None) -> Cover:
    """Return a cover in which a class has that percentage; None leaves it blank."""
    others = [(other, share) for other, share in cover.percents if other != code]
    return Cover.of(cover.side, others if percent is None else [*others, (code, percent)])


def with_rest(cover: Cover, code: str) -> Cover:
    """Return a cover in which a class takes all that the others leave of 100; where they leave nothing it has 0.

    Raises:
        RuleError: the others come to more than 100 already.
    """
    others = cover.total - cover.percent(code)
    if others > WHOLE_PERCENT:
        raise RuleError(f"the other classes come to {others} already: nothing is left of 100")
    return with_percent(cover, code, WHOLE_PERCENT - others)


def grazeable_percent(sheet: HabitatSheet, rule: HabitatRule) -> int:
    """Return how much of the ground can be grazed, in percent of the circle; of two sides, the mean rounded up."""
    classes = rule.by_code
    grazeable = [
        sum(percent for code, percent in cover.percents if code not in classes or classes[code].grazeable)
        for cover in sheet.covers
    ]
    return -(-sum(grazeable) // len(grazeable))


def step_words(rule: HabitatRule) -> str:
    """Return the protocol's step in words: 'tens only'."""
    return {1: "whole numbers only", 10: "tens only"}.get(rule.step_percent, f"steps of {rule.step_percent} only")


def _side_faults(sheet: HabitatSheet, rule: HabitatRule) -> Iterator[SheetFault]:
    found = tuple(cover.side for cover in sheet.covers)
    if found == asked_sides(rule):
        return
    if rule.sides_of_road:
        what, todo = "one estimate for the whole circle", "Estimate the left and the right of the road apart."
    else:
        what, todo = "left and right of the road apart", "Give one estimate for the whole circle."
    yield SheetFault(SIDES_FIELD, None, what, todo, Rule.SHEET_MISSING)


def _cover_faults(cover: Cover, rule: HabitatRule) -> Iterator[SheetFault]:
    order = {one.code: place for place, one in enumerate(rule.classes)}
    for code, percent in sorted(cover.percents, key=lambda pair: (order.get(pair[0], len(order)), pair[0])):
        yield from _percent_faults(cover.side, code, percent, rule)
    missing = missing_percent(cover)
    if missing:
        many = f"{missing} {'is' if missing == 1 else 'are'} missing" if missing > 0 else f"{-missing} too many"
        what = f"adds up to {cover.total}: {many}"
        yield SheetFault(SUM_FIELD, cover.side, what, "Make the classes add up to exactly 100.", Rule.SHEET_SUM)


def _percent_faults(side: Side, code: str, percent: int, rule: HabitatRule) -> Iterator[SheetFault]:
    known = rule.by_code.get(code)
    if known is None:
        codes = ", ".join(one.code for one in rule.classes)
        what, todo = f"{code} {percent}: there is no class {code!r}", f"Use one of {codes}."
        yield SheetFault(code, side, what, todo, Rule.SHEET_CLASS)
        return
    if percent % rule.step_percent:
        near = _nearest_steps(percent, rule.step_percent)
        what = f"{known.name} {percent}: {step_words(rule)}"
        yield SheetFault(code, side, what, f"Write {near}.", Rule.SHEET_STEP)
    if percent > WHOLE_PERCENT:
        what = f"{known.name} {percent}: no class covers more than 100"
        yield SheetFault(code, side, what, "Write 100 or less.", Rule.SHEET_SUM)


def _nearest_steps(percent: int, step: int) -> str:
    below = percent // step * step
    return f"{below} or {below + step}" if below < WHOLE_PERCENT else str(WHOLE_PERCENT)


def _grazed_faults(sheet: HabitatSheet, rule: HabitatRule) -> Iterator[SheetFault]:
    grazed = sheet.grazed_percent

    def fault(what: str, todo: str, broken: Rule) -> SheetFault:
        return SheetFault(GRAZED_FIELD, None, what, todo, broken)

    if not rule.grazed_share:
        if grazed is not None:
            yield fault(f"grazed {grazed}: the protocol does not ask for it", "Clear it.", Rule.SHEET_GRAZED)
        return
    if grazed is None:
        yield fault("the grazed share is blank", "Write how much is grazed, 0 where nothing is.", Rule.SHEET_MISSING)
        return
    if grazed % rule.step_percent:
        near = _nearest_steps(grazed, rule.step_percent)
        yield fault(f"grazed {grazed}: {step_words(rule)}", f"Write {near}.", Rule.SHEET_STEP)
    most = grazeable_percent(sheet, rule)
    if grazed > most:
        what = (
            f"grazed {grazed}: only {most} can be grazed" if most else f"grazed {grazed}: nothing there can be grazed"
        )
        yield fault(what, f"Write {most} or less, or mend the classes.", Rule.SHEET_GRAZED)


def _livestock_faults(sheet: HabitatSheet, rule: HabitatRule) -> Iterator[SheetFault]:
    if not rule.livestock and sheet.livestock is not None:
        what = f"livestock {sheet.livestock}: the protocol does not ask for it"
        yield SheetFault(LIVESTOCK_FIELD, None, what, "Clear it.", Rule.SHEET_GRAZED)
    if rule.livestock and sheet.livestock is None:
        todo = "Count the domestic animals in view, 0 where there are none; wild ones do not count."
        yield SheetFault(LIVESTOCK_FIELD, None, "the livestock is blank", todo, Rule.SHEET_MISSING)


def _note_faults(sheet: HabitatSheet, rule: HabitatRule) -> Iterator[SheetFault]:
    if sheet.note.strip():
        return
    for one in rule.classes:
        percent = max(cover.percent(one.code) for cover in sheet.covers)
        if one.needs_note and percent:
            what, todo = f"{one.name} {percent}: it needs a note", "Say in the note what it is."
            yield SheetFault(NOTE_FIELD, None, what, todo, Rule.SHEET_NOTE)


def _unread_faults(sheet: HabitatSheet, rule: HabitatRule) -> Iterator[SheetFault]:
    classes = rule.by_code
    for cell in sheet.unread:
        name = classes[cell.field].name if cell.field in classes else cell.field
        shown = cell.text if len(cell.text) <= _SHOWN else f"{cell.text[: _SHOWN - 1]}…"
        what, todo = f"{name} {shown!r}: not understood", "Write the figure that is meant, or clear it."
        yield SheetFault(cell.field, None, what, todo, Rule.SHEET_UNREAD)
