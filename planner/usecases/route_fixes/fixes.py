"""A fix: a route as it would stand after one mending, and what that does to it."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from enum import StrEnum

from planner.domain.errors import ImpossibleError
from planner.domain.finding import Finding, Rule
from planner.domain.route import Route
from planner.store import SeasonFile
from planner.usecases.route_fixes.weighing import Surroundings, WeighedRoute, weigh
from planner.usecases.routes.editing import RouteChanged, RouteWish, change_route, set_points
from planner.usecases.wording import listed


class FixKind(StrEnum):
    """What a fix does."""

    REVERSE = "reverse"
    """Turns the order round and numbers the points anew."""
    REORDER = "reorder"
    """Puts the points into the order of the least driving and numbers them anew."""
    RENUMBER = "renumber"
    """Numbers the points 1, 2, 3 … in the order they stand."""
    DROP = "drop"
    TO_ROAD = "to_road"
    """Moves points to the nearest road."""
    SPACE_OUT = "space_out"
    """Moves points along the road until they stand as far apart as the protocol wants."""
    TO_ROAD_SPACED = "to_road_spaced"
    """Both: to the road, and along it."""
    SWAP = "swap"
    """Swaps latitude and longitude."""
    TURN_SIGN = "turn_sign"
    """Turns the sign of the latitude or the longitude."""
    NO_LEAD = "no_lead"
    """Takes the agreement of a lead off the route."""


@dataclass(frozen=True, slots=True)
class Fix:
    """A route before and after one mending."""

    kind: FixKind
    before: Route
    after: Route
    numbers: tuple[int, ...] = ()
    """The points that it moves or drops, by the numbers they had before."""
    furthest_m: float = 0.0
    """How far the point that moves most is moved."""

    @property
    def words(self) -> str:
        """What is done, as a step of the history names it."""
        points = f"point{'s' if len(self.numbers) > 1 else ''} {listed(self.numbers)}"
        return {
            FixKind.REVERSE: "reverse the order",
            FixKind.REORDER: "put the points in the shortest order",
            FixKind.RENUMBER: f"number the points from 1 to {len(self.after.points)}",
            FixKind.DROP: f"drop {points}",
            FixKind.TO_ROAD: f"move {points} to the road",
            FixKind.SPACE_OUT: f"move {points} along the road",
            FixKind.TO_ROAD_SPACED: f"move {points} to the road and along it",
            FixKind.SWAP: f"swap latitude and longitude of {points}",
            FixKind.TURN_SIGN: f"turn a sign of {points}",
            FixKind.NO_LEAD: "take the lead off the route",
        }[self.kind]


@dataclass(frozen=True, slots=True)
class WeighedFix:
    """A fix, and what the route comes to with it."""

    fix: Fix
    before: WeighedRoute
    after: WeighedRoute

    @property
    def gone(self) -> tuple[Finding, ...]:
        """The findings that it ends."""
        return _fewer(self.before.findings, self.after.findings)

    @property
    def come(self) -> tuple[Finding, ...]:
        """The findings that it brings; not the holes in the numbers that points leave which are dropped on purpose."""
        come = _fewer(self.after.findings, self.before.findings)
        if self.fix.kind is FixKind.DROP:
            come = tuple(finding for finding in come if finding.rule is not Rule.ROUTE_NUMBERS)
        return come

    def mends(self, finding: Finding) -> bool:
        """Whether fewer findings of that kind are left."""
        return any(one.rule is finding.rule for one in self.gone)


def weigh_fix(around: Surroundings, before: WeighedRoute, fix: Fix) -> WeighedFix:
    """Return what a fix does to a route that has been weighed as it stands."""
    return WeighedFix(fix, before, weigh(around, fix.after, before))


def apply_fix(file: SeasonFile, fix: Fix) -> RouteChanged:
    """Do a fix, as one step.

    Raises:
        ImpossibleError: the route has changed since the fix was worked out.
    """
    if file.season().route(fix.before.code) != fix.before:
        raise ImpossibleError(
            f"Route {fix.before.code} has changed since this was worked out.", "Look at its findings again."
        )
    if fix.kind is FixKind.NO_LEAD:
        return change_route(file, fix.before.code, RouteWish.of(fix.after))
    return set_points(file, fix.before.code, fix.after.points, fix.words)


def _fewer(these: tuple[Finding, ...], than: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Return the findings of each rule that there are fewer of: those about something else first.

    Numbers of points may differ before and after, so findings are held against each other by their rule.
    """
    others: dict[Rule, list[Finding]] = defaultdict(list)
    for finding in than:
        others[finding.rule].append(finding)
    gone: list[Finding] = []
    for rule in dict.fromkeys(finding.rule for finding in these):
        mine = [finding for finding in these if finding.rule is rule]
        subjects = {finding.subject for finding in others[rule]}
        mine.sort(key=lambda finding: finding.subject in subjects)
        gone += mine[: max(0, len(mine) - len(others[rule]))]
    return tuple(gone)
