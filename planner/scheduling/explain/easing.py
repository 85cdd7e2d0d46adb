"""Rules eased together, and the least by which one must be eased."""

from __future__ import annotations

from collections.abc import Callable

from planner.scheduling.engine.cases import Ease


def both(a: Ease, b: Ease) -> Ease:
    """Return an easing of everything that either eases, as far as the farther."""
    return Ease(
        drive=a.drive | b.drive,
        another_visit=a.another_visit | b.another_visit,
        any_day=a.any_day | b.any_day,
        trained=a.trained | b.trained,
        equipped=a.equipped | b.equipped,
        any_lead=a.any_lead or b.any_lead,
        one_person=a.one_person or b.one_person,
        earlier_days=max(a.earlier_days, b.earlier_days),
        later_days=max(a.later_days, b.later_days),
        setup_days=max(a.setup_days, b.setup_days),
        gap_days=max(a.gap_days, b.gap_days),
    )


def without(ease: Ease, volunteer: int) -> Ease:
    """Return the easing with nothing eased for one person."""
    one = frozenset({volunteer})
    return Ease(
        drive=ease.drive - one,
        another_visit=ease.another_visit - one,
        any_day=ease.any_day - one,
        trained=ease.trained - one,
        equipped=ease.equipped - one,
        any_lead=ease.any_lead,
        one_person=ease.one_person,
        earlier_days=ease.earlier_days,
        later_days=ease.later_days,
        setup_days=ease.setup_days,
        gap_days=ease.gap_days,
    )


def least_that(helps: Callable[[int], bool], most: int) -> int | None:
    """Return the least number from 1 that helps, where more never helps less; None if not even the most does."""
    if most < 1 or not helps(most):
        return None
    low, high = 0, most
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if helps(middle) else (middle, high)
    return high
