"""From the values of routes side by side back to the columns behind them."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from planner.scheduling.engine.column import Choice, Column, column_of
from planner.scheduling.engine.side_by_side import Group
from planner.scheduling.engine.valuing import GroupCosts, Pick, States, Valued
from planner.scheduling.problem import FloatArray


class _Visit(NamedTuple):
    """One visit of one route in its group."""

    costs: GroupCosts
    place: int
    """Of the route in the group."""

    @property
    def group(self) -> Group:
        return self.costs.group

    @property
    def teams(self) -> slice:
        return slice(int(self.group.starts[self.place]), int(self.group.ends[self.place]))

    def teams_of(self, row: int) -> slice:
        """Return the teams that a lead row leads."""
        teams = self.teams
        rows = self.group.rows[teams]
        low, high = np.searchsorted(rows, [row, row + 1])
        return slice(teams.start + int(low), teams.start + int(high))

    def first(self, state: int) -> int:
        """Return the earliest of its own days in a state."""
        return max(state - int(self.group.low[self.place]), 0)

    def choice(self, pick: Pick) -> Choice:
        low, group = int(self.group.low[self.place]), self.group
        second = int(group.seconds[pick.team])
        return Choice(int(group.leads[pick.team]), second, pick.window, low + pick.date, low + pick.last)


def free_column(valued: Valued, number: int, place: int) -> Column:
    """Return the best column with any leads.

    Args:
        valued: the batch.
        number: of the route in the season.
        place: of the route in the batch.
    """
    route, laid = valued.laid.blocks[place].route, valued.laid
    choices: list[Choice | None] = []
    row, state, must = -1, 0, None
    for k in range(len(route.visits)):
        states = valued.free[k]
        fills = states.filled[state, place] < states.passed[state, place] if must is None else must
        if not laid.passing[k][place]:
            choices.append(None)
            state, must = 0, None
        elif not fills:
            choices.append(None)
            state, must = int(laid.skips[k][state, place]), None
        else:
            visit, following = _visit(valued, k, place), valued.free[k + 1]
            onward = valued.onward(visit.group, following)[:, visit.place]
            pick = _pick(visit, visit.teams, state, onward)
            choices.append(visit.choice(pick))
            row = int(visit.group.rows[pick.team]) if k == 0 else row
            state, must = _after(visit, pick, following, place, laid.missed)
    return _column(valued, number, place, tuple(choices), row)


def one_lead_column(valued: Valued, number: int, place: int, row: int) -> Column:
    """Return the best column in which one lead row leads all visits.

    Args:
        valued: the batch.
        number: of the route in the season.
        place: of the route in the batch.
        row: of the lead in the batch.
    """
    route, laid = valued.laid.blocks[place].route, valued.laid
    choices: list[Choice | None] = []
    state = 0
    for k in range(len(route.visits)):
        if not laid.passing[k][place]:
            choices.append(None)
            state = 0
            continue
        visit, following = _visit(valued, k, place), valued.one_lead[k + 1]
        teams = visit.teams_of(row)
        onward = valued.onward_one_lead(visit.group, following)[:, teams.start]
        pick = _pick(visit, teams, state, onward)
        choices.append(visit.choice(pick))
        near, far = _states(visit, pick)
        kept = far != near and following[far, row] <= following[near, row] + laid.missed
        state = far if kept else near
    return _column(valued, number, place, tuple(choices), row)


def _visit(valued: Valued, k: int, place: int) -> _Visit:
    for costs in valued.costs[k]:
        at = int(np.searchsorted(costs.group.places, place))
        if at < len(costs.group.places) and costs.group.places[at] == place:
            return _Visit(costs, at)
    raise AssertionError("a visit that nobody could do is never filled")


def _pick(visit: _Visit, teams: slice, state: int, onward: FloatArray) -> Pick:
    none = onward + visit.group.none_cost[:, visit.place]
    return visit.costs.pick(teams, visit.first(state), onward, none)


def _states(visit: _Visit, pick: Pick) -> tuple[int, int]:
    """Return the states a pick leaves: the plain one, and that with a preferred gap kept."""
    group = visit.group
    near = int(group.near[pick.last, visit.place])
    return near, near if group.far is None else int(group.far[pick.last, visit.place])


def _after(visit: _Visit, pick: Pick, following: States, place: int, missed: float) -> tuple[int, bool | None]:
    """Return the state a pick leaves, and whether the next visit is then filled; None: whichever is better."""
    near, far = _states(visit, pick)
    if near == far:
        return near, None
    ways = (
        (float(following.passed[near, place]), near, False),
        (float(following.filled[far, place]), far, True),
        (float(following.filled[near, place]) + missed, near, True),
    )
    _, state, fills = min(ways, key=lambda way: way[0])
    return state, fills


def _column(valued: Valued, number: int, place: int, choices: tuple[Choice | None, ...], row: int) -> Column:
    route, first = valued.laid.blocks[place].route, choices[0]
    setup = -1
    if route.setup is not None and first is not None:
        setup = valued.best_setup(row, first.window, first.date)
    return column_of(number, route, choices, setup)
