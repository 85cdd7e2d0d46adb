"""Keeps a network in one .npz file: arrays only, no pickled objects."""

from __future__ import annotations

import os
import zipfile
import zlib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.lib.npyio import NpzFile
from numpy.typing import NDArray

from planner.travel.osm.source_file import fault
from planner.travel.road_arrays import RoadArrays

LAYOUT = 2
"""Raised when the arrays change their meaning, or a file's tags are read by other rules."""

_TODO = "Read the roads again from the OpenStreetMap file."
_NUMBERS = {
    "node_latitudes": np.float64,
    "node_longitudes": np.float64,
    "tails": np.int64,
    "heads": np.int64,
    "metres": np.float64,
    "forward_seconds": np.float64,
    "backward_seconds": np.float64,
    "geometry_starts": np.int64,
    "geometry_latitudes": np.float64,
    "geometry_longitudes": np.float64,
    "kind_numbers": np.int64,
    "name_numbers": np.int64,
    "flags": np.uint8,
    "forward_limit_kmh": np.float64,
    "backward_limit_kmh": np.float64,
    "cap_kmh": np.float64,
    "banned_starts": np.int64,
    "banned_arcs": np.int64,
    "closed_starts": np.int64,
    "closed_latitudes": np.float64,
    "closed_longitudes": np.float64,
    "closed_kind_numbers": np.int64,
}
_PER_EDGE = (
    *("heads", "metres", "forward_seconds", "backward_seconds", "kind_numbers", "name_numbers"),
    *("flags", "forward_limit_kmh", "backward_limit_kmh", "cap_kmh"),
)
_MEASURES = {
    **dict.fromkeys(("node_latitudes", "geometry_latitudes", "closed_latitudes"), (-90.0, 90.0)),
    **dict.fromkeys(("node_longitudes", "geometry_longitudes", "closed_longitudes"), (-180.0, 180.0)),
    "metres": (0.0, 1e8),
    **dict.fromkeys(("forward_seconds", "backward_seconds", "cap_kmh"), (0.0, np.inf)),
    **dict.fromkeys(("forward_limit_kmh", "backward_limit_kmh"), (0.0, np.inf)),
}
"""The least and the most that a figure can be; a drive that is not allowed takes for ever."""
_UNKNOWN = frozenset({"forward_limit_kmh", "backward_limit_kmh", "cap_kmh"})
"""Of these not every figure is known."""
_DAMAGE = (
    *(OSError, ValueError, EOFError, KeyError, RuntimeError, MemoryError),
    *(zipfile.BadZipFile, zlib.error),
)
"""How a damaged archive shows, depending on which byte was hit."""
_TEXTS = ("kinds", "names", "notes", "attribution", "content_hash")
_SEPARATOR = "\n"
_PER_DEGREE = 10_000_000
"""OpenStreetMap keeps degrees to seven places."""
_MOST_INT = np.iinfo(np.int32).max


@dataclass(frozen=True, slots=True, eq=False)
class StoredNetwork:
    """What a network file holds."""

    roads: RoadArrays
    attribution: str
    content_hash: str


def write_network(path: Path, stored: StoredNetwork) -> None:
    """Write a network; the file appears whole or not at all.

    Raises:
        OSError: the folder cannot be written.
    """
    arrays: dict[str, Any] = {name: _small(getattr(stored.roads, name)) for name in _NUMBERS}
    arrays["layout"] = np.array(LAYOUT)
    arrays["kinds"] = _packed(_SEPARATOR.join(stored.roads.kinds))
    arrays["names"] = _packed(_SEPARATOR.join(name.replace(_SEPARATOR, " ") for name in stored.roads.names))
    arrays["notes"] = _packed(_SEPARATOR.join(stored.roads.notes))
    arrays["attribution"] = _packed(stored.attribution)
    arrays["content_hash"] = _packed(stored.content_hash)
    temporary = path.with_name(f"{path.name}.{os.getpid()}.part")
    try:
        with temporary.open("wb") as file:
            np.savez(file, **arrays)
        temporary.replace(path)
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise


def read_network(path: Path) -> StoredNetwork:
    """Read a network.

    Raises:
        InputError: the file is missing, damaged, of another layout, or its arrays do not belong together.
    """
    expected = f"a road network of layout {LAYOUT}"
    try:
        # numpy leaves a file open that it opened and could not read.
        with path.open("rb") as handle, NpzFile(handle, allow_pickle=False) as file:
            _refuse_packed(path, file)
            arrays = {name: _large(name, file[name]) for name in file.files}
            texts = {name: arrays[name].tobytes().decode("utf-8") for name in _TEXTS if name in arrays}
    except _DAMAGE as error:
        raise fault(path, "", expected, str(error) or type(error).__name__, _TODO) from error
    layout = arrays.get("layout")
    if layout is None or layout.shape != () or layout != LAYOUT:
        raise fault(path, "layout", expected, "none" if layout is None else f"layout {layout}", _TODO)
    complaint = _complaint(arrays)
    if complaint:
        raise fault(path, "", expected, complaint, _TODO)
    return _stored(arrays, texts)


