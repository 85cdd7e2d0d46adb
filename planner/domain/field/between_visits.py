"""What habitat sheets say when each is held against the visit before: ground that moved, points that were swapped."""

from __future__ import annotations

import itertools
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from planner.domain.field.agreement import comparable, complete, sheets_overlap
from planner.domain.field.copied_sheets import CopiedRun, copied_from_points, copied_from_visit
from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey, Side
from planner.domain.habitat import HabitatRule

MOVED_POINTS = 20
"""A stable class that moves by so many points of percent or more is said: the design's figure. Less is what two people,
or one person on two days, differ by."""
SWAPPED_GAIN_PERCENT = 20
"""By so much the sheets of two swapped points must each fit the other's visit before better than their own: the same
20 points; our own bound."""
SWAPPED_FIT_PERCENT = 60
"""So much each must share with the other's visit before: our own bound, that of two people at one point."""

Earlier = Mapping[int, Sequence[HabitatSheet]]
"""Sheets of the visit before, by the number of the point."""


@dataclass(frozen=True, slots=True)
class Move:
    """A class that stands otherwise than on the visit before."""

    side: Side
    code: str
    before: int
    after: int
    turned: bool
    """Whether it covered nothing and covers all, or the other way round."""


@dataclass(frozen=True, slots=True)
class MovedSheet:
    """A sheet whose ground moved more than it should."""

    earlier: SheetKey
    later: SheetKey
    moves: tuple[Move, ...]
    """Side by side, in the protocol's order of classes."""


@dataclass(frozen=True, slots=True)
class SwappedSheets:
    """Two sheets of one visit that fit each other's point better than their own, by the visit before."""

    first: SheetKey
    second: SheetKey
    own_percent: float
    """How much they share with the visit before at their own points, in the mean."""
    crossed_percent: float
    """How much they share with the visit before at each other's points, in the mean."""


@dataclass(frozen=True, slots=True)
class BetweenVisits:
    """What the sheets of a season say when held against each other; each cause is said once.

    Sheets that were swapped or written off from the point before are not said to have moved as well. Nothing is said
    against figures that somebody confirmed; what repeats others is told unless all that repeat them are confirmed.
    """

    moved: tuple[MovedSheet, ...]
    swapped: tuple[SwappedSheets, ...]
    copied: tuple[CopiedRun, ...]
    alike: tuple[CopiedRun, ...] = ()
    """Sheets that repeat the point before and may do so by chance."""


def between_visits(
    sheets: Iterable[HabitatSheet], rule: HabitatRule, points: Mapping[str, Sequence[int]]
) -> BetweenVisits:
    """Hold the sheets of each route against the point and the visit before; drafts count once they add up to 100.

    Where a point was estimated by several people, a sheet is held against the same person's, else against the one
    that it fits best.

    Args:
        sheets: in any order.
        rule: how habitat is estimated.
        points: the numbers of each route's points along the route, by its code; sheets of others are passed over.
    """
    of_route: dict[str, list[HabitatSheet]] = defaultdict(list)
    for sheet in sorted(sheets, key=lambda sheet: sheet.key):
        if sheet.key.point in points.get(sheet.key.route, ()) and complete(sheet):
            of_route[sheet.key.route].append(sheet)
    found = [_RouteSheets(theirs, rule, points[code]).said() for code, theirs in sorted(of_route.items())]
    return BetweenVisits(
        tuple(one for said in found for one in said.moved),
        tuple(one for said in found for one in said.swapped),
        tuple(one for said in found for one in said.copied),
        tuple(one for said in found for one in said.alike),
    )


def moves(earlier: HabitatSheet, later: HabitatSheet, rule: HabitatRule) -> tuple[Move, ...]:
    """Return stable classes that moved by 20 points or more, and any class that went from 0 to 100 or back."""
    found = []
    for was, is_now in zip(earlier.covers, later.covers, strict=True):
        for one in rule.classes:
            before, after = was.percent(one.code), is_now.percent(one.code)
            turned = abs(after - before) >= 100
            if turned or (one.stable and abs(after - before) >= MOVED_POINTS):
                found.append(Move(is_now.side, one.code, before, after, turned))
    return tuple(found)


