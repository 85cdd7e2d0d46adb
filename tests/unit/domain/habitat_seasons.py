"""Invented seasons of habitat sheets: ground that is like its neighbours, and people who estimate it honestly."""

from __future__ import annotations

import datetime as dt
import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from planner.domain.field.habitat_sheet import Cover, HabitatSheet, SheetKey, SheetState, Side
from planner.domain.habitat import HabitatRule

STEP = 10
Ground = dict[str, float]
"""Percent by class, not rounded."""


@dataclass(frozen=True)
class Country:
    """The true ground of each point on each visit, and the animals in view."""

    rule: HabitatRule
    points: Mapping[str, Sequence[int]]
    ground: Mapping[tuple[str, int, int], Ground]
    herd: Mapping[tuple[str, int], int]


def country(seed: int, rule: HabitatRule, routes: int = 24, points: int = 10) -> Country:
    """Return invented ground: points of a route have its classes in like shares; crops and grass may change hands."""
    chance = random.Random(seed)
    ground, herd = {}, {}
    numbers = {f"R{route:02d}": tuple(range(1, points + 1)) for route in range(1, routes + 1)}
    for code, along in numbers.items():
        weights = _shares(chance, {one.code: chance.choice((0.15, 0.5, 1.5)) for one in rule.classes})
        for point in along:
            first = _shares(chance, {name: 6.0 * share / 100.0 + 0.02 for name, share in weights.items()})
            ground[code, 1, point] = first
            ground[code, 2, point] = _another_crop(chance, first, rule)
            herd[code, point] = chance.choice((0, 0, 0, 6, 15, 40))
    return Country(rule, numbers, ground, herd)


def estimated(
    seed: int, country: Country, error: float = 4.0, observers: Mapping[str, str] | None = None
) -> list[HabitatSheet]:
    """Return final sheets of honest people: off by at most ``error`` points in each class, and rounded to tens.

    Where rounding would put a stable class 20 points away from the visit before, the person looks again: that would be
    a finding by its very rule.
    """
    chance = random.Random(seed)
    people = observers or {}
    sheets: dict[tuple[str, int, int], HabitatSheet] = {}
    for (code, visit, point), truth in sorted(country.ground.items(), key=lambda pair: (pair[0][1], pair[0])):
        before = sheets.get((code, visit - 1, point))
        cover = _looked(chance, truth, error)
        while before is not None and _moved(cover, before.covers[0], country.rule):
            cover = _looked(chance, truth, error)
        sheets[code, visit, point] = sheet(
            SheetKey(code, visit, point, people.get(code, "V01")), cover, country, chance
        )
    return sorted(sheets.values(), key=lambda one: one.key)


def sheet(key: SheetKey, cover: Cover, country: Country, chance: random.Random) -> HabitatSheet:
    """Return a final sheet with that cover, a grazed share where animals may be, and those that show today."""
    classes = country.rule.by_code
    grazeable = sum(percent for code, percent in cover.percents if classes[code].grazeable)
    herd = country.herd[key.route, key.point]
    return HabitatSheet(
        key,
        (cover,),
        date=dt.date(2027, 5, 20) if key.visit == 1 else dt.date(2027, 6, 14),
        grazed_percent=chance.randrange(0, grazeable + 1, STEP) if herd else 0,
        livestock=max(0, round(chance.gauss(herd, herd**0.5))) if herd and chance.random() < 0.7 else 0,
        note="a quarry" if any(classes[code].needs_note and percent for code, percent in cover.percents) else "",
        state=SheetState.FINAL,
    )


def with_sheet(sheets: Sequence[HabitatSheet], changed: HabitatSheet) -> list[HabitatSheet]:
    """Return sheets among which one stands as given."""
    return [changed if one.key == changed.key else one for one in sheets]


def at(sheets: Sequence[HabitatSheet], route: str, visit: int, point: int) -> HabitatSheet:
    """Return the sheet of a point on a visit."""
    return next(one for one in sheets if (one.key.route, one.key.visit, one.key.point) == (route, visit, point))


def rekeyed(sheet: HabitatSheet, key: SheetKey) -> HabitatSheet:
    """Return what stands on a sheet under another key."""
    return replace(sheet, key=key)


def rounded(ground: Ground) -> Cover:
    """Return ground in tens that add up to 100: the largest remainders are rounded up."""
    lower = {code: int(percent // STEP) * STEP for code, percent in ground.items()}
    missing = (100 - sum(lower.values())) // STEP
    for code in sorted(ground, key=lambda code: (lower[code] - ground[code], code))[:missing]:
        lower[code] += STEP
    return Cover.of(Side.CIRCLE, [(code, percent) for code, percent in lower.items() if percent])


def _shares(chance: random.Random, weights: Mapping[str, float]) -> Ground:
    drawn = {code: chance.gammavariate(weight, 1.0) for code, weight in weights.items()}
    total = sum(drawn.values())
    return {code: 100.0 * one / total for code, one in drawn.items()}


def _another_crop(chance: random.Random, ground: Ground, rule: HabitatRule) -> Ground:
    """Let a part of one changeable class become another, but never all of the circle."""
    changeable = [one.code for one in rule.classes if not one.stable and not one.needs_note]
    one, other = chance.sample(changeable, 2)
    part = ground[one] * chance.random() if chance.random() < 0.3 and ground[one] < 80.0 else 0.0
    return ground | {one: ground[one] - part, other: ground[other] + part}


def _looked(chance: random.Random, truth: Ground, error: float) -> Cover:
    seen = {
        code: max(0.0, percent + chance.uniform(-error, error)) if percent >= 4.0 else 0.0
        for code, percent in truth.items()
    }
    total = sum(seen.values())
    return rounded({code: 100.0 * percent / total for code, percent in seen.items()})


def _moved(cover: Cover, before: Cover, rule: HabitatRule) -> bool:
    return any(one.stable and abs(cover.percent(one.code) - before.percent(one.code)) >= 20 for one in rule.classes)
