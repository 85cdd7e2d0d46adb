"""Past evenings, invented: good or lost to weather, as a coordinator's notebook would have them."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

WORDS = ("rain", "rain", "drizzle", "gale", "fog")


@dataclass(frozen=True, slots=True)
class Evening:
    """One past evening."""

    day: date
    lost: bool
    note: str


def past_evenings(years: range, first: date, last: date, seed: str) -> Iterator[Evening]:
    """Yield the evenings of the same dates in some years: fewer are lost as summer comes, and bad weather stays."""
    rng = random.Random(f"{seed} weather")
    for year in years:
        lost = False
        for number in range((last - first).days + 1):
            day = first.replace(year=year) + timedelta(days=number)
            chance = 0.58 if day.month == 5 else 0.48
            lost = rng.random() < (chance + 0.45 * (1 - chance) if lost else chance * 0.55)
            yield Evening(day, lost, rng.choice(WORDS) if lost else "")
