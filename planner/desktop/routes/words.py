"""What is said of routes, points, findings and fixes on the screen."""

from __future__ import annotations

import datetime as dt
import math
import re

from PySide6.QtCore import QCoreApplication

from planner.desktop.units import Units
from planner.domain.finding import Severity
from planner.usecases.route_fixes import Fix, FixKind, RouteFigures, WeighedFix
from planner.usecases.routes.moving_point import MovingPoint, Neighbour

DASH = "–"
_NOISE = 1e-6
"""Minutes that are no more than rounding."""


def tr(text: str, *values: object) -> str:
    """Return a text in the person's language, with %1, %2 … filled in."""
    said = QCoreApplication.translate("routes", text)
    return re.sub(r"%(\d)", lambda place: str(values[int(place[1]) - 1]), said) if values else said


def listed(values: tuple[object, ...] | list[object]) -> str:
    """Return values in a row: '1, 2 and 3'."""
    *first, last = [str(value) for value in values] or [""]
    return tr("%1 and %2", ", ".join(first), last) if first else last


def severity_words(severity: Severity | None) -> str:
    """Return a severity in a word; None: nothing is wrong."""
    if severity is None:
        return tr("in order")
    return {
        Severity.BROKEN: tr("broken"),
        Severity.TROUBLE: tr("trouble"),
        Severity.DOUBT: tr("doubt"),
        Severity.NOTE: tr("note"),
    }[severity]


def day_words(day: dt.date) -> str:
    """Return a date as it is said: 'Tue 8 Jun'."""
    return f"{day:%a} {day.day} {day:%b}"


def minutes_words(minutes: float | None) -> str:
    """Return minutes as a margin is said: '11 min', '16 min too long'; None: there is no window."""
    if minutes is None:
        return tr("no window")
    if math.isinf(minutes):
        return tr("no road")
    whole = math.floor(minutes + _NOISE)
    return tr("%1 min", whole) if whole >= 0 else tr("%1 min too long", -whole)


def drive_words(minutes: float | None, decimals: int = 0) -> str:
    """Return the minutes of a drive; a dash where there is none."""
    if minutes is None:
        return DASH
    return tr("no road") if math.isinf(minutes) else tr("%1 min", f"{minutes:.{decimals}f}")


def length_words(metres: float | None, units: Units) -> str:
    """Return a distance along a route; a dash where there is none."""
    if metres is None:
        return DASH
    return tr("no road") if math.isinf(metres) else units.length(metres)


def short_words(metres: float | None, units: Units) -> str:
    """Return a distance between points, whole metres or yards; a dash where there is none."""
    if metres is None:
        return DASH
    return tr("no road") if math.isinf(metres) else units.short_length(metres)


def points_words(numbers: tuple[int, ...]) -> str:
    """Return points by their numbers: 'point 7', 'points 6 and 7'."""
    return tr("point %1", numbers[0]) if len(numbers) == 1 else tr("points %1", listed(list(numbers)))


def count_words(count: int) -> str:
    """Return how many points: '1 point', '10 points'."""
    return tr("1 point") if count == 1 else tr("%1 points", count)


def route_line(figures: RouteFigures, units: Units) -> str:
    """Return a route in a line: margin and length."""
    if not figures.points:
        return tr("no points yet")
    margin = figures.margin_minutes
    light = tr("no window") if margin is None else tr("margin %1 min", _signed(margin))
    return f"{light} · {length_words(figures.length_m, units)}"


def fix_title(fix: Fix) -> str:
    """Return what a fix does, as its button says it."""
    points = points_words(fix.numbers) if fix.numbers else ""
    return {
        FixKind.REVERSE: tr("Turn the order round"),
        FixKind.REORDER: tr("Put into the shortest order"),
        FixKind.RENUMBER: tr("Number from 1 to %1", len(fix.after.points)),
        FixKind.DROP: tr("Drop %1", points),
        FixKind.TO_ROAD: tr("Move %1 to the road", points),
        FixKind.SPACE_OUT: tr("Move %1 along the road", points),
        FixKind.TO_ROAD_SPACED: tr("Move %1 to the road and along it", points),
        FixKind.SWAP: tr("Swap latitude and longitude of %1", points),
        FixKind.TURN_SIGN: tr("Turn the sign of %1", points),
        FixKind.NO_LEAD: tr("Take the lead off the route"),
    }[fix.kind]


