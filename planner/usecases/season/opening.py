"""Open a season file, and the road network kept beside it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

from planner.domain.errors import DimpsyError, Fault, ImpossibleError, InputError
from planner.domain.season import RoadMap
from planner.store import SeasonFile
from planner.travel import RoadNetwork
from planner.usecases.season.kept_roads import kept_files, kept_name

LOST_WORDS = "is not beside the season file, is damaged, or was kept by another version of the program"
"""Why the road map of a season may not be found, in words that follow its name."""


def open_season(path: Path) -> SeasonFile:
    """Open a season file; read-only, and saying why, where another program holds it."""
    return SeasonFile.open(path)


def roads_path(season_file: Path, roads: RoadMap) -> Path:
    """Return where a season's parsed road network lies: beside the file, named by the hash of its source."""
    return season_file.with_name(kept_name(season_file.stem, roads.content_hash))


def road_network(season_file: Path, roads: RoadMap | None) -> RoadNetwork | None:
    """Return the season's road network; None where it has none, or its file beside the season is gone.

    The file is known by its content, so a season file that was renamed finds it still.
    """
    if roads is None:
        return None
    for path in _candidates(season_file, roads):
        try:
            stat = path.stat()
            network = _loaded(path, stat.st_ino, stat.st_mtime_ns, stat.st_size)
        except (OSError, DimpsyError):
            continue
        if network.content_hash == roads.content_hash:
            return network
    return None


def whole_road_network(season_file: Path, roads: RoadMap | None) -> RoadNetwork | None:
    """Return the season's road network; None only where it never had one.

    Plans and papers are made with it: estimates in its place would send other people at other times, unnoticed.

    Raises:
        ImpossibleError: its file beside the season is gone or cannot be read.
    """
    network = road_network(season_file, roads)
    if roads is not None and network is None:
        raise roads_gone(season_file, roads)
    return network


def roads_gone(season_file: Path, roads: RoadMap) -> ImpossibleError:
    """Return what is said where the file of a season's road network is gone or cannot be read."""
    return ImpossibleError(
        f"The road map made from {roads.source_name} {LOST_WORDS}, so drives cannot be told.",
        f"Put {roads_path(season_file, roads).name} back beside it, or import {roads.source_name} again.",
    )


def make_folder(folder: Path, todo: str = "Name another folder.") -> None:
    """Make a folder, and those above it, unless it is there; raises InputError, with what to do, where that fails."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        expected = "a folder, or a place where one can be made"
        found = "a file" if folder.is_file() else error.strerror or str(error)
        raise InputError(Fault(str(folder), "", expected, found, todo)) from error


@lru_cache(maxsize=1)
def _loaded(path: Path, _inode: int, _modified_ns: int, _size: int) -> RoadNetwork:
    """Return the network in a file, which one use case after the other asks for.

    The last one is remembered while its file stays as it is, with the places and ways that have been looked for on it.
    """
    return RoadNetwork.load(path)


def _candidates(season_file: Path, roads: RoadMap) -> Iterator[Path]:
    usual = roads_path(season_file, roads)
    yield usual
    yield from (path for path in kept_files(usual.parent, roads.content_hash) if path != usual)
