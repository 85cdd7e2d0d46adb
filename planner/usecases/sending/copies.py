"""Two copies of a season side by side: both would number what they send alike, and calendars cannot tell them apart."""

from __future__ import annotations

import platform
from pathlib import Path

from planner.domain.field.told import SentFrom
from planner.store import SeasonFile


def here(file: SeasonFile) -> SentFrom:
    """Return where a season file lies."""
    return SentFrom(platform.node(), str(file.path.resolve()))


def sent_elsewhere(file: SeasonFile) -> str:
    """Return in words that files last went out from another copy of this season; empty where they went out from here.

    A file that was moved on this computer is no copy. On another computer nobody can look, so it is said. Once files
    go out from here it is said no more.
    """
    last, now = file.sent_from, here(file)
    if last is None or last == now:
        return ""
    if last.machine == now.machine and not Path(last.path).exists():
        return ""
    where = last.path if last.machine == now.machine else f"{last.path} on the computer {last.machine}"
    return (
        f"Files of this season last went out from another copy of it: {where}. Send from one of the two only: calendars"
        " go by the number of each change, and two copies count alike."
    )
