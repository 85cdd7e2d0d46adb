"""A change in a coordinator's words, and how much it asks for."""

from __future__ import annotations

from collections.abc import Sequence

from planner.domain.change import Change, ChangeKind
from planner.scheduling.explain.case import Lack
from planner.scheduling.explain.words import counted, date_words, listed, outing_words, sentence

_COSTS = {
    ChangeKind.LEARNS: 6.0,
    ChangeKind.BRINGS: 5.0,
    ChangeKind.ONE_PERSON: 5.0,
    ChangeKind.ANY_LEAD: 4.0,
    ChangeKind.NEWCOMER: 8.0,
}
"""Of what has no amount, in evenings: our own judgement of what a coordinator would sooner ask for."""


def cost_of_changes(changes: Sequence[Change]) -> float:
    """Return how much changes ask for together, in evenings."""
    return sum(_cost(change) for change in changes)


def _cost(change: Change) -> float:
    kind, amount = change.kind, change.amount
    by_amount = {
        ChangeKind.GIVES: float(len(change.given)),
        ChangeKind.VISITS: 2.0 * amount,
        ChangeKind.DRIVES: 1.0 + amount / 10,
        ChangeKind.LATER: 0.5 + amount / 2,
        ChangeKind.EARLIER: 0.5 + amount / 2,
        ChangeKind.GAP: 1.0 + amount / 2,
        ChangeKind.SETUP: 1.0 + amount / 14,
    }
    return by_amount[kind] if kind in by_amount else _COSTS[kind]


def said(lack: Lack, changes: Sequence[Change]) -> str:
    """Return changes that belong together as one sentence."""
    return sentence([clause(lack, change) for change in changes])


def clause(lack: Lack, change: Change) -> str:
    """Return one change in words, without a full stop."""
    if change.kind is ChangeKind.NEWCOMER:
        return _newcomer(change)
    return _of_person(lack, change) if change.volunteer else _of_rule(lack, change)


def _of_person(lack: Lack, change: Change) -> str:
    who, amount = change.volunteer, change.amount
    if change.kind is ChangeKind.GIVES:
        dates = list(dict.fromkeys(date_words(day) for day, _ in change.given))
        parts = {part for _, part in change.given}
        kind = outing_words(parts.pop().value) if len(parts) == 1 else "date"
        return f"{who} gives {counted(len(dates), kind, f'{kind}s')} more: {listed(dates)}"
    if change.kind is ChangeKind.VISITS:
        limit = lack.arrays.season.volunteer(who).visits_limit
        return f"{who} takes {'one visit' if amount == 1 else f'{amount} visits'} more than the {limit} offered"
    if change.kind is ChangeKind.DRIVES:
        minutes = lack.arrays.season.volunteer(who).drive_limit_minutes + amount
        return f"{who} drives {minutes:.0f} minutes one way, {amount} more than their limit"
    verb = "learns" if change.kind is ChangeKind.LEARNS else "comes with"
    return f"{who} {verb} {listed(change.skills)}"


def _of_rule(lack: Lack, change: Change) -> str:
    days = counted(change.amount, "day", "days")
    setup = lack.arrays.protocol.setup
    before = change.amount + (setup.days_before_at_most if setup is not None else 0)
    return {
        ChangeKind.LATER: f"the dates of the route's visits end {days} later",
        ChangeKind.EARLIER: f"the dates of the route's visits begin {days} earlier",
        ChangeKind.GAP: f"the gap between the route's visits is {days} shorter",
        ChangeKind.SETUP: f"the set-up may be up to {counted(before, 'day', 'days')} before visit 1",
        ChangeKind.ONE_PERSON: "one person goes instead of two",
        ChangeKind.ANY_LEAD: f"somebody other than {lack.route.lead} may lead",
    }[change.kind]


def _newcomer(change: Change) -> str:
    having = f" and has {listed(change.skills)}" if change.skills else ""
    return f"one more volunteer joins who lives within {change.amount} minutes of here{having}"
