"""How a season stands, in one sentence: what can be told from the file alone, before anything is computed."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication

from planner.usecases.season.snapshot import Snapshot


def standing(snapshot: Snapshot) -> str:
    """Return how many routes, volunteers and filled visits there are, and why nothing can be changed if so."""
    season, plan = snapshot.season, snapshot.plan
    visits = len(season.routes) * len(season.visits)
    reserved = sum(visit.reserve is not None for visit in plan)
    words = QCoreApplication.translate(
        "standing", "%1 routes, %2 volunteers, %3 of %4 visits filled, %5 with a reserve date."
    )
    numbers = (len(season.routes), len(season.volunteers), len(plan), visits, reserved)
    for place, number in enumerate(numbers, start=1):
        words = words.replace(f"%{place}", str(number))
    return f"{words} {snapshot.read_only_reason}".rstrip()
