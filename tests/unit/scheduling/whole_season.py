"""The season as one time-indexed integer program for OR-Tools' CP-SAT: an oracle that shares no code or model.

Written from the rules alone, straight from the season's domain objects: a variable for each visit, team, window, date
and reserve date; one for each set-up; rows for each person and day. The engine's linear programs are solved by HiGHS,
these by another solver altogether. Far too large for real seasons.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise, product

import numpy as np
from ortools.sat.python import cp_model

from planner.domain.plan import Plan, Status, VisitKey
from planner.domain.protocol import Gap
from planner.domain.route import Route
from planner.domain.window import PartOfDay, Strength
from planner.scheduling.problem import SeasonProblem, drive_one_way_minutes

FILLED, RESERVED, SAME_LEAD, MISSED_GAP, MISSED_MOON = -10_000.0, -1_000.0, -40.0, 15.0, 15.0
"""What each thing adds to the objective, in minutes of driving; a load of n adds 4 n², a day late 1 for each person."""

_SCALE = 1000
"""CP-SAT takes whole numbers: costs are rounded to a thousandth of a minute."""


@dataclass(frozen=True)
class Way:
    """One way to fill one visit."""

    people: tuple[int, ...]
    window: int
    date: dt.date
    reserve: dt.date | None

    @property
    def last(self) -> dt.date:
        return self.reserve or self.date


@dataclass(frozen=True)
class Aims:
    """What the best plan reaches; with it the whole objective."""

    filled: int
    reserved: int
    objective: float

    @property
    def remainder(self) -> float:
        """The objective without what the visits filled and reserved add to it."""
        return self.objective - FILLED * self.filled - RESERVED * self.reserved


@dataclass(frozen=True)
class _Ways:
    """All ways of one visit, with their variables; of a fixed visit the one way in which it stands, chosen."""

    variables: list[int]
    ways: list[Way]
    fixed: bool = False

    def where(self, holds: Callable[[Way], bool]) -> list[int]:
        return [variable for variable, way in zip(self.variables, self.ways, strict=True) if holds(way)]


class WholeSeason:
    """Builds the program row by row. Fixed visits are part of it as what they take and leave."""

    def __init__(self, problem: SeasonProblem, fixed: Plan) -> None:
        self.problem, self.fixed = problem, fixed
        self.season = problem.season
        self.code_number = {one.code: v for v, one in enumerate(self.season.volunteers)}
        self.model = cp_model.CpModel()
        self.variables: list[cp_model.IntVar] = []
        self.costs: list[float] = []
        self.filling: list[int] = []
        self.reserving: list[int] = []
        self.person_days: dict[tuple[int, dt.date], list[int]] = defaultdict(list)
        self.loads: dict[int, list[int]] = defaultdict(list)
        self.standing_load = Counter(self.code_number[c] for v in fixed for c in v.people if c in self.code_number)
        self.standing = Aims(len(fixed), sum(v.reserve is not None for v in fixed), self._standing_cost())
        for route in self.season.routes:
            self._route(route)
        for variables in self.person_days.values():
            self.model.add_at_most_one(self._of(variables))
        self._loads()

    def by_weights(self) -> Aims:
        """What the plan of the least objective reaches."""
        scaled = [round(cost * _SCALE) for cost in self.costs]
        self.model.minimize(cp_model.LinearExpr.weighted_sum(self.variables, scaled))
        self._solve()
        chosen = [self.solver.boolean_value(variable) for variable in self.variables]
        cost = sum(cost for cost, yes in zip(self.costs, chosen, strict=True) if yes)
        return Aims(
            self.standing.filled + sum(chosen[i] for i in self.filling),
            self.standing.reserved + sum(chosen[i] for i in self.reserving),
            self.standing.objective + cost,
        )

    def tier_by_tier(self) -> Aims:
        """What the plan reaches that fills most, of these reserves most, of these has the least objective."""
        for aim in (self.filling, self.reserving):
            total = sum(self._of(aim))
            self.model.maximize(total)
            self._solve()
            self.model.add(total >= round(self.solver.objective_value))
        return self.by_weights()

    @cached_property
    def solver(self) -> cp_model.CpSolver:
        """One worker, to the proven end."""
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.linearization_level = 2
        return solver

    def _solve(self) -> None:
        status = self.solver.solve(self.model)
        assert status == cp_model.OPTIMAL, self.solver.status_name(status)

    def _of(self, numbers: Iterable[int]) -> list[cp_model.IntVar]:
        return [self.variables[number] for number in numbers]

    def _variable(self, cost: float) -> int:
        self.costs.append(cost)
        self.variables.append(self.model.new_bool_var(""))
        return len(self.costs) - 1

    def _chosen(self) -> int:
        self.costs.append(0.0)
        self.variables.append(self.model.new_constant(1))
        return len(self.costs) - 1

    def _standing_cost(self) -> float:
        """What the fixed visits add to the objective, loads among them."""
        cost = 4.0 * sum(load**2 for load in self.standing_load.values())
        for visit in self.fixed:
            route = self.season.route(visit.key.route)
            drive = drive_one_way_minutes(self.problem.drives[route.code])
            going = [*visit.people, *([visit.lead] if visit.setup not in (None, visit.date) else [])]
            late = (visit.date - self.season.visit_dates(route, visit.key.number).first).days * len(visit.people)
            cost += FILLED + (RESERVED if visit.reserve is not None else 0.0) + max(late, 0)
            cost += 2.0 * sum(float(drive[self.code_number[code]]) for code in going if code in self.code_number)
        return cost

    def _route(self, route: Route) -> None:
        count = len(self.season.protocol.visits)
        found = {number: self._visit(route, number) for number in range(1, count + 1)}
        for early, late in product(found, found):
            if early < late and not (found[early].fixed and found[late].fixed):
                gaps = [self.season.protocol.gap_before(number) for number in range(early + 1, late + 1)]
                self._gaps(found[early], found[late], gaps)
        for early, late in pairwise(found):
            self._preferred_gap(found[early], found[late], self.season.protocol.gap_before(late))
        if not found[1].fixed:
            self._setups(route, found[1])
        self._same_lead(list(found.values()))

    def _visit(self, route: Route, number: int) -> _Ways:
        stands = self.fixed.by_key.get(VisitKey(route.code, number))
        if stands is not None:
            reserve = None if stands.status is Status.DONE else stands.reserve
            way = Way((self.code_number.get(stands.lead, -1),), 0, stands.date, reserve)
            return _Ways([self._chosen()], [way], fixed=True)
        free = [way for way in self._ways_of(route, number) if not self.taken & _slots(way)]
        ways = _Ways([self._variable(self._cost(route, number, way)) for way in free], free)
        self.filling += ways.variables
        self.reserving += ways.where(lambda way: way.reserve is not None)
        for variable, way in zip(ways.variables, ways.ways, strict=True):
            for slot in _slots(way):
                self.person_days[slot].append(variable)
            for person in way.people:
                self.loads[person].append(variable)
        self.model.add_at_most_one(self._of(ways.variables))
        return ways

    @cached_property
    def taken(self) -> set[tuple[int, dt.date]]:
        """Whom the fixed visits take on which date; a visit that is done needs its reserve date no more."""
        found: set[tuple[int, dt.date]] = set()
        for visit in self.fixed:
            reserve = None if visit.status is Status.DONE else visit.reserve
            asked = [*product(visit.people, (visit.date, reserve)), (visit.lead, visit.setup)]
            found |= {(self.code_number[code], day) for code, day in asked if code in self.code_number and day}
        return found

    def _ways_of(self, route: Route, number: int) -> list[Way]:
        season, dates = self.season, self.season.visit_dates(route, number)
        people = range(len(season.volunteers))
        two = max(route.people, season.protocol.people.fewest) == 2
        teams: list[tuple[int, ...]] = [(a, b) for a in people for b in people if a != b] if two else []
        found = []
        for team in teams if two else [(a,) for a in people]:
            if not self._team(route, team):
                continue
            for window, date in product(range(len(season.protocol.windows)), dates):
                if not self._day(route, team, window, date):
                    continue
                later = [day for day in dates if day > date and self._day(route, team, window, day)]
                found += [Way(team, window, date, reserve) for reserve in (None, *later)]
        return found

    def _team(self, route: Route, team: tuple[int, ...]) -> bool:
        people = [self.season.volunteers[person] for person in team]
        drive = drive_one_way_minutes(self.problem.drives[route.code])
        if any(drive[v] > person.drive_limit_minutes for v, person in zip(team, people, strict=True)):
            return False
        if route.lead and people[0].code != route.lead:
            return False
        if not set(self.season.protocol.people.lead_training) <= people[0].training:
            return False
        return route.needs <= frozenset().union(*(person.abilities for person in people))

    def _day(self, route: Route, team: tuple[int, ...], window: int, date: dt.date) -> bool:
        light, day = self.problem.light[route.code].windows[window], self.problem.day_index(date)
        if self.problem.today is not None and date < self.problem.today:
            return False
        moon = self.season.protocol.moon
        if moon is not None and moon.strength is Strength.REQUIRED and not light.moon_meets[day]:
            return False
        part = self.season.protocol.windows[window].part
        lit = not np.isnan(light.passes[0].open_utc[day]).any()
        return bool(lit) and all(part in self.season.volunteers[person].parts_on(date) for person in team)

    def _cost(self, route: Route, number: int, way: Way) -> float:
        drive = drive_one_way_minutes(self.problem.drives[route.code])
        late = (way.date - self.season.visit_dates(route, number).first).days * len(way.people)
        kept = FILLED + (RESERVED if way.reserve else 0.0)
        return kept + 2 * sum(float(drive[person]) for person in way.people) + late + self._moon(route, way)

    def _moon(self, route: Route, way: Way) -> float:
        moon, light = self.season.protocol.moon, self.problem.light[route.code].windows[way.window]
        if moon is None or moon.strength is Strength.REQUIRED or light.moon_meets[self.problem.day_index(way.date)]:
            return 0.0
        return MISSED_MOON

    def _gaps(self, early: _Ways, late: _Ways, gaps: Sequence[Gap]) -> None:
        """Forbid pairs too near and too far: for each date at most one way on the wrong side of it for the other."""
        required = [gap for gap in gaps if gap.strength is Strength.REQUIRED]
        least = sum(max(gap.least_days, 1) for gap in required) + len(gaps) - len(required)
        for day in {way.last for way in early.ways}:
            self.model.add_at_most_one(self._of(_too_near(early, late, day, least)))
        if len(required) < len(gaps) or any(gap.most_days is None for gap in gaps):
            return
        most = dt.timedelta(days=sum(gap.most_days or 0 for gap in gaps))
        for day in {way.date for way in early.ways}:
            self.model.add_at_most_one(self._of(_too_far(early, late, day, day + most)))

    def _preferred_gap(self, early: _Ways, late: _Ways, gap: Gap) -> None:
        """Let two visits that follow each other, both open, pay for a gap that is only preferred and missed."""
        if gap.strength is Strength.REQUIRED or early.fixed or late.fixed:
            return
        missed = self.variables[self._variable(MISSED_GAP)]
        for day in {way.last for way in early.ways}:
            self.model.add(sum(self._of(_too_near(early, late, day, gap.least_days))) <= 1 + missed)

    def _setups(self, route: Route, first: _Ways) -> None:
        rule = self.season.protocol.setup
        if rule is None or not rule.required:
            return
        drive = drive_one_way_minutes(self.problem.drives[route.code])
        days: dict[tuple[int, dt.date], int] = {}
        for lead, day in product(sorted({way.people[0] for way in first.ways}), self.problem.days):
            if self._daylight(lead, day) and (lead, day) not in self.taken:
                days[lead, day] = self._variable(2 * float(drive[lead]))
                self.person_days[lead, day].append(days[lead, day])
        for variable, way in zip(first.variables, first.ways, strict=True):
            lead, part = way.people[0], self.season.protocol.windows[way.window].part
            if rule.same_day_allowed and self._daylight(lead, way.date) and part is not PartOfDay.DAWN:
                continue
            before = [way.date - dt.timedelta(days=n) for n in range(1, rule.days_before_at_most + 1)]
            some = [self.variables[days[lead, day]] for day in before if (lead, day) in days]
            self.model.add_bool_or([self.variables[variable].negated(), *some])

    def _daylight(self, person: int, day: dt.date) -> bool:
        past = self.problem.today is not None and day < self.problem.today
        return not past and PartOfDay.DAYLIGHT in self.season.volunteers[person].parts_on(day)

    def _same_lead(self, visits: Sequence[_Ways]) -> None:
        if len(visits) < 2 or not self.season.protocol.people.same_lead:
            return
        for lead in range(len(self.season.volunteers)):
            bonus = self.variables[self._variable(SAME_LEAD)]
            for visit in visits:
                led = [n for n, way in zip(visit.variables, visit.ways, strict=True) if way.people[0] == lead]
                self.model.add_bool_or([bonus.negated(), *self._of(led)])

    def _loads(self) -> None:
        for person, variables in self.loads.items():
            stands = self.standing_load[person]
            most = max(self.season.volunteers[person].visits_limit - stands, 0)
            steps = [self._variable(4.0 * (2 * step + 1)) for step in range(stands, stands + most)]
            self.model.add(sum(self._of(variables)) <= sum(self._of(steps)))


def _slots(way: Way) -> set[tuple[int, dt.date]]:
    return set(product(way.people, (way.date, way.last)))


def _too_near(early: _Ways, late: _Ways, day: dt.date, least: int) -> list[int]:
    """The ways of an earlier visit that may end on that day or after, and those of a later one too soon after it."""
    ends = early.where(lambda way: way.last >= day)
    return ends + late.where(lambda way: (way.date - day).days < least)


def _too_far(early: _Ways, late: _Ways, day: dt.date, most: dt.date) -> list[int]:
    """The ways of an earlier visit on that day or before, and those of a later one that may end beyond the other."""
    return early.where(lambda way: way.date <= day) + late.where(lambda way: way.last > most)


def least_objective(problem: SeasonProblem) -> float:
    """The least objective of any plan of a season without fixed visits."""
    return WholeSeason(problem, Plan()).by_weights().objective
