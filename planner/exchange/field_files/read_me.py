"""What the first sheet of a fill-in workbook says: how it is filled in, what the classes are, and to take care."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from planner.domain.habitat import POLE_SPACING_M, HabitatRule, KeyQuestion
from planner.exchange.field_files.form import FillIn, TableKind

CARE = (
    "Local law, the land manager's rules and the survey's own safety rules come first, before this file.",
    "Write it up at home, never while driving. In the dark pull fully off the road before you note anything.",
    "A point that is not safe is left out: say so in its note. No count is worth an accident.",
)


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the first sheet: what it is about, and what is said of it."""

    said: str
    about: str = ""
    heading: bool = False


def read_me_lines(fill_in: FillIn) -> tuple[Line, ...]:
    """Return the lines of the first sheet, from the top."""
    return tuple(_lines(fill_in))


def _lines(fill_in: FillIn) -> Iterator[Line]:
    form = fill_in.form
    yield Line(f"What came back from the field: {form.season}", heading=True)
    yield Line(f"{fill_in.volunteer} {fill_in.name}".strip(), "for")
    yield Line(form.mark, "season")
    yield Line("How to fill it in", heading=True)
    yield from (Line(said) for said in _how(fill_in))
    if form.habitat is not None:
        yield from _habitat(form.habitat)
    yield Line("Care and safety", heading=True)
    yield from (Line(said) for said in (*CARE, *fill_in.cautions))
    yield Line("Whose file this is", heading=True)
    yield Line(
        "It holds your own outings alone, and the places of wildlife behind its codes. Send it back to the coordinator"
        " and to nobody else."
    )


def _how(fill_in: FillIn) -> Iterator[str]:
    form = fill_in.form
    yield "Fill in the pale cells. The others say which point it is, or are worked out; locked without a password."
    if form.habitat is not None:
        step = form.habitat.step_percent
        yield (
            f"Habitat: percent of each class in steps of {step}, together exactly 100 for each"
            f" {'side of the road' if form.habitat.sides_of_road else 'point'}. A class that is not there stays empty."
        )
        yield "The sum turns green at 100 and is red below and above it; beside it stands how much is still to give."
        yield from _blanks(form.habitat)
    yield "Times by the 24-hour clock: 21:40. After midnight write 00:12; it still belongs to the evening it began on."
    yield "If two of you went, one of you fills in times and weather; where two files differ it is asked."
    yield "Habitat may be estimated by both, each in their own file; kilometres each writes down for the own car."
    yield "A row that stays empty is not read. An emptied cell takes nothing back: write 0, or say it in the note."
    if any(table.kind is TableKind.VISITS for table in fill_in.tables):
        yield "A visit finished on another evening: a row of its own at the end of the sheet 'Visits'."
    yield "What you cannot fit in goes into the note. Nothing you write is lost: what cannot be read is asked back."


def _blanks(rule: HabitatRule) -> Iterator[str]:
    """Yield what must be filled in at every point, also where there is none of it."""
    asked = [
        name for name, is_asked in (("grazed share", rule.grazed_share), ("livestock", rule.livestock)) if is_asked
    ]
    if asked:
        yield f"{' and '.join(asked).capitalize()}: write 0 where there is none. Left empty, the row stays a draft."


def _habitat(rule: HabitatRule) -> Iterator[Line]:
    yield Line("Habitat classes", heading=True)
    yield Line(f"{_radius(rule)} Look all round before you write.", "circle")
    for one in rule.classes:
        kept = "It should not change between visits" if one.stable else "It may change between visits"
        name = f"{one.name[:1].upper()}{one.name[1:]}"
        said = ". ".join(part.rstrip(".") for part in (name, one.hint, kept) if part)
        yield Line(f"{said}.{' Say in the note what it is.' if one.needs_note else ''}", one.code)
    if rule.key:
        yield Line("Which class is it?", heading=True)
        yield from (_question(question, rule) for question in rule.key)


def _radius(rule: HabitatRule) -> str:
    metres = f"{rule.radius.metres:,.0f} m".replace(",", " ")
    own = f" ({rule.radius})" if rule.radius.unit != "m" else ""
    spans = f"{rule.spans:.2g}"
    return (
        f"Within {metres}{own} of the point: about {spans} span{'' if spans == '1' else 's'} between poles, which"
        f" commonly stand about {POLE_SPACING_M} m apart (common practice, no published source)."
    )


def _question(question: KeyQuestion, rule: HabitatRule) -> Line:
    names = {one.code: one.name for one in rule.classes}

    def leads(target: str) -> str:
        return names.get(target, f"question {target}")

    said = f"{question.ask.rstrip()}  Yes: {leads(question.yes)}.  No: {leads(question.no)}."
    return Line(said, f"question {question.number}")
