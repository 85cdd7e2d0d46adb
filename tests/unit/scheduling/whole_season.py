"""The season as one time-indexed integer program for SciPy's HiGHS interface: an oracle that shares no code or model.

Written from the rules alone, straight from the season's domain objects: a variable for each visit, team, window, date
and reserve date; one for each set-up; rows for each person and day. Far too large for real seasons.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass
from itertools import product

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from planner.domain.route import Route
from planner.domain.window import PartOfDay, Strength
from planner.scheduling.problem import SeasonProblem, drive_one_way_minutes


@dataclass(frozen=True)
class Way:
    """One way to fill one visit."""

    route: str
    number: int
    people: tuple[int, ...]
    window: int
    date: dt.date
    reserve: dt.date | None

    @property
    def last(self) -> dt.date:
        return self.reserve or self.date


class WholeSeason:
    """Builds the program row by row."""

    def __init__(self, problem: SeasonProblem) -> None:
        self.problem = problem
        self.season = problem.season
        self.costs: list[float] = []
        self.rows: list[tuple[dict[int, float], float]] = []
        self.ways: dict[tuple[str, int], list[tuple[int, Way]]] = defaultdict(list)
        self.person_days: dict[tuple[int, dt.date], list[int]] = defaultdict(list)
        self.loads: dict[int, list[int]] = defaultdict(list)
        for route in self.season.routes:
            self._route(route)
        for variables in self.person_days.values():
            self.rows.append((dict.fromkeys(variables, 1.0), 1.0))
        self._loads()

    def least(self) -> float:
        """The least objective of any plan."""
        if not self.costs:
            return 0.0
        entries = [(i, j, v) for i, (row, _) in enumerate(self.rows) for j, v in row.items()]
        i, j, v = (np.array(column) for column in zip(*entries, strict=True))
        matrix = coo_array((v, (i, j)), shape=(len(self.rows), len(self.costs)))
        upper = np.array([bound for _, bound in self.rows])
        whole = LinearConstraint(matrix.tocsr(), -np.inf, upper)
        found = milp(
            np.array(self.costs),
            integrality=np.ones(len(self.costs), dtype=np.int64),
            bounds=Bounds(0, 1),
            constraints=whole,
            options={"mip_rel_gap": 0.0},
        )
        assert found.success, found.message
        return float(found.fun)

    def _variable(self, cost: float) -> int:
        self.costs.append(cost)
        return len(self.costs) - 1

    def _route(self, route: Route) -> None:
        numbers = range(1, len(self.season.protocol.visits) + 1)
        for number in numbers:
            for way in self._ways_of(route, number):
                variable = self._variable(self._cost(route, way))
                self.ways[route.code, number].append((variable, way))
                for person, day in product(way.people, {way.date, way.last}):
                    self.person_days[person, day].append(variable)
                for person in way.people:
                    self.loads[person].append(variable)
            self.rows.append(({variable: 1.0 for variable, _ in self.ways[route.code, number]}, 1.0))
        for early, late in product(numbers, numbers):
            if early < late:
                self._gaps(route, early, late)
        self._setups(route)
        self._same_lead(route)

    def _ways_of(self, route: Route, number: int) -> list[Way]:
        season, dates = self.season, self.season.visit_dates(route, number)
        people = season.volunteers
        two = max(route.people, season.protocol.people.fewest) == 2
        teams = [(a, b) for a in range(len(people)) for b in range(len(people)) if a != b] if two else []
        teams_or_one = teams if two else [(a,) for a in range(len(people))]
        found = []
        for team in teams_or_one:
            if not self._team(route, team):
                continue
            for window, date in product(range(len(season.protocol.windows)), dates):
                if not self._day(route, team, window, date):
                    continue
                later = [day for day in dates if day > date and self._day(route, team, window, day)]
                found += [Way(route.code, number, team, window, date, reserve) for reserve in (None, *later)]
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

    def _cost(self, route: Route, way: Way) -> float:
        drive = drive_one_way_minutes(self.problem.drives[route.code])
        late = (way.date - self.season.visit_dates(route, way.number).first).days * len(way.people)
        kept = -10_000 - (1_000 if way.reserve else 0)
        return kept + 2 * sum(float(drive[person]) for person in way.people) + late

    def _gaps(self, route: Route, early: int, late: int) -> None:
        gaps = [self.season.protocol.gap_before(number) for number in range(early + 1, late + 1)]
        required = [gap for gap in gaps if gap.strength is Strength.REQUIRED]
        least = sum(max(gap.least_days, 1) for gap in required) + len(gaps) - len(required)
        most = None
        if len(required) == len(gaps) and all(gap.most_days is not None for gap in gaps):
            most = sum(gap.most_days or 0 for gap in gaps)
        for variable, first in self.ways[route.code, early]:
            against = [
                other
                for other, second in self.ways[route.code, late]
                if (second.date - first.last).days < least
                or (most is not None and (second.last - first.date).days > most)
            ]
            self.rows.append(({variable: float(len(against)), **dict.fromkeys(against, 1.0)}, float(len(against))))

    def _setups(self, route: Route) -> None:
        rule = self.season.protocol.setup
        if rule is None:
            return
        drive = drive_one_way_minutes(self.problem.drives[route.code])
        days: dict[tuple[int, dt.date], int] = {}
        for lead in {way.people[0] for _, way in self.ways[route.code, 1]}:
            for day in self.problem.days:
                if self._daylight(lead, day):
                    days[lead, day] = self._variable(2 * float(drive[lead]))
                    self.person_days[lead, day].append(days[lead, day])
        for variable, way in self.ways[route.code, 1]:
            lead = way.people[0]
            if rule.same_day_allowed and self._daylight(lead, way.date):
                continue
            before = [way.date - dt.timedelta(days=n) for n in range(1, rule.days_before_at_most + 1)]
            self.rows.append(({variable: 1.0, **{days[lead, d]: -1.0 for d in before if (lead, d) in days}}, 0.0))

    def _daylight(self, person: int, day: dt.date) -> bool:
        past = self.problem.today is not None and day < self.problem.today
        return not past and PartOfDay.DAYLIGHT in self.season.volunteers[person].parts_on(day)

    def _same_lead(self, route: Route) -> None:
        count = len(self.season.protocol.visits)
        if count < 2 or not self.season.protocol.people.same_lead:
            return
        for lead in range(len(self.season.volunteers)):
            bonus = self._variable(-40.0)
            for number in range(1, count + 1):
                led = {variable: -1.0 for variable, way in self.ways[route.code, number] if way.people[0] == lead}
                self.rows.append(({bonus: 1.0, **led}, 0.0))

    def _loads(self) -> None:
        for person, variables in self.loads.items():
            limit = self.season.volunteers[person].visits_limit
            steps = {self._variable(4.0 * (2 * step + 1)): -1.0 for step in range(limit)}
            self.rows.append(({**dict.fromkeys(variables, 1.0), **steps}, 0.0))


def least_objective(problem: SeasonProblem) -> float:
    """The least objective of any plan of a season without fixed visits, by SciPy's mixed-integer solver."""
    return WholeSeason(problem).least()
