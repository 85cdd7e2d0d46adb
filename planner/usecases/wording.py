"""Dates, distances and rows of names as the checks say them."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Sequence

from planner.domain.window import PartOfDay

PART_WORDS = {PartOfDay.DAYLIGHT: "daytime", PartOfDay.DUSK: "evening", PartOfDay.DAWN: "morning"}


def day_words(day: dt.date) -> str:
    """Return a date as it is said: ``Tue 8 Jun``."""
    return f"{day:%a} {day.day} {day:%b}"


def metres_words(metres: float) -> str:
    """Return a distance as it is said: ``210 m``, ``1.6 km``, ``5,230 km``."""
    if metres < 1_000:
        return f"{metres:.0f} m"
    return f"{metres / 1_000:.1f} km" if metres < 100_000 else f"{metres / 1_000:,.0f} km"


def beside_limit_words(metres: float, limit_m: float) -> str:
    """Return a distance that breaks a limit as it is said; rounded, it must not read like the limit itself."""
    words = metres_words(metres)
    if words != metres_words(limit_m):
        return words
    return f"just {'under' if metres < limit_m else 'over'} {words}"


def listed(words: Iterable[object]) -> str:
    """Return words in a row: ``1, 2 and 3``; empty for none."""
    *first, last = [str(word) for word in words] or [""]
    return f"{', '.join(first)} and {last}" if first else last


def some_of(words: Sequence[str], most: int = 3) -> str:
    """Return the first few words in a row with 'or', and how many more there are."""
    if len(words) > most:
        return f"{', '.join(words[:most])} or one of {len(words) - most} more"
    return " or ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def visits_words(numbers: Sequence[int]) -> str:
    """Return visits by number: ``visit 2``, ``visits 1 and 2``."""
    return f"visit{'s' if len(numbers) > 1 else ''} {listed(numbers)}"


def commonest(reasons: Iterable[str], otherwise: str) -> str:
    """Return the reason given most often; the first of those given equally often."""
    ranked = Counter(reasons).most_common(1)
    return ranked[0][0] if ranked else otherwise


def runs(numbers: Sequence[int]) -> str:
    """Return numbers in a row, those that follow each other joined: ``1 to 3, 9 and 8 to 4``."""
    parts: list[list[int]] = []
    for number in numbers:
        part = parts[-1] if parts else []
        step = number - part[-1] if part else 0
        if abs(step) == 1 and (len(part) == 1 or step == part[-1] - part[-2]):
            part.append(number)
        else:
            parts.append([number])
    words: list[str] = []
    for part in parts:
        words += [f"{part[0]} to {part[-1]}"] if len(part) > 2 else [str(number) for number in part]
    return listed(words)
