"""A way on in the coordinator's words, and as JSON."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from planner.domain.plan import PlannedVisit
from planner.domain.season import Season
from planner.scheduling import Move, WayOn


def way_lines(number: int | None, way: WayOn, season: Season) -> tuple[str, ...]:
    """Return a way and what follows from it; ``number`` is how it is chosen, None: it has been."""
    head = f"{number}. " if number is not None else ""
    return (f"{head}{_headline(way)}", *(f"   {line}" for line in _lines(way, season)))


def _headline(way: WayOn) -> str:
    others = sum(move.moves_visit and move.key not in way.broken for move in way.moves)
    joins = sorted({code for move in way.moves for code in move.changed_people})
    people = "The same people go" if not joins else f"People change ({', '.join(joins)})"
    kept = "no other visit moves" if not others else f"{_counted(others, 'other visit')} moves too"
    lost = way.filled_before - way.filled_after
    return f"{people}, {kept}." + (f" {_counted(lost, 'visit')} lost." if lost else "")


def _lines(way: WayOn, season: Season) -> Iterator[str]:
    yield from (_move_line(move, season) for move in way.moves)
    yield f"Driving: {_change(way.drive_change_minutes)}."
    bare = ", ".join(map(str, way.without_reserve))
    yield f"Without a reserve date: {bare}." if bare else "Every visit that changes has a reserve date."
    gap = way.tightest_gap
    if gap is not None:
        yield (
            f"Tightest gap: {_counted(gap.days, 'day')} between visits {gap.earlier} and {gap.later} of {gap.route}"
            f" ({gap.least_days} asked for)."
        )
    yield f"Visits filled: {way.filled_before} before, {way.filled_after} after."
    yield f"Fresh papers for: {', '.join(_name(season, code) for code in way.papers)}."
    for item in way.unfilled:
        yield f"{item.key} is unfilled: {' '.join(item.reasons)}"
        yield from (f"  would help: {relaxation.what}" for relaxation in item.relaxations[:3])
    if way.note:
        yield way.note


def _move_line(move: Move, season: Season) -> str:
    title = f"{season.route(move.key.route).title}, visit {move.key.number}"
    if move.after is None:
        return f"{title}: {_stand(move.before, season)} -> unfilled"
    return f"{title}: {_stand(move.before, season)} -> {_stand(move.after, season)}"


def _stand(visit: PlannedVisit, season: Season) -> str:
    people = " and ".join(season.volunteer(code).name for code in visit.people)
    held = [f"set-up {_day(visit.setup)}"] if visit.setup and visit.setup != visit.date else []
    held += ["set-up that day"] if visit.setup == visit.date else []
    held += [f"reserve {_day(visit.reserve)}" if visit.reserve else "no reserve"]
    return f"{_day(visit.date)} {people} ({', '.join(held)})"


def way_data(way: WayOn) -> dict[str, object]:
    """Return a way for JSON; of the plan only what differs."""
    return {
        "moves": way.moves,
        "broken": way.broken,
        "full": way.full,
        "drive_change_minutes": round(way.drive_change_minutes, 1),
        "without_reserve": way.without_reserve,
        "tightest_gap": way.tightest_gap,
        "filled_before": way.filled_before,
        "filled_after": way.filled_after,
        "papers": way.papers,
        "value": way.value,
        "bound": way.bound,
        "unfilled": way.unfilled,
        "note": way.note,
    }


def _change(minutes: float) -> str:
    whole = round(minutes)
    if not whole:
        return "no change"
    return f"{abs(whole)} minutes {'more' if whole > 0 else 'less'}"


def _name(season: Season, code: str) -> str:
    return f"{code} {season.volunteer(code).name}"


def _day(day: dt.date) -> str:
    return f"{day:%a} {day.day} {day:%b}"


def _counted(number: int, thing: str) -> str:
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"
