"""Take a step back, or forward again, and tell what was done."""

from __future__ import annotations

from planner.domain.errors import ImpossibleError
from planner.store import SeasonFile, Step


def undo(file: SeasonFile) -> Step:
    """Undo the last step that stands; raises ImpossibleError where there is none."""
    return file.undo()


def redo(file: SeasonFile) -> Step:
    """Do again the step undone last; raises ImpossibleError where there is none."""
    return file.redo()


def history(file: SeasonFile) -> tuple[Step, ...]:
    """Return every step since the file was made, the oldest first; undone ones are marked and come last."""
    return file.history()


def go_to(file: SeasonFile, number: int) -> int:
    """Undo or redo until the file shows the state after a step; 0 is the season as it was made.

    Returns:
        How many steps were taken back or done again.

    Raises:
        ImpossibleError: there is no such step any more; nothing is changed.
    """
    if number and number not in {step.number for step in file.history()}:
        raise ImpossibleError("That step is no longer in the history.", "A newer step was done after it was undone.")
    moved = 0
    while file.revision != number:
        if file.revision > number:
            file.undo()
        else:
            file.redo()
        moved += 1
    return moved
