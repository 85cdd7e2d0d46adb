"""The ground as it is, and what honest observers write down of it. Invented, and the same in every run."""

from __future__ import annotations

import datetime as dt
import random

from planner.domain.field.habitat_sheet import Cover, HabitatSheet, SheetKey, SheetState, Side
from planner.domain.habitat import HabitatRule
from planner.domain.route import Route

MOST_CLASSES = 5
NOTE_OF_OTHER = "an old quarry, fenced"


class Ground:
    """The true cover round every point, in tens, three to five classes a point; no two points of a route alike."""

    def __init__(self, rule: HabitatRule, routes: tuple[Route, ...], seed: int) -> None:
        self._rule = rule
        self._chance = random.Random(seed)
        self._truth: dict[tuple[str, int], dict[str, int]] = {}
        for route in routes:
            seen: set[tuple[tuple[str, int], ...]] = set()
            for point in route.points:
                self._truth[route.code, point.number] = self._fresh_cover(seen)

    def cover(self, route: str, point: int) -> dict[str, int]:
        """Return the true percentages of the classes that are there."""
        return dict(self._truth[route, point])

    def sheet(self, key: SheetKey, date: dt.date, *, roughly: bool) -> HabitatSheet:
        """Return what an honest observer writes; roughly: every second time ten per cent of one class go to another."""
        percents = self.cover(key.route, key.point)
        if roughly and self._chance.random() < 0.5:
            self._misjudge(percents)
        grazed = 10 * self._chance.randint(0, min(percents.get("GR", 0), 50) // 10)
        return HabitatSheet(
            key=key,
            covers=(Cover.of(Side.CIRCLE, percents.items()),),
            date=date,
            grazed_percent=grazed,
            livestock=self._chance.choice([0, 0, 0, 6, 20]) if grazed else 0,
            note=NOTE_OF_OTHER if percents.get("OT") else "",
            state=SheetState.FINAL,
        )

    def _fresh_cover(self, seen: set[tuple[tuple[str, int], ...]]) -> dict[str, int]:
        while True:
            percents = self._any_cover()
            if tuple(percents.items()) not in seen:
                seen.add(tuple(percents.items()))
                return percents

    def _any_cover(self) -> dict[str, int]:
        codes = sorted(
            self._chance.sample([one.code for one in self._rule.classes], self._chance.randint(3, MOST_CLASSES))
        )
        cuts = sorted(self._chance.sample(range(1, 10), len(codes) - 1))
        shares = [high - low for low, high in zip([0, *cuts], [*cuts, 10], strict=True)]
        return {code: 10 * share for code, share in zip(codes, shares, strict=True)}

    def _misjudge(self, percents: dict[str, int]) -> None:
        """Give ten per cent of a class to another that is there too, so that no class comes or goes."""
        givers = [code for code, percent in percents.items() if percent > 10]
        if givers:
            giver = self._chance.choice(givers)
            taker = self._chance.choice([code for code in percents if code != giver])
            percents[giver] -= 10
            percents[taker] += 10
