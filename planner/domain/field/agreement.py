"""How well two estimates of the same ground agree: by class, as an overlap, and over a season."""

from __future__ import annotations

import itertools
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from planner.domain.field.habitat_sheet import Cover, HabitatSheet, SheetKey
from planner.domain.habitat import HabitatRule

LOW_OVERLAP_PERCENT = 60
"""Two people whose sheets of one point share less than this saw different ground, or called it by different names: our
own bound. Differences of 10 points in each of six classes, and so of all honest rounding, leave 70 or more."""


@dataclass(frozen=True, slots=True)
class PointAgreement:
    """Two people's sheets of one point on one visit, side by side."""

    first: SheetKey
    second: SheetKey
    differences: tuple[tuple[str, float], ...]
    """(class code, percent of the second less percent of the first), in the protocol's order; classes that neither has
    are left out. Of two sides of the road, the mean."""
    overlap_percent: float
    dominant: tuple[str, str]
    """The class that covers most, by each of them."""

    @property
    def most_disputed(self) -> str:
        """The class on which they differ most; empty where they agree on all."""
        return _furthest(self.differences)


@dataclass(frozen=True, slots=True)
class ClassAgreement:
    """How far apart people are on one class, over several points."""

    code: str
    points: int
    """Points where one of them, or both, gave it something."""
    mean_difference: float
    """Percent of the second less percent of the first, in the mean over those points."""
    mean_absolute_difference: float


@dataclass(frozen=True, slots=True)
class Agreement:
    """How well people agree over several points."""

    points: tuple[PointAgreement, ...]
    classes: tuple[ClassAgreement, ...]
    """In the protocol's order; classes that nobody used are left out."""
    mean_overlap_percent: float
    same_dominant: int
    """Points where both have the same class cover most."""
    kappa: float | None
    """Cohen's kappa of the class that covers most: 1 is full agreement, 0 what chance alone would give; None where
    both have one and the same class everywhere, for chance would agree as well."""

    @property
    def most_disputed(self) -> str:
        """The class on which they differ most in the mean over all points; empty where they agree on all."""
        return _furthest((one.code, one.mean_absolute_difference * one.points) for one in self.classes)


def overlap_percent(one: Cover, other: Cover) -> int:
    """Return how much two covers of 100 share: the sum over all classes of the smaller percentage.

    It is 100 times one less the Bray-Curtis dissimilarity of the two (Renkonen 1938, 'percentage similarity'; Bray and
    Curtis 1957), both cited from memory.
    """
    there = dict(other.percents)
    return sum(min(percent, there.get(code, 0)) for code, percent in one.percents)


def sheets_overlap(one: HabitatSheet, other: HabitatSheet) -> float:
    """Return how much two sheets share in percent; of two sides of the road, the mean of both."""
    shared = [overlap_percent(a, b) for a, b in zip(one.covers, other.covers, strict=True)]
    return sum(shared) / len(shared)


def comparable(one: HabitatSheet, other: HabitatSheet) -> bool:
    """Whether two sheets can be held against each other: the same sides, each adding up to 100."""
    sides = [cover.side for cover in one.covers] == [cover.side for cover in other.covers]
    return sides and complete(one) and complete(other)


def complete(sheet: HabitatSheet) -> bool:
    """Whether all of the ground is estimated on a sheet, be it a draft or final."""
    return all(cover.total == 100 for cover in sheet.covers)


def point_agreements(sheets: Iterable[HabitatSheet], rule: HabitatRule) -> tuple[PointAgreement, ...]:
    """Return every two sheets of one point and visit by two people, by route, visit, point and observers."""
    at: dict[tuple[str, int, int], list[HabitatSheet]] = defaultdict(list)
    for sheet in sorted(sheets, key=lambda sheet: sheet.key):
        at[sheet.key.route, sheet.key.visit, sheet.key.point].append(sheet)
    return tuple(
        agreed(one, other, rule)
        for there in at.values()
        for one, other in itertools.combinations(there, 2)
        if comparable(one, other)
    )


