"""A way on in words: what a card says of it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QCoreApplication

from planner.desktop.today.words import short_day
from planner.domain.plan import PlannedVisit
from planner.domain.season import Season
from planner.scheduling import Move, WayOn

MOST_CODES = 6
MOST_NAMES = 3
"""People named on a card; more are counted."""


def _tr(text: str) -> str:
    return QCoreApplication.translate("ways on", text)


def headline(way: WayOn, season: Season) -> str:
    """Return who changes and whether other visits move, in a sentence or two."""
    joins = sorted({code for move in way.moves for code in move.changed_people})
    people = _tr("The same people go")
    if joins:
        people = _tr("People change: %1").replace("%1", _people(joins, season))
    others = sum(move.moves_visit and move.key not in way.broken for move in way.moves)
    if not others:
        return f"{people}; " + _tr("no other visit moves.")
    return f"{people}; " + _tr("other visits that move: %1.").replace("%1", str(others))


def facts(way: WayOn, season: Season) -> tuple[tuple[str, str], ...]:
    """Return what follows from a way: name and value of each, in one order for all ways."""
    gap = way.tightest_gap
    apart = _tr("%1 days, %2 asked for (%3)")
    shown = (
        apart.replace("%1", str(gap.days)).replace("%2", str(gap.least_days)).replace("%3", gap.route)
        if gap is not None
        else "–"
    )
    bare = listed([str(key) for key in way.without_reserve])
    return (
        (_tr("Driving"), _driving(way.drive_change_minutes)),
        (_tr("Without reserve"), bare or _tr("none")),
        (_tr("Tightest gap"), shown),
        (_tr("Visits filled"), f"{way.filled_before} → {way.filled_after}"),
        (_tr("Fresh papers"), _papers(way, season)),
    )


def move_line(move: Move) -> str:
    """Return one visit's move in a line: 'R03 visit 2: Fri 4 Jun → Sun 6 Jun'."""
    return f"{move.key}: {change(move)}"


def change(move: Move) -> str:
    """Return what becomes of one visit, short."""
    before, after = move.before, move.after
    if after is None:
        return _tr("%1 → no date").replace("%1", short_day(before.date))
    parts = []
    if after.date != before.date:
        parts.append(f"{short_day(before.date)} → {short_day(after.date)}")
    if after.people != before.people:
        parts.append(f"{' + '.join(before.people)} → {' + '.join(after.people)}")
    if not parts:
        parts.append(_tr("stays on %1; other reserve or set-up").replace("%1", short_day(after.date)))
    return ", ".join(parts)


def stand(visit: PlannedVisit | None) -> str:
    """Return how a visit stands in a plan: date, what is held in reserve, set-up."""
    if visit is None:
        return _tr("not filled")
    held = _tr("reserve %1").replace("%1", short_day(visit.reserve)) if visit.reserve else _tr("no reserve")
    return f"{short_day(visit.date)}\n{held}" + (f"\n{_setup(visit)}" if visit.setup is not None else "")


def who(move: Move, season: Season) -> str:
    """Return who goes, and who went before where that differs."""
    names = [season.volunteer(code).name for code in move.before.people]
    if move.after is None or move.after.people == move.before.people:
        return "\n".join(names)
    before = ", ".join(names)
    after = ", ".join(season.volunteer(code).name for code in move.after.people)
    return f"{before}\n→ {after}"


def listed(codes: list[str]) -> str:
    """Return codes parted by commas; of many the first, and how many more there are."""
    if len(codes) <= MOST_CODES:
        return ", ".join(codes)
    more = _tr("and %1 more").replace("%1", str(len(codes) - MOST_CODES + 1))
    return f"{', '.join(codes[: MOST_CODES - 1])} {more}"


def _setup(visit: PlannedVisit) -> str:
    return _tr("set-up %1").replace("%1", short_day(visit.setup)) if visit.setup is not None else ""


def _driving(minutes: float) -> str:
    whole = round(minutes)
    if not whole:
        return _tr("as before")
    if abs(whole) == 1:
        return _tr("1 minute more") if whole > 0 else _tr("1 minute less")
    words = _tr("%1 minutes more") if whole > 0 else _tr("%1 minutes less")
    return words.replace("%1", str(abs(whole)))


def _papers(way: WayOn, season: Season) -> str:
    return _people(way.papers, season)


def _people(codes: Sequence[str], season: Season) -> str:
    """Return the names of a few, or how many they are."""
    if len(codes) > MOST_NAMES:
        return _tr("%1 people").replace("%1", str(len(codes)))
    return ", ".join(season.volunteer(code).name for code in codes)
