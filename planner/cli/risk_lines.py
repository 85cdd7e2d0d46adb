"""What the weather leaves of a plan, as lines for a person and as data for a program."""

from __future__ import annotations

from planner.scheduling import RouteRisk
from planner.usecases.season_risk import PlanRisk

WEATHER_UNSAID = (
    "Weather: to see what it may leave of this plan, import past evenings or your own chances of a lost one;"
    " 'dimpsy import --help' tells the columns."
)
_SHOWN = 5
"""Routes told; all of them stand in the JSON object."""


def risk_lines(found: PlanRisk) -> tuple[str, ...]:
    """Return the risk in words: the whole plan, then the weakest of the routes that could still be completed."""
    risk = found.risk
    head = f"Weather: with {found.weather_words}, expect {risk.expected_visits:.1f} of the {risk.filled} planned visits"
    lines = [f"{head} to be done."]
    whole = [route for route in risk.routes if route.whole]
    if whole:
        which = f"The weakest of the {len(whole)} routes" if len(whole) > 1 else "The one route"
        lines.append(f"{which} with every visit planned:")
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
    line = f"route {route.route}: {_percent(route.complete)} to be complete"
    if len(route.visits) == 1:
        return line
    return f"{line}; visit {route.weakest_visit} is the weakest with {_percent(min(route.visits))}"


def _percent(chance: float) -> str:
    """Return a chance as it is said; only what is certain is 0 or 100 %."""
    if 0.0 < chance < 0.005:
        return "under 1 %"
    if 0.995 <= chance < 1.0:
        return "over 99 %"
    return f"{100 * chance:.0f} %"
