"""What recorded drives came to, in words and for JSON."""

from __future__ import annotations

from collections.abc import Iterator

from planner.usecases.calibrating import Calibrated, FactorChange, RouteChange, VisitChange


def calibrated_lines(found: Calibrated) -> tuple[str, ...]:
    """Return what recorded drives came to before and after, for a person."""
    return tuple(_lines(found))


def calibrated_data(found: Calibrated) -> dict[str, object]:
    """Return what recorded drives came to, for JSON."""
    return {
        "before": found.before,
        "factors": found.factors,
        "season": found.season,
        "classes": found.classes,
        "routes": found.routes,
        "drives_used": len(found.legs),
        "recorded_minutes": found.recorded_minutes,
        "expected_minutes": found.expected_minutes,
        "spread": found.spread,
        "left_out": found.left_out,
        "driving_before_minutes": found.driving_before_minutes,
        "driving_after_minutes": found.driving_after_minutes,
        "broken": found.broken,
    }


def _lines(found: Calibrated) -> Iterator[str]:
    yield f"{_sentence(found.factors.source)}: {len(found.legs)} used, {len(found.left_out)} left out."
    yield f"They took {found.recorded_minutes:.0f} min where {found.expected_minutes:.0f} min were expected."
    yield ""
    yield f"{'':18s} {'planned':>8s} {'recorded':>9s}   {'95 of 100 lie in':16s} {'drives':>7s}"
    if found.season is not None:
        yield _factor_line("the season", found.season)
    yield from (_factor_line(f"  {one.name}", one) for one in found.classes)
    yield ""
    yield f"{'route':10s} {'drives':>7s} {'ratio':>8s} {'on top':>8s}   {'along it':16s} margins of visits to come"
    yield from map(_route_line, found.routes)
    yield "ratio: recorded over expected driving; on top: its own factor beside those of its roads"
    yield ""
    yield f"Driving of the plan: {found.driving_before_minutes:.0f} -> {found.driving_after_minutes:.0f} min."
    if found.broken:
        yield "What would break a rule of the plan, and does not now:"
        yield from (f"  - {finding}" for finding in found.broken)
    if found.left_out:
        yield "Left out:"
        yield from (f"  - {one.what}: {one.why}" for one in found.left_out)


def _factor_line(name: str, one: FactorChange) -> str:
    lies_in = f"{one.least:.2f} to {one.most:.2f}" if one.own else "as the season"
    return f"{name:18s} {one.before:8.2f} {one.after:9.2f}   {lies_in:16s} {one.legs:7d}"


def _route_line(one: RouteChange) -> str:
    ratio = "-" if one.ratio is None else f"{one.ratio:.2f}"
    own = f"x {one.after:.2f}" if one.own else "-"
    along = f"{one.drives_before_minutes:.0f} -> {one.drives_after_minutes:.0f} min"
    visits = "; ".join(_visit_words(visit) for visit in one.visits)
    return f"{one.route:10s} {one.legs:7d} {ratio:>8s} {own:>8s}   {along:16s} {visits}"


def _visit_words(visit: VisitChange) -> str:
    if visit.no_longer_fits:
        late = "1 point" if visit.missed_after == 1 else f"{visit.missed_after} points"
        after = f"{late} too late" if visit.missed_after else "no outing"
    else:
        after = _margin(visit.margin_after_minutes)
    return f"visit {visit.key.number}: {_margin(visit.margin_before_minutes)} -> {after}"


def _margin(minutes: float | None) -> str:
    return "none" if minutes is None else f"{minutes:.0f} min"


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"
