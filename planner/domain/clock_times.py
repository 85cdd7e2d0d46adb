"""Whole minutes: how a moment of the plan, known to the second, is said to people.

Whatever tells somebody a time, on paper, in a letter or on the screen, rounds by these, so that all say the same.
"""

from __future__ import annotations

import datetime as dt

MINUTE = dt.timedelta(minutes=1)


def minute_before(moment: dt.datetime) -> dt.datetime:
    """Return the moment rounded down to the minute."""
    return moment.replace(second=0, microsecond=0)


def minute_after(moment: dt.datetime) -> dt.datetime:
    """Return the moment rounded up to the minute."""
    down = minute_before(moment)
    return down if down == moment else down + MINUTE


def nearest_minute(moment: dt.datetime) -> dt.datetime:
    """Return the moment rounded to the nearest minute, the half up."""
    return minute_before(moment + MINUTE / 2)
