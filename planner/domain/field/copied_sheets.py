"""Sheets that repeat others to the last figure: written off from the point before, or from the visit before.

That two sheets are the same is no proof. Ground of one kind is 100 % wherever one stands, neighbours are alike, and
careful people write the same for the same point again. So each repeated sheet is weighed: how many bits of chance it
would have taken to come out the same by itself. Only a run of sheets that weighs more than honest people repeat is
called a copy; one of three classes or more that repeats the point before is at least pointed out. The weights are our
own, with no published source; they were held against simulated seasons.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from planner.domain.field.agreement import comparable
from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey
from planner.domain.habitat import HabitatRule

POINT_BITS = 12.0
"""From this on sheets that repeat the point before are said: four classes, most of it grazed, and a herd of ten, or two
sheets on end of four classes. Our own bound."""
ALIKE_BITS = 5.0
"""From this on sheets that repeat the point before are pointed out, though neighbours may well be alike: three classes,
and nothing grazed. Our own bound."""
WHOLE_VISIT_BITS = 15.0
"""From this on all sheets of a visit that repeat the visit before are said: ten points of three or four classes, say,
fewer where animals are in view. Our own bound."""
PART_VISIT_BITS = 20.0
"""From this on a run of some of its sheets is said. Our own bound."""
_CLASS_BITS = 0.6
"""That a class comes out the same on another visit: two times out of three, the whole being rounded to tens."""


@dataclass(frozen=True, slots=True)
class CopiedRun:
    """Sheets that repeat others, each with the one that it repeats."""

    pairs: tuple[tuple[SheetKey, SheetKey], ...]
    """(the sheet that was there, the one that repeats it), along the route."""
    from_visit: bool
    """Whether they repeat the visit before; else the point before."""
    bits: float
    """How much chance it would have taken."""

    @property
    def by_chance(self) -> bool:
        """Whether honest people may have written the same: it is pointed out, and not called a copy."""
        return not self.from_visit and self.bits < POINT_BITS


Explained = Callable[[HabitatSheet], bool]
"""Whether a sheet that repeats the point before cannot be right anyway: its own visit before says otherwise."""


def copied_from_points(row: Sequence[HabitatSheet], rule: HabitatRule, wrong_anyway: Explained) -> list[CopiedRun]:
    """Return the runs of sheets that repeat the point before, those by chance among them.

    Args:
        row: sheets of one person on one visit, along the route; where a point has none, the one before it counts.
        rule: how habitat is estimated.
        wrong_anyway: tells of a sheet that its own visit before speaks against it; two classes are enough then.
    """
    found: list[CopiedRun] = []
    for before, sheet in itertools.pairwise(row):
        if not _same(before, sheet):
            continue
        bits = _bits_between_points(sheet, rule)
        if bits and wrong_anyway(sheet):
            bits = max(bits, POINT_BITS)
        last = found[-1] if found else None
        if last is not None and last.pairs[-1][1] == before.key:
            found[-1] = CopiedRun((*last.pairs, (before.key, sheet.key)), from_visit=False, bits=last.bits + bits)
        else:
            found.append(CopiedRun(((before.key, sheet.key),), from_visit=False, bits=bits))
    return [run for run in found if run.bits >= ALIKE_BITS]


def copied_from_visit(row: Sequence[HabitatSheet], earlier: Mapping[int, Iterable[HabitatSheet]]) -> list[CopiedRun]:
    """Return the runs of sheets that repeat the visit before.

    Args:
        row: sheets of one person on one visit, along the route.
        earlier: sheets of the visit before, by the number of the point.
    """
    found: list[CopiedRun] = []
    running = False
    held_against = 0
    for sheet in row:
        held_against += any(comparable(one, sheet) for one in earlier.get(sheet.key.point, ()))
        same = next((one for one in earlier.get(sheet.key.point, ()) if _same(one, sheet)), None)
        if same is None:
            running = False
            continue
        pair, bits = (same.key, sheet.key), _bits_between_visits(sheet)
        if running:
            found[-1] = CopiedRun((*found[-1].pairs, pair), from_visit=True, bits=found[-1].bits + bits)
        else:
            found.append(CopiedRun((pair,), from_visit=True, bits=bits))
        running = True
    return [
        run for run in found if run.bits >= (WHOLE_VISIT_BITS if len(run.pairs) == held_against else PART_VISIT_BITS)
    ]


def _same(one: HabitatSheet, other: HabitatSheet) -> bool:
    """Whether two sheets have the same figures; what was only left blank counts as 0."""
    return (
        comparable(one, other)
        and all(_written(a.percents) == _written(b.percents) for a, b in zip(one.covers, other.covers, strict=True))
        and (one.grazed_percent or 0, one.livestock or 0) == (other.grazed_percent or 0, other.livestock or 0)
    )


def _written(percents: Sequence[tuple[str, int]]) -> tuple[tuple[str, int], ...]:
    return tuple((code, percent) for code, percent in percents if percent)


def _bits_between_points(sheet: HabitatSheet, rule: HabitatRule) -> float:
    """Return the bits of all ways in which its classes can share 100, a grazed share can stand, animals can be there.

    That neighbours have the same classes at all is given to them.
    """
    steps = 100 // rule.step_percent
    bits = 0.0
    for cover in sheet.covers:
        bits += math.log2(math.comb(steps - 1, len(_written(cover.percents)) - 1) or 1)
    if not bits:
        return 0.0
    bits += math.log2(max((sheet.grazed_percent or 0) / rule.step_percent, 1.0))
    return bits + math.log2((sheet.livestock or 0) + 1)


def _bits_between_visits(sheet: HabitatSheet) -> float:
    classes = sum(len(_written(cover.percents)) - 1 for cover in sheet.covers)
    classes += 0 < (sheet.grazed_percent or 0) < 100
    bits = _CLASS_BITS * classes
    if sheet.livestock:  # a herd in view varies by about the root of its number
        bits += math.log2(2.0 * math.sqrt(sheet.livestock) + 1.0)
    return bits