def agreed(one: HabitatSheet, other: HabitatSheet, rule: HabitatRule) -> PointAgreement:
    """Return how well two comparable sheets agree."""
    used = {code for sheet in (one, other) for cover in sheet.covers for code, percent in cover.percents if percent}
    order = _in_order(used, rule)
    differences = tuple((code, _mean_percent(other, code) - _mean_percent(one, code)) for code in order)
    return PointAgreement(one.key, other.key, differences, sheets_overlap(one, other), _dominant(one, other, order))


def agreement(points: Iterable[PointAgreement], rule: HabitatRule) -> Agreement | None:
    """Return how well people agree over several points; None where there are none."""
    all_points = tuple(points)
    if not all_points:
        return None
    differences: dict[str, list[float]] = defaultdict(list)
    for point in all_points:
        for code, difference in point.differences:
            differences[code].append(difference)
    return Agreement(
        points=all_points,
        classes=tuple(_class_agreement(code, differences[code]) for code in _in_order(differences, rule)),
        mean_overlap_percent=sum(point.overlap_percent for point in all_points) / len(all_points),
        same_dominant=sum(first == second for first, second in (point.dominant for point in all_points)),
        kappa=cohens_kappa([point.dominant for point in all_points]),
    )


def by_people(points: Iterable[PointAgreement], rule: HabitatRule) -> Mapping[tuple[str, str], Agreement]:
    """Return how well each two people agree, by the codes of both."""
    of_two: dict[tuple[str, str], list[PointAgreement]] = defaultdict(list)
    for point in points:
        of_two[point.first.observer, point.second.observer].append(point)
    found = {people: agreement(theirs, rule) for people, theirs in sorted(of_two.items())}
    return {people: one for people, one in found.items() if one is not None}


def cohens_kappa(pairs: Sequence[tuple[str, str]]) -> float | None:
    """Return Cohen's kappa of pairs of names given to the same things (Cohen 1960).

    It is (p - e) / (1 - e): p the share of pairs that agree, e the share that would if each gave names as often as they
    did, but by chance. None where e is 1, or there are no pairs.
    """
    if not pairs:
        return None
    total = len(pairs)
    firsts, seconds = Counter(first for first, _ in pairs), Counter(second for _, second in pairs)
    by_chance = sum(count * seconds[name] for name, count in firsts.items())
    if by_chance == total * total:
        return None
    agreeing = sum(first == second for first, second in pairs)
    return (agreeing * total - by_chance) / (total * total - by_chance)


def _in_order(codes: Iterable[str], rule: HabitatRule) -> list[str]:
    """Return codes in the protocol's order; those that it does not know come last."""
    order = {one.code: place for place, one in enumerate(rule.classes)}
    return sorted(codes, key=lambda code: (order.get(code, len(order)), code))


def _class_agreement(code: str, differences: Sequence[float]) -> ClassAgreement:
    count = len(differences)
    return ClassAgreement(code, count, sum(differences) / count, sum(map(abs, differences)) / count)


def _mean_percent(sheet: HabitatSheet, code: str) -> float:
    return sum(cover.percent(code) for cover in sheet.covers) / len(sheet.covers)


def _dominant(one: HabitatSheet, other: HabitatSheet, order: Sequence[str]) -> tuple[str, str]:
    """Return the class that covers most by each; where several do, one that both have so, else the protocol's first."""
    tops = []
    for sheet in (one, other):
        percents = {code: _mean_percent(sheet, code) for code in order}
        most = max(percents.values())
        tops.append([code for code, percent in percents.items() if percent == most])
    shared = [code for code in tops[0] if code in tops[1]]
    return (shared[0], shared[0]) if shared else (tops[0][0], tops[1][0])


def _furthest(differences: Iterable[tuple[str, float]]) -> str:
    """Return the class with the largest difference, the first of equals; empty where there is none above 0."""
    code, most = max(differences, key=lambda pair: abs(pair[1]), default=("", 0.0))
    return code if most else ""