def fix_verb(kind: FixKind) -> str:
    """Return what a fix does in a word, for its button."""
    return {
        FixKind.REVERSE: tr("Turn"),
        FixKind.REORDER: tr("Put"),
        FixKind.RENUMBER: tr("Number"),
        FixKind.DROP: tr("Drop"),
        FixKind.TO_ROAD: tr("Move"),
        FixKind.SPACE_OUT: tr("Move"),
        FixKind.TO_ROAD_SPACED: tr("Move"),
        FixKind.SWAP: tr("Swap"),
        FixKind.TURN_SIGN: tr("Turn"),
        FixKind.NO_LEAD: tr("Take off"),
    }[kind]


def fix_effect(weighed: WeighedFix, units: Units) -> str:
    """Return what a fix changes, in a sentence or two: margin, drive, spacing, how far, findings that come."""
    before, after = weighed.before.figures, weighed.after.figures
    parts = [
        _margin_change(tr("margin"), before.margin_minutes, after.margin_minutes),
        _change(tr("drive"), drive_words(before.drive_minutes), drive_words(after.drive_minutes)),
        _change(
            tr("nearest neighbours"),
            short_words(before.least_apart_m, units),
            short_words(after.least_apart_m, units),
        ),
    ]
    if weighed.fix.furthest_m:
        one = len(weighed.fix.numbers) == 1
        far = units.short_length(weighed.fix.furthest_m)
        parts.append(tr("moved by %1", far) if one else tr("moved by %1 at most", far))
    said = ", ".join(part for part in parts if part) or tr("margin, drive and spacing stay as they are")
    said = f"{said[:1].upper()}{said[1:]}."
    if weighed.come:
        said += " " + tr("It would bring: %1", " ".join(finding.what for finding in weighed.come))
    return said


def moving_words(moving: MovingPoint, units: Units) -> str:
    """Return what a point under the cursor comes to."""
    parts = [neighbour_words(one, units) for one in (moving.before, moving.behind) if one is not None]
    change = moving.drive_change_minutes
    if math.isinf(change):
        parts.append(tr("no road leads there"))
    elif parts:
        parts.append(tr("drive along the route %1 min", f"{change:+.1f}".replace("-", "−")))
    if moving.overlapping:
        parts.append(tr("circle overlaps with %1", points_words(moving.overlapping)))
    if moving.to_road_m is None:
        parts.append(tr("no road near"))
    return tr("Point %1: %2.", moving.number, "; ".join(parts))


def neighbour_words(neighbour: Neighbour, units: Units) -> str:
    """Return the way to a neighbour: spacing now and before, and whether it is as the protocol wants."""
    now, was = (short_words(one, units) for one in (neighbour.apart_m, neighbour.was_apart_m))
    said = tr("%1 from %2 (was %3)", now, points_words((neighbour.number,)), was)
    return said if neighbour.spaced else tr("%1, not as the protocol wants", said)


def _signed(minutes: float) -> str:
    """Return whole minutes of a margin with a true minus: never more than there are."""
    return f"{math.floor(minutes + _NOISE)}".replace("-", "−")


def _margin_change(what: str, before: float | None, after: float | None) -> str:
    """Return how a margin changes; empty where it stays as it is said."""
    if before is None or after is None:
        return _change(what, minutes_words(before), minutes_words(after))
    then, now = _signed(before), _signed(after)
    return "" if then == now else tr("%1 %2 → %3 min", what, then, now)


def _change(what: str, before: str, after: str) -> str:
    """Return how something said changes, a unit that both have said once; empty where it stays."""
    if before == after:
        return ""
    figure, _, unit = before.rpartition(" ")
    shared = unit and after.endswith(f" {unit}")
    return tr("%1 %2 → %3", what, figure if shared else before, after)
