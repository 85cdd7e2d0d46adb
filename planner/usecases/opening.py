"""Open a season file, and the road network kept beside it."""

from __future__ import annotations

from pathlib import Path

from planner.domain.errors import DimpsyError
from planner.domain.season import RoadMap
from planner.store import SeasonFile
from planner.travel import RoadNetwork


def open_season(path: Path) -> SeasonFile:
    """Open a season file; read-only, and saying why, where another program holds it."""
    return SeasonFile.open(path)


def roads_path(season_file: Path, roads: RoadMap) -> Path:
    """Return where a season's parsed road network lies: beside the file, named by the hash of its source."""
    return season_file.with_name(f"{season_file.stem}.roads-{roads.content_hash[:12]}.npz")


def road_network(season_file: Path, roads: RoadMap | None) -> RoadNetwork | None:
    """Return the season's road network; None where it has none, or its file beside the season is gone."""
    if roads is None:
        return None
    path = roads_path(season_file, roads)
    try:
        network = RoadNetwork.load(path)
    except (OSError, DimpsyError):
        return None
    return network if network.content_hash == roads.content_hash else None
