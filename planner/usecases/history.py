"""Take a step back, or forward again, and tell what was done."""

from __future__ import annotations

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
