"""What is said of two people's estimates."""

from __future__ import annotations

from planner.desktop.sheets.words import tr
from planner.domain.habitat import HabitatRule
from planner.usecases.sheets import SeasonAgreement


def agreement_words(found: SeasonAgreement, rule: HabitatRule) -> str:
    """Return how well people agree on a route, in a sentence; empty where no point was estimated twice."""
    whole = found.whole
    if whole is None:
        return ""
    count = len(whole.points)
    twice = tr("1 point was estimated twice") if count == 1 else tr("%1 points were estimated twice", count)
    said = tr("%1: they share %2 % in the mean", twice, f"{whole.mean_overlap_percent:.0f}")
    if not whole.most_disputed:
        return f"{said}."
    return tr("%1, and differ most on %2.", said, rule.by_code[whole.most_disputed].name)
