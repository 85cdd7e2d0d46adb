"""Mend a route: what can be done about each finding on it, what that would change, and doing it."""

from planner.usecases.route_fixes.dropping import drop_fix
from planner.usecases.route_fixes.fixes import Fix, FixKind, WeighedFix, apply_fix, weigh_fix
from planner.usecases.route_fixes.offers import fixes_for
from planner.usecases.route_fixes.orders import order_fixes
from planner.usecases.route_fixes.weighing import (
    PointFigures,
    RouteFigures,
    Surroundings,
    VisitMargin,
    WeighedRoute,
    figures_of,
    route_figures,
    weigh,
)

__all__ = [
    "Fix",
    "FixKind",
    "PointFigures",
    "RouteFigures",
    "Surroundings",
    "VisitMargin",
    "WeighedFix",
    "WeighedRoute",
    "apply_fix",
    "drop_fix",
    "figures_of",
    "fixes_for",
    "order_fixes",
    "route_figures",
    "weigh",
    "weigh_fix",
]
