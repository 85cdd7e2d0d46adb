"""Change whom everybody rings."""

from __future__ import annotations

from dataclasses import asdict, replace

from planner.domain.errors import RuleError
from planner.domain.season import Coordinator
from planner.exchange import unkept_letter
from planner.store import SeasonFile


def set_coordinator(
    file: SeasonFile, *, name: str | None = None, telephone: str | None = None, email: str | None = None
) -> Coordinator:
    """Set what is given of the coordinator's name, number and address, as one step; None leaves it as it stands.

    Raises:
        RuleError: one of them has control characters.
    """
    season = file.season()
    given = {"name": name, "telephone": telephone, "email": email}
    wanted = replace(season.coordinator, **{key: value for key, value in given.items() if value is not None})
    coordinator = on_one_line(wanted)
    with file.step("Change the coordinator's contact"):
        file.save_season(replace(season, coordinator=coordinator))
    return coordinator


def on_one_line(coordinator: Coordinator) -> Coordinator:
    """Return a contact as it can stand on paper, in letters and calendars: with single spaces, no line ends.

    Raises:
        RuleError: a part of it has control characters.
    """
    parts = asdict(coordinator)
    bad = [f"{part} {letter}" for part, text in parts.items() if (letter := unkept_letter(text))]
    if bad:
        raise RuleError(f"the coordinator's contact has no control characters, found in {', '.join(bad)}")
    return Coordinator(**{part: " ".join(text.split()) for part, text in parts.items()})
