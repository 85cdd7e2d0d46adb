"""Road maps that were read before: known by their content, wherever a season in the same folder keeps them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from planner.domain.errors import DimpsyError
from planner.travel import OSM_ATTRIBUTION, RoadNetwork, content_hash

_SHOWN_DIGITS = 12
"""Digits of the hash in a name: enough to find a file, which is then held against the whole hash."""


def kept_name(stem: str, source_hash: str) -> str:
    """Return the name under which a season of that name keeps the parsed road map of a source."""
    return f"{stem}.roads-{source_hash[:_SHOWN_DIGITS]}.npz"


def kept_files(folder: Path, source_hash: str) -> Iterator[Path]:
    """Yield the files of a folder that should hold the parsed road map of a source, whatever season keeps them."""
    try:
        yield from sorted(folder.glob(f"*.roads-{source_hash[:_SHOWN_DIGITS]}.npz"))
    except OSError:
        return


def roads_of_file(
    path: Path, *, attribution: str = OSM_ATTRIBUTION, folder: Path | None = None
) -> tuple[RoadNetwork, str]:
    """Return the roads of an OpenStreetMap file, and what is to be said of how they came; empty where nothing is.

    Where the folder holds what was parsed of the same content before, that is taken: a fraction of the work. What is
    damaged there is passed over, and the file read anew.

    Args:
        path: the extract.
        attribution: what to print beside maps made from it.
        folder: where seasons and their road maps lie; None: the file is read in any case.

    Raises:
        InputError: the file cannot be read.
    """
    said = ""
    if folder is not None and path.is_file():
        source_hash = content_hash(path)
        for kept in kept_files(folder, source_hash):
            try:
                network = RoadNetwork.load(kept)
            except DimpsyError:
                said = f"{kept.name} is damaged, or of an older version of the program: {path.name} is read anew."
                continue
            if network.content_hash == source_hash and network.attribution == attribution:
                return network, f"it was read before, and is taken from {kept.name}"
    return RoadNetwork.read(path, attribution=attribution), said
