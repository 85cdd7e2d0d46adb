"""Habitat classes that cannot be where they might be written down: set and cleared by the coordinator."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from planner.domain.errors import RuleError
from planner.domain.field.absent_class import EVERY_POINT, AbsentClass
from planner.domain.season import Season
from planner.store import Changed, SeasonFile


def mark_absent(file: SeasonFile, absent: Iterable[AbsentClass]) -> Changed:
    """Say that classes are not found at a point, or on a whole route, as one step; what was said before stays.

    Raises:
        RuleError: nothing is given, or one names a route, point or class that there is not.
    """
    given, season = tuple(absent), file.season()
    for one in given:
        _refuse_strange(season, one)
    label = f"Habitat that cannot be there: {absent_words(season, given)}"
    return _kept(file, season, {*season.absent_classes, *given}, label)


def clear_absent(file: SeasonFile, absent: Iterable[AbsentClass]) -> Changed:
    """Take back what was said of classes, as one step; what was not said is passed over.

    Raises:
        RuleError: nothing is given.
    """
    given, season = tuple(absent), file.season()
    label = f"Habitat that may be there again: {absent_words(season, given)}"
    return _kept(file, season, {*season.absent_classes} - {*given}, label)


def absent_words(season: Season, absent: Iterable[AbsentClass]) -> str:
    """Return absent classes in words: 'crops at R01, open water at R02 point 3'; of many the first and how many more.

    Raises:
        RuleError: there are none.
    """
    names = {one.code: one.name for one in season.protocol.habitat.classes} if season.protocol.habitat else {}
    words = [
        f"{names.get(one.class_code, one.class_code)} at {one.route}"
        + (f" point {one.point}" if one.point != EVERY_POINT else "")
        for one in sorted(absent)
    ]
    if not words:
        raise RuleError("name at least one class, and where it is meant")
    more = f" and {len(words) - 3} more" if len(words) > 3 else ""
    return ", ".join(words[:3]) + more


def _kept(file: SeasonFile, season: Season, absent: set[AbsentClass], label: str) -> Changed:
    with file.step(label) as step:
        file.save_season(replace(season, absent_classes=tuple(sorted(absent))))
    return step.changed


def _refuse_strange(season: Season, absent: AbsentClass) -> None:
    route = season.route(absent.route)
    if absent.point != EVERY_POINT:
        route.point(absent.point)
    rule = season.protocol.habitat
    if rule is None or absent.class_code not in rule.by_code:
        codes = ", ".join(one.code for one in rule.classes) if rule else "none"
        raise RuleError(f"no habitat class {absent.class_code!r} in this season; there are {codes}")