class _RouteSheets:
    """The sheets of one route, visit by visit."""

    def __init__(self, sheets: Sequence[HabitatSheet], rule: HabitatRule, points: Sequence[int]) -> None:
        self._rule = rule
        self._place = {number: place for place, number in enumerate(points)}
        self._visits: dict[int, dict[str, list[HabitatSheet]]] = defaultdict(lambda: defaultdict(list))
        for sheet in sorted(sheets, key=lambda sheet: (sheet.key.visit, self._place[sheet.key.point])):
            self._visits[sheet.key.visit][sheet.key.observer].append(sheet)

    def said(self) -> BetweenVisits:
        """Return all that is to be said of them."""
        earlier: dict[int, list[HabitatSheet]] = {}
        moved: list[MovedSheet] = []
        swapped: list[SwappedSheets] = []
        copied: list[CopiedRun] = []
        for by_observer in self._visits.values():
            latest: dict[int, list[HabitatSheet]] = defaultdict(list)
            for row in by_observer.values():
                strangers = [sheet for sheet in row if self._moved(sheet, earlier)]
                swaps, runs = _swaps(strangers, earlier), self._copies(row, earlier)
                swapped += swaps
                copied += runs
                stands_for = {pair.first.point: pair.second.point for pair in swaps}
                stands_for |= {second: first for first, second in stands_for.items()}
                explained = {key for run in runs if not (run.from_visit or run.by_chance) for _, key in run.pairs}
                for sheet in row:
                    point = stands_for.get(sheet.key.point, sheet.key.point)
                    latest[point].append(sheet)
                    if point == sheet.key.point and sheet.key not in explained:
                        moved += self._moved(sheet, earlier)
            earlier |= latest
        return BetweenVisits(
            tuple(moved),
            tuple(swapped),
            tuple(run for run in copied if not run.by_chance),
            tuple(run for run in copied if run.by_chance),
        )

    def _copies(self, row: Sequence[HabitatSheet], earlier: Earlier) -> list[CopiedRun]:
        def wrong_anyway(sheet: HabitatSheet) -> bool:
            return any(self._moved(sheet, earlier))

        said = {sheet.key for sheet in row if sheet.is_confirmed}
        runs = copied_from_points(row, self._rule, wrong_anyway) + copied_from_visit(row, earlier)
        return [run for run in runs if any(copy not in said for _, copy in run.pairs)]

    def _moved(self, sheet: HabitatSheet, earlier: Earlier) -> list[MovedSheet]:
        before = None if sheet.is_confirmed else _held_against(sheet, earlier)
        found = moves(before, sheet, self._rule) if before is not None else ()
        return [MovedSheet(before.key, sheet.key, found)] if before is not None and found else []


def _held_against(sheet: HabitatSheet, earlier: Earlier) -> HabitatSheet | None:
    """Return the sheet of the same point that a sheet is held against: the same person's, else the one it fits best."""
    there = [one for one in earlier.get(sheet.key.point, ()) if comparable(one, sheet)]
    return max(
        there, key=lambda one: (one.key.observer == sheet.key.observer, sheets_overlap(one, sheet)), default=None
    )


def _swaps(strangers: Sequence[HabitatSheet], earlier: Earlier) -> tuple[SwappedSheets, ...]:
    """Return the pairs of one person's sheets that were swapped; the clearest first, each sheet once.

    Only sheets whose ground moved are looked at: a swap explains what must not be, and where both points differ in
    nothing but crops, it may be that the crops changed.
    """
    pairs = [_pair(one, other, earlier) for one, other in itertools.combinations(strangers, 2)]
    clear = [pair for pair in pairs if pair is not None]
    taken: set[SheetKey] = set()
    found = []
    for pair in sorted(clear, key=lambda pair: (pair.own_percent - pair.crossed_percent, pair.first, pair.second)):
        if not taken & {pair.first, pair.second}:
            taken |= {pair.first, pair.second}
            found.append(pair)
    return tuple(found)


def _pair(one: HabitatSheet, other: HabitatSheet, earlier: Earlier) -> SwappedSheets | None:
    """Return two sheets as swapped ones where each fits the other's point clearly better than its own."""
    own = [_fit(sheet, sheet.key.point, earlier) for sheet in (one, other)]
    crossed = [_fit(one, other.key.point, earlier), _fit(other, one.key.point, earlier)]
    clear = all(away - home >= SWAPPED_GAIN_PERCENT for home, away in zip(own, crossed, strict=True))
    if not clear or min(crossed) < SWAPPED_FIT_PERCENT:
        return None
    return SwappedSheets(one.key, other.key, sum(own) / 2, sum(crossed) / 2)


def _fit(sheet: HabitatSheet, point: int, earlier: Earlier) -> float:
    """Return how much a sheet shares with the best fitting one of that point on the visit before.

    Where there is none to hold it against, it fits: nothing is known against it.
    """
    there = (sheets_overlap(one, sheet) for one in earlier.get(point, ()) if comparable(one, sheet))
    return max(there, default=100.0)