def _refuse_packed(path: Path, file: NpzFile) -> None:
    """Raise ValueError where arrays say they are larger than the file: none is packed by this program."""
    said = sum(part.file_size for part in file.zip.infolist()) if file.zip is not None else 0
    if said > path.stat().st_size:
        raise ValueError(f"arrays of {said:,} bytes in a file of {path.stat().st_size:,}")


def _stored(arrays: dict[str, NDArray[Any]], texts: dict[str, str]) -> StoredNetwork:
    roads = RoadArrays(
        **{name: arrays[name] for name in _NUMBERS},
        kinds=tuple(texts["kinds"].split(_SEPARATOR)),
        names=tuple(texts["names"].split(_SEPARATOR)),
        notes=tuple(texts["notes"].splitlines()),
    )
    return StoredNetwork(roads, texts["attribution"], texts["content_hash"])


def _small(array: NDArray[Any]) -> NDArray[Any]:
    """Return an array in half its size where that loses nothing: numbers of rows, and degrees to seven places.

    Smaller and not compressed a network is read ten times as quickly as compressed, at little more size.
    """
    if array.dtype == np.int64 and (not len(array) or array.max() <= _MOST_INT):
        return array.astype(np.int32)
    if array.dtype == np.float64 and len(array) and np.abs(array).max() <= _MOST_INT / _PER_DEGREE:
        whole: NDArray[np.int32] = np.rint(array * _PER_DEGREE).astype(np.int32)
        if (whole / _PER_DEGREE == array).all():
            return whole
    return array


def _large(name: str, array: NDArray[Any]) -> NDArray[Any]:
    if array.dtype == np.int32 and name in _NUMBERS:
        return np.asarray(array / _PER_DEGREE) if _NUMBERS[name] is np.float64 else array.astype(np.int64)
    return array


def _packed(text: str) -> NDArray[np.uint8]:
    return np.frombuffer(text.encode("utf-8"), dtype=np.uint8)


def _complaint(arrays: dict[str, NDArray[Any]]) -> str:
    """Return what is wrong with the arrays of a file, empty where they belong together."""
    types = {**_NUMBERS, **dict.fromkeys(_TEXTS, np.uint8)}
    for name, dtype in types.items():
        if name not in arrays:
            return f"no '{name}'"
        if arrays[name].dtype != dtype or arrays[name].ndim != 1:
            return f"'{name}' of another type"
    if not _fits(arrays):
        return "arrays of lengths that do not belong together"
    for name, bound in _bounds(arrays).items():
        if len(arrays[name]) and (arrays[name].min() < 0 or arrays[name].max() >= bound):
            return f"numbers out of range in '{name}'"
    for name, (least, most) in _MEASURES.items():
        if not ((arrays[name] >= least) & (arrays[name] <= most) | (np.isnan(arrays[name]) & (name in _UNKNOWN))).all():
            return f"figures out of range in '{name}'"
    return ""


def _fits(arrays: dict[str, NDArray[Any]]) -> bool:
    edges = len(arrays["tails"])
    return (
        edges > 0
        and all(len(arrays[name]) == edges for name in _PER_EDGE)
        and len(arrays["node_longitudes"]) == len(arrays["node_latitudes"])
        and len(arrays["geometry_longitudes"]) == len(arrays["geometry_latitudes"])
        and len(arrays["closed_longitudes"]) == len(arrays["closed_latitudes"])
        and _rows_fit(arrays["geometry_starts"], edges, len(arrays["geometry_latitudes"]))
        and _rows_fit(arrays["banned_starts"], len(arrays["banned_starts"]) - 1, len(arrays["banned_arcs"]))
        and _rows_fit(arrays["closed_starts"], len(arrays["closed_kind_numbers"]), len(arrays["closed_latitudes"]))
    )


def _rows_fit(starts: NDArray[Any], rows: int, entries: int) -> bool:
    """Return whether the starts part so many entries into so many rows of two or more."""
    return (
        len(starts) == rows + 1 > 0 and (starts[0], starts[-1]) == (0, entries) and bool((np.diff(starts) >= 2).all())
    )


def _bounds(arrays: dict[str, NDArray[Any]]) -> dict[str, int]:
    """Return what the numbers of each array must stay below."""
    nodes, kinds = len(arrays["node_latitudes"]), 1 + int((arrays["kinds"] == ord(_SEPARATOR)).sum())
    return {
        "tails": nodes,
        "heads": nodes,
        "kind_numbers": kinds,
        "closed_kind_numbers": kinds,
        "name_numbers": 1 + int((arrays["names"] == ord(_SEPARATOR)).sum()),
        "banned_arcs": 2 * len(arrays["tails"]),
    }
