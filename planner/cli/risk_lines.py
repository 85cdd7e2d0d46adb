"""What the weather leaves of a plan, as lines for a person and as data for a program."""

from __future__ import annotations

from collections.abc import Sequence

from planner.scheduling import RouteRisk
from planner.usecases.plan.risk import PlanRisk

WEATHER_UNSAID = (
    "Weather: to see what it may leave of this plan, import past evenings or your own chances of a lost one;"
    " 'dimpsy import --help' tells the columns."
)
_SHOWN = 5
"""Routes told; all of them stand in the JSON object."""
_NAMED = 12
"""Routes with a visit missed that are named by their codes; more are counted."""


def risk_lines(found: PlanRisk) -> tuple[str, ...]:
    """Return the risk in words: the whole plan, then the weakest of the routes that could still be completed."""
    risk = found.risk
    head = f"Weather: with {found.weather_words}, expect {risk.expected_visits:.1f} of the {risk.filled} planned visits"
    lines = [f"{head} to be done."]
    missed = sorted(route.route for route in risk.routes if route.missed)
    if missed:
        lines.append(f"A visit is past, not done and without a reserve date to come: {_listed(missed)}.")
    whole = [route for route in risk.routes if route.whole and not route.missed]
    if whole:
        which = f"The weakest of the {len(whole)} routes" if len(whole) > 1 else "The one route"
        lines.append(f"{which} with every visit {'done or to come' if missed else 'planned'}:")
        lines += [f"  {_route_line(route)}" for route in whole[:_SHOWN]]
    return tuple(lines)


def risk_data(found: PlanRisk | None) -> dict[str, object] | None:
    """Return the risk for JSON, all routes, the weakest first."""
    if found is None:
        return None
    return {
        "weather": found.weather,
        "expected_visits": found.risk.expected_visits,
        "filled": found.risk.filled,
        "routes": found.risk.routes,
    }


def _route_line(route: RouteRisk) -> str:
    past = f" ({route.past_words})" if route.past else ""
    line = f"route {route.route}: {_percent(route.complete)} to be complete{past}"
    if len(route.visits) == 1:
        return line
    return f"{line}; visit {route.weakest_visit} is the weakest with {_percent(min(route.visits))}"


def _listed(codes: Sequence[str]) -> str:
    """Return routes by code, all of a few."""
    more = f" and {len(codes) - _NAMED} more" if len(codes) > _NAMED else ""
    return f"{'route' if len(codes) == 1 else 'routes'} {', '.join(codes[:_NAMED])}{more}"


def _percent(chance: float) -> str:
    """Return a chance as it is said; only what is certain is 0 or 100 %."""
    if 0.0 < chance < 0.005:
        return "under 1 %"
    if 0.995 <= chance < 1.0:
        return "over 99 %"
    return f"{100 * chance:.0f} %"
