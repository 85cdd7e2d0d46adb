"""Percentages, counts and words as people write them into cells."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from planner.domain.conditions import MEASURES, Condition, Seen
from planner.domain.errors import RuleError
from planner.domain.field.habitat_sheet import MOST_FIGURE
from planner.domain.field.visit_record import Stopped
from planner.domain.measures import Measure
from planner.domain.weather import Quantity
from planner.exchange.field_files.bad_cells import Unclear

_PERCENT = re.compile(r"(?P<figure>[0-9]{1,9}(?:[.,][0-9]{1,9})?)\s*(?P<sign>%|percent|pct|p\.?c\.?)?", re.IGNORECASE)
_WHOLE = re.compile(r"(?P<figure>[0-9]{1,9})(?:[.,]0{1,9})?")
_FIGURE = re.compile(r"(?P<figure>[0-9]{1,9}(?:[.,][0-9]{1,9})?)(?:\s*km)?", re.IGNORECASE)
_NOTHING = frozenset({"-", "–", "—", "−", "/", "none", "nil", "no", "nothing"})
"""Written where there is nothing of a class."""
_CROSS = frozenset({"x", "X", "×", "✗"})
"""Crossed out, or ticked: nothing of the class only where the others come to 100 without it."""
_NEAR = 1e-6
_PERCENT_WANTED = "a whole percentage from 0 to 100"
_YES = frozenset({"yes", "y", "true", "1", "done", "ja", "oui", "si", "sí", "✓", "✔"})
_NO = frozenset({"no", "n", "false", "0", "not done", "nein", "non"})


@dataclass(frozen=True, slots=True)
class Share:
    """A percentage as it stands in a cell, before its row and its table tell how it is meant."""

    figure: float
    signed: bool = False
    """It is followed by a percent sign, so that it can mean one thing alone."""
    crossed: bool = False
    """A cross in place of a figure."""

    @property
    def fraction(self) -> bool:
        """Whether it lies between 0 and 1 without a percent sign: 0.2 in place of 20."""
        return not self.signed and not self.crossed and 0 < self.figure < 1

    @property
    def at_most_one(self) -> bool:
        """Whether it could be a share of 1."""
        return not self.signed and not self.crossed and self.figure <= 1


def is_figure(text: str) -> bool:
    """Whether a cell holds a figure, or a formula that makes one."""
    return _PERCENT.fullmatch(text) is not None or text.startswith("=")


def share(text: str) -> Share | None:
    """Read a cell of a class; None where it is empty.

    Raises:
        Unclear: it is no percentage.
    """
    if not text:
        return None
    if text.casefold() in _NOTHING:
        return Share(0.0, signed=True)
    if text in _CROSS:
        return Share(0.0, crossed=True)
    match = _PERCENT.fullmatch(text)
    if match is None:
        raise Unclear(_PERCENT_WANTED, _percent_todo(text))
    return Share(float(match["figure"].replace(",", ".")), signed=match["sign"] is not None)


def _percent_todo(text: str) -> str:
    if text.startswith("="):
        return "Open the workbook in a spreadsheet and save it, or write the figure in place of the formula."
    if text.startswith("#"):
        return "Mend the formula, or write the figure in its place."
    return "Write a number alone, such as 20."


def of_fractions(shares: Sequence[Share]) -> bool:
    """Whether figures are shares of 1: none is above it, and at least one lies between."""
    plain = [one for one in shares if not one.signed and not one.crossed]
    return any(one.fraction for one in plain) and all(one.at_most_one for one in plain)


def percent_of(one: Share, *, fractions: bool, others: float) -> int:
    """Return a class's whole percentage.

    Args:
        one: as it stands in the cell.
        fractions: whether the figures of its row or its table are shares of 1.
        others: what the other classes of the row come to, in percent.

    Raises:
        Unclear: it could be meant in two ways, or is no whole percentage.
    """
    if one.crossed:
        if abs(others - 100) < _NEAR:
            return 0
        raise Unclear(_PERCENT_WANTED, "Write 0 if there is none of it, else how much; the others do not make 100.")
    figure = in_percent(one, fractions=fractions)
    whole = round(figure)
    if one.fraction and not fractions:
        wanted = f"{_PERCENT_WANTED}; {one.figure:g} could be {one.figure:g} % or {100 * one.figure:g} %"
        raise Unclear(wanted, f"Write {100 * one.figure:.0f} if you mean that.")
    if abs(figure - whole) > _NEAR:
        raise Unclear(_PERCENT_WANTED, f"Write {whole} if that is near enough.")
    if whole > MOST_FIGURE:
        raise Unclear(_PERCENT_WANTED, "Correct the figure.")
    return whole


def in_percent(one: Share, *, fractions: bool) -> float:
    """Return a figure in percent."""
    return 100 * one.figure if fractions and not one.signed else one.figure


def animals(text: str) -> int | None:
    """Read a count of animals; None where the cell is empty.

    Raises:
        Unclear: it is none.
    """
    if not text:
        return None
    if text.casefold() in _NOTHING:
        return 0
    match = _WHOLE.fullmatch(text)
    if match is None or int(match["figure"]) > MOST_FIGURE:
        wanted = f"a whole number of domestic animals from 0 to {MOST_FIGURE}"
        raise Unclear(wanted, "Write the number alone; which animals they are goes into the note.")
    return int(match["figure"])


def kilometres(text: str) -> float | None:
    """Read a distance; None where the cell is empty.

    Raises:
        Unclear: it is none.
    """
    if not text:
        return None
    match = _FIGURE.fullmatch(text)
    figure = float(match["figure"].replace(",", ".")) if match else -1.0
    if not 0 <= figure <= 5000:
        raise Unclear("kilometres from 0 to 5000", "Write a number alone; a mile is 1.609 km.")
    return figure


def yes_or_no(text: str) -> bool | None:
    """Read yes or no; None where the cell is empty.

    Raises:
        Unclear: it is neither.
    """
    word = text.casefold()
    if not word:
        return None
    if word in _YES or word in _CROSS:
        return True
    if word in _NO:
        return False
    raise Unclear("yes or no", "Write one of the two.")


def stopped_by(text: str) -> Stopped | None:
    """Read why somebody stopped; None where the cell is empty.

    Raises:
        Unclear: it is no reason that is known.
    """
    word = text.casefold().strip(" .!")
    if not word or word in _NOTHING:
        return None
    try:
        return Stopped(word)
    except ValueError:
        words = ", ".join(one.value for one in Stopped)
        raise Unclear(f"one of {words}", "Choose the nearest, or 'other', and say more in the note.") from None


_SEEN: Mapping[str, Seen] = {one.value: one for one in Seen} | {"no": Seen.NONE, "yes": Seen.SOME}
_SEEN_WORDS = ", ".join(one.value for one in Seen)


def condition(quantity: Quantity, text: str, unit: str) -> Condition | None:
    """Read what is said of one quantity of the weather: a figure, a word, or both ('12 km/h, within').

    Args:
        quantity: which.
        text: the cell.
        unit: of a figure that stands alone; empty where none is said.

    Raises:
        Unclear: it is neither.
    """
    if not text:
        return None
    figure, comma, word = (part.strip() for part in text.rpartition(", "))
    said = word.casefold()
    try:
        if said in _SEEN:
            return Condition(quantity, _measure(quantity, figure, unit) if comma else None, _SEEN[said])
        return Condition(quantity, _measure(quantity, text, unit))
    except RuleError as error:
        name = quantity.value.replace("_", " ")
        if quantity not in MEASURES:
            raise Unclear(f"{name} as one of {_SEEN_WORDS}", "Choose one of the words.") from error
        usual = unit or next(iter(MEASURES[quantity].FACTORS))
        wanted = f"{name} as a figure with its unit, such as 12 {usual}, or one of {_SEEN_WORDS}"
        raise Unclear(wanted, "Write the figure and its unit.") from error


def _measure(quantity: Quantity, text: str, unit: str) -> Measure:
    plain = text.replace(",", ".").replace("°", " ").replace("º", " ").replace("%", " %")
    alone = re.fullmatch(r"[-+]?[0-9]+(?:\.[0-9]+)?", plain)
    kind = MEASURES.get(quantity)
    if kind is None:
        raise RuleError("it is told in words")
    return kind.measured(f"{plain} {unit}" if alone and unit else plain)
