"""The chance of a lost evening and its persistence, estimated from records of past evenings."""

from __future__ import annotations

import datetime as dt
import itertools
from collections.abc import Mapping, Sequence

from planner.domain.errors import RuleError
from planner.domain.lost_evenings import HALF_MONTHS, USUAL_PERSISTENCE, LostEvenings, half_month

WEIGHT_OF_ALL = 10.0
"""A half-month's own evenings count as they are, and all evenings together as ten more: our choice. With ten evenings
recorded a half-month stands half-way between its own share and that of all."""
WEIGHT_OF_USUAL = 10.0
"""Pairs of evenings that the usual persistence counts for: our choice."""


def estimated(records: Sequence[tuple[dt.date, bool]]) -> LostEvenings:
    """Return the chances that records of past evenings speak for, of whatever years.

    The share of all lost evenings is taken with half an evening of each kind added (Jeffreys' prior), so that a short
    run of good evenings does not promise that none is ever lost. Each half-month is drawn towards that share, the more
    so the fewer evenings it has; one without records has the share itself.

    The persistence is fitted by least squares over the pairs of consecutive dates that are both recorded: in the
    chain of :class:`LostEvenings` the second evening lies off its chance ``p`` by ``r`` times what the first lies off
    it, in the mean. It is drawn towards the usual one, and kept between 0 and 1.

    Args:
        records: date, and whether that evening was lost; each date once, in any order.

    Raises:
        RuleError: there are no records, or a date comes twice.
    """
    lost = dict(records)
    if not lost:
        raise RuleError("without records of past evenings there is nothing to estimate from")
    if len(lost) != len(records):
        raise RuleError("records of past evenings name a date twice; keep one of them")
    share_of_all = (sum(lost.values()) + 0.5) / (len(lost) + 1.0)
    chances = tuple(_chance(number, lost, share_of_all) for number in range(HALF_MONTHS))
    return LostEvenings(chances, _persistence(lost, chances, share_of_all))


def _chance(number: int, lost: Mapping[dt.date, bool], share_of_all: float) -> float:
    own = [was_lost for day, was_lost in lost.items() if half_month(day) == number]
    return (sum(own) + WEIGHT_OF_ALL * share_of_all) / (len(own) + WEIGHT_OF_ALL)


def _persistence(lost: Mapping[dt.date, bool], chances: Sequence[float], share_of_all: float) -> float:
    weight = WEIGHT_OF_USUAL * share_of_all * (1.0 - share_of_all)
    together, spread = weight * USUAL_PERSISTENCE, weight
    for day, following in itertools.pairwise(sorted(lost)):
        if (following - day).days == 1:
            chance = chances[half_month(following)]
            together += (lost[day] - chance) * (lost[following] - chance)
            spread += (lost[day] - chance) ** 2
    return min(max(together / spread, 0.0), 1.0)
