"""Whether a plan of a programme keeps its rules, judged from the programme alone."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from planner.scheduling.engine.column import Choice, Column
from tests.bench.programmes import Near, Programme, RouteLine


def faults(programme: Programme, solution: Mapping[int, Column]) -> list[str]:
    """Return what is wrong with a plan, in words; nothing where every rule is kept."""
    found = [fault for number, column in solution.items() for fault in _Judged(programme, number, column).faults()]
    taken: Counter[tuple[int, int]] = Counter()
    load: Counter[int] = Counter()
    for column in solution.values():
        slots: set[tuple[int, int]] = set()
        for choice in column.choices:
            if choice is not None:
                slots |= {(person, day) for person in choice.people for day in (choice.date, choice.last)}
                load.update(choice.people)
        first = column.choices[0]
        taken.update(slots | ({(first.lead, column.setup)} if first is not None else set()))
    found += [f"volunteer {who} is wanted twice on day {day}" for (who, day), times in taken.items() if times > 1]
    limit = programme.limit.tolist()
    return found + [f"volunteer {who} goes out {times} times" for who, times in load.items() if times > limit[who]]


class _Judged:
    """One route of a plan."""

    def __init__(self, programme: Programme, number: int, column: Column) -> None:
        self._programme = programme
        self._route: RouteLine = programme.routes[number]
        self._name = f"route {number}"
        self._column = column

    def faults(self) -> Iterator[str]:
        """Yield what is wrong with the route by itself."""
        last_day, last_number = -1_000, 0
        for number, choice in enumerate(self._column.choices):
            if choice is None:
                continue
            yield from self._visit(number, choice)
            if choice.date - last_day < self._programme.gap_days * (number - last_number):
                yield f"{self._name}: visit {number + 1} comes too soon"
            last_day, last_number = choice.last, number
        first = self._column.choices[0]
        if first is not None:
            yield from self._setup(first)

    def _visit(self, number: int, choice: Choice) -> Iterator[str]:
        name, twilight = f"{self._name}: visit {number + 1}", self._programme.twilight
        first, last, people = self._route.visits[number]
        if not first <= choice.date <= choice.last <= last:
            yield f"{name} lies outside its range"
        if len(set(choice.people)) != people:
            yield f"{name} has {len(choice.people)} people, not {people}"
        listed: list[Near] = [self._route.leads, self._route.seconds]
        if any(person not in near[0] for person, near in zip(choice.people, listed, strict=False)):
            yield f"{name} has somebody who may not go"
        if not all(twilight[person, day] for person in choice.people for day in (choice.date, choice.last)):
            yield f"{name} lies on an evening that was not given"

    def _setup(self, first: Choice) -> Iterator[str]:
        setup = self._column.setup
        if not 0 <= first.date - setup <= self._programme.setup_days_before:
            yield f"{self._name}: the set-up is not within the days before visit 1"
        elif not self._programme.daylight[first.lead, setup]:
            yield f"{self._name}: the set-up lies on a day that was not given"
