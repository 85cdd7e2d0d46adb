"""What planning saves on the road against filling the routes by hand, one after the other."""

from __future__ import annotations

from dataclasses import dataclass

BY_HAND_WORDS = (
    "By hand: routes in the order of the list, each of their visits in turn to the nearest volunteer who may lead it,"
    " does not drive beyond their own limit, has visits left to give, and is free on a date of the visit that has light"
    " and on a later one in reserve; where nobody can hold a reserve date, to the nearest without one. The earliest"
    " such dates are taken, the gap between visits kept; a set-up is on the date itself or the last day before that the"
    " lead has given. Where two must go, the next nearest who is free goes too. Nothing is moved afterwards."
)
COMPARED_WORDS = (
    "Driving is compared on the visits that the plan and the hand both fill, so that neither is blamed for going where"
    " the other sends nobody: expected minutes from home to the nearer end of the route and back, of everybody who must"
    " go, and of set-ups on a day of their own. Both keep to the same dates, limits and rules. The plan does not look"
    " for the least driving alone: it fills visits first, holds dates in reserve, keeps one lead to a route and an even"
    " load, and so may drive more than the hand; what it has for that stands beside it."
)


@dataclass(frozen=True, slots=True)
class RouteDriving:
    """The driving to one route, over the visits that both fill."""

    route: str
    visits: int
    plan_minutes: float
    hand_minutes: float

    @property
    def saved_minutes(self) -> float:
        """Below 0 where the plan drives more."""
        return self.hand_minutes - self.plan_minutes


@dataclass(frozen=True, slots=True)
class Beside:
    """One thing that both plans reach, driving aside: what the driving buys."""

    what: str
    plan: float
    hand: float
    least_is_best: bool = False

    @property
    def gained(self) -> bool:
        """Whether the plan does better."""
        return self.plan < self.hand if self.least_is_best else self.plan > self.hand


@dataclass(frozen=True, slots=True)
class DrivingSaved:
    """The plan beside a plan made by hand."""

    routes: tuple[RouteDriving, ...]
    """In the season's order; those without a visit that both fill are left out."""
    visits: int
    """Visits of the season."""
    beside: tuple[Beside, ...] = ()
    """Visits filled first, then what else the plan was made for."""
    filled: tuple[int, int] = (0, 0)
    """Visits that the plan fills, and the hand."""
    whole_minutes: tuple[float, float] = (0.0, 0.0)
    """Driving of the plan on all visits that it fills, and of the hand on all that it fills."""

    @property
    def compared(self) -> int:
        """Visits that both fill."""
        return sum(one.visits for one in self.routes)

    @property
    def plan_minutes(self) -> float:
        """Driving of the plan on the visits compared."""
        return sum(one.plan_minutes for one in self.routes)

    @property
    def hand_minutes(self) -> float:
        """Driving by hand on the same visits."""
        return sum(one.hand_minutes for one in self.routes)

    @property
    def saved_minutes(self) -> float:
        """What the plan saves; below 0 where it drives more."""
        return self.hand_minutes - self.plan_minutes

    @property
    def saved_share(self) -> float | None:
        """As a share of the driving by hand; None where that is nothing."""
        return self.saved_minutes / self.hand_minutes if self.hand_minutes > 0.0 else None

    @property
    def said(self) -> tuple[str, ...]:
        """What comes of it, in sentences for a board; empty where nothing can be compared."""
        share = self.saved_share
        if share is None:
            return ()
        planned, by_hand = self.filled
        left = f"{_nobody(self.visits - by_hand)}; the plan fills {planned}"
        both = f"{self.plan_minutes:.0f} min and the hand {self.hand_minutes:.0f} min"
        more = f"{abs(self.saved_minutes):.0f} min {'less' if share >= 0.0 else 'more'} ({100 * abs(share):.0f} %)"
        return (
            f"By hand {by_hand} of {self.visits} visits would be filled and {left}.",
            f"On the {self.compared} visits that both fill, the plan drives {both}: {more}.",
        )

    @property
    def beside_said(self) -> str:
        """What stands beside the driving, in a sentence, but for the visits filled; empty where there is nothing."""
        parts = [f"{one.what} {one.plan:.3g} (by hand {one.hand:.3g})" for one in self.beside[1:]]
        return f"Beside the driving: {'; '.join(parts)}." if parts else ""

    @property
    def said_shortly(self) -> str:
        """The same where there is little room, with what most counts of what the plan does better.

        Empty where nothing can be compared.
        """
        if not self.said:
            return ""
        by_hand = "by hand (in list order, nearest free)"
        minutes = f"{self.plan_minutes:.0f} min, {by_hand} {self.hand_minutes:.0f}"
        gained = [f"{one.what} {one.plan:.3g} ({one.hand:.3g})" for one in self.beside if one.gained]
        bought = f" For it: {', '.join(gained[:_MOST_GAINS])}." if gained else ""
        return f"Driving on the {self.compared} visits that both fill: {minutes}.{bought}"


_MOST_GAINS = 3
"""As many as stand whole on the page for the board."""


def _nobody(visits: int) -> str:
    return f"{visits} left with nobody" if visits else "none left with nobody"
