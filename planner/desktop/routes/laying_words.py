"""What is said of a layout on the screen, and stretches of it as a person writes them."""

from __future__ import annotations

import re

from planner.desktop.routes.words import count_words, tr
from planner.desktop.units import Units
from planner.domain.errors import RuleError
from planner.usecases.laying_out import FoundLine, Laid, LaidPoint, Skipped

_STRETCHES = re.compile(r"\s*[;\n]\s*")
_FROM_TO = re.compile(r"\s*(?:-|–|\bto\b)\s*")
_THOUSANDS = re.compile(r"\d,\d{3}(?!\d)")
_PARTING = "; "


def stretch_words(from_m: float, to_m: float, units: Units) -> str:
    """Return a stretch of the line: '1200–1340 m'."""
    first, unit = units.short_length(from_m).split()
    return f"{first}–{units.short_length(to_m).split()[0]} {unit}"


def stretches_words(stretches: tuple[tuple[float, float], ...], units: Units) -> str:
    """Return stretches as a person may write them."""
    return _PARTING.join(stretch_words(first, last, units) for first, last in stretches)


def read_stretches(text: str, units: Units) -> tuple[tuple[float, float], ...]:
    """Return the stretches of '1200–1340; 2 km – 2.3 km', metres along the line; raises RuleError for what is none."""
    return tuple(_read_stretch(part, units) for part in _STRETCHES.split(text.strip()) if part)


def _read_stretch(text: str, units: Units) -> tuple[float, float]:
    if _THOUSANDS.search(text):
        raise RuleError(tr("write thousands without a comma, which could be a decimal one, found %1", repr(text)))
    ends = _FROM_TO.split(text.strip())
    if len(ends) != 2:
        raise RuleError(tr("write a stretch as from–to, such as 1200–1340, found %1", repr(text)))
    unit = ends[1].lstrip("0123456789., ")
    first = ends[0] if ends[0].lstrip("0123456789., ") else f"{ends[0]} {unit}"
    from_m, to_m = (units.read_length_m(end) for end in (first, ends[1]))
    if not 0 <= from_m < to_m:
        raise RuleError(tr("a stretch goes from less to more, found %1", repr(text)))
    return from_m, to_m


def laid_words(laid: Laid, units: Units) -> str:
    """Return a proposal of as many points as were wanted in a sentence: how many, on how long a line, how far apart."""
    first, last = laid.points[0].along_m, laid.points[-1].along_m
    span, whole = units.length(last - first), units.length(laid.length_m)
    return tr("%1 on %2 of a line of %3; they stand %4.", count_words(len(laid.points)), span, whole, laid.rule)


def stop_words(point: LaidPoint, units: Units) -> str:
    """Return what a proposed point says on the map."""
    said = tr("Proposed point %1, %2 along the line", point.number, units.length(point.along_m))
    return f"{said}: {point.note}" if point.note else said


def why_words(skipped: Skipped) -> str:
    """Return why no point may stand on a stretch."""
    return f"{skipped.why.value} ({skipped.what})" if skipped.what else skipped.why.value


def line_words(line: FoundLine, units: Units) -> str:
    """Return a line of a file, to choose it by."""
    return tr("%1, %2", line.name or tr("a line without a name"), units.length(line.length_m))
