"""From columns to a plan, and from a plan to the columns it is made of."""

from __future__ import annotations

import datetime as dt

from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.scheduling.engine.column import Choice, Column, column_of
from planner.scheduling.engine.compile import Compiled
from planner.scheduling.engine.instance import RouteCase
from planner.scheduling.engine.solution import Solution


def plan_of(compiled: Compiled, solution: Solution) -> Plan:
    """Return the plan that columns and fixed visits make."""
    found = list(compiled.arrays.fixed)
    for number in sorted(solution):
        found += visits_of(compiled, solution[number])
    return Plan(tuple(found))


def visits_of(compiled: Compiled, column: Column) -> list[PlannedVisit]:
    """Return the visits of one column."""
    season, first = compiled.arrays.season, compiled.arrays.problem.days.first
    codes = [volunteer.code for volunteer in season.volunteers]
    route = compiled.routes[column.route]

    def day(number: int) -> dt.date:
        return first + dt.timedelta(days=number)

    return [
        PlannedVisit(
            key=VisitKey(route.code, k + 1),
            lead=codes[choice.lead],
            date=day(choice.date),
            window=season.protocol.windows[choice.window].name,
            second=codes[choice.second] if choice.second >= 0 else "",
            reserve=day(choice.last) if choice.reserved else None,
            setup=day(column.setup) if k == 0 and column.setup >= 0 else None,
        )
        for k, choice in enumerate(column.choices)
        if choice is not None
    ]


def columns_of(compiled: Compiled, plan: Plan) -> dict[int, Column]:
    """Return the columns of a plan's open visits; visits that the rules no longer allow are left out."""
    found = {}
    for number, route in enumerate(compiled.routes):
        case = compiled.instance.routes[number]
        visits = {visit.key.number - 1: visit for visit in plan.of_route(route.code)}
        choices = tuple(
            _choice(compiled, case, k, visits[k]) if k in visits and case.visits[k].fixed is None else None
            for k in range(len(case.visits))
        )
        choices, setup = _with_setup(compiled, case, choices, visits.get(0))
        if any(choices) and keeps_gaps(case, choices):
            found[number] = column_of(number, case, choices, setup)
    return found


def _choice(compiled: Compiled, case: RouteCase, k: int, visit: PlannedVisit) -> Choice | None:
    """Return a planned visit as a choice, if the tables allow it."""
    days, number = compiled.arrays.problem.days, compiled.arrays.number
    windows = [window.name for window in compiled.arrays.protocol.windows]
    last = visit.reserve or visit.date
    if visit.window not in windows or visit.date not in days or last not in days or visit.lead not in number:
        return None
    second = number.get(visit.second, -1) if case.visits[k].people == 2 else -1
    choice = Choice(
        number[visit.lead],
        second,
        windows.index(visit.window),
        (visit.date - days.first).days,
        (last - days.first).days,
    )
    return choice if _allowed(case, k, choice) else None


def _allowed(case: RouteCase, k: int, choice: Choice) -> bool:
    visit = case.visits[k]
    leads, seconds = case.leads.tolist(), case.seconds.tolist()
    if not (visit.dates[choice.date] and visit.lasts[choice.last]) or choice.lead not in leads:
        return False
    both = [choice.date, choice.last]
    if not visit.lead_days[choice.window, leads.index(choice.lead)][both].all():
        return False
    if visit.people == 1:
        return True
    if choice.second not in seconds or not case.pairs[leads.index(choice.lead), seconds.index(choice.second)]:
        return False
    return bool(visit.second_days[choice.window, seconds.index(choice.second)][both].all())


def _with_setup(
    compiled: Compiled, case: RouteCase, choices: tuple[Choice | None, ...], first: PlannedVisit | None
) -> tuple[tuple[Choice | None, ...], int]:
    """Return the choices with the day of the set-up; without visit 1 where its set-up is not allowed."""
    choice, setup = choices[0], case.setup
    if setup is None or choice is None or first is None:
        return choices, -1
    days = compiled.arrays.problem.days
    if first.setup is not None and first.setup in days:
        day = (first.setup - days.first).days
        before = choice.date - day
        lead = case.leads.tolist().index(choice.lead)
        same_day = before == 0 and setup.same_day[choice.window, lead, day]
        if same_day or (0 < before <= setup.days_before and setup.lead_days[lead, day]):
            return choices, day
    return (None, *choices[1:]), -1


def keeps_gaps(case: RouteCase, choices: tuple[Choice | None, ...]) -> bool:
    """Say whether choices keep the required gaps between them."""
    before: Choice | None = None
    least, most = 0, 0
    for visit, choice in zip(case.visits, choices, strict=True):
        least += visit.gap.least
        most = 10**6 if visit.gap.most is None else most + visit.gap.most
        if choice is None:
            continue
        if before is not None and not (choice.date >= before.last + least and choice.last <= before.date + most):
            return False
        before, least, most = choice, 0, 0
    return True
