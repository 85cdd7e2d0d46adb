"""Change whom everybody rings."""

from __future__ import annotations

from dataclasses import replace

from planner.domain.season import Coordinator
from planner.store import SeasonFile


def set_coordinator(
    file: SeasonFile, *, name: str | None = None, telephone: str | None = None, email: str | None = None
) -> Coordinator:
    """Set what is given of the coordinator's name, number and address, as one step; None leaves it as it stands."""
    season = file.season()
    given = {"name": name, "telephone": telephone, "email": email}
    coordinator = replace(season.coordinator, **{key: value for key, value in given.items() if value is not None})
    with file.step("Change the coordinator's contact"):
        file.save_season(replace(season, coordinator=coordinator))
    return coordinator
