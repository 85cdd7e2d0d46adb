"""The roads of an OpenStreetMap file as its ways have them: what they are, and through which nodes they go."""

from __future__ import annotations

import math
from array import array
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import numpy as np

from planner.travel.coordinates import Floats, Ints
from planner.travel.osm.access import WAY_KEYS, open_directions
from planner.travel.osm.maxspeed import LIMIT_KEYS, limit_kmh
from planner.travel.road_flags import FLAG_KEYS, road_flags
from planner.travel.speeds import CAP_KEYS, SpeedTable

_KEYS = tuple(
    dict.fromkeys(("highway", "oneway", "maxspeed", "surface", *WAY_KEYS, *LIMIT_KEYS, *CAP_KEYS, *FLAG_KEYS))
)
"""Every key that matters, those most often met first."""
_MOST_KNOWN = 50_000
"""Sets of tags remembered at a time."""


@dataclass(frozen=True, slots=True)
class WayUse:
    """What the tags of a way say to a driver; many ways share one."""

    kind: str
    """Highway class."""
    forward: bool
    """Whether a car may go in the direction of the way's nodes."""
    backward: bool
    flags: int
    """``RoadFlag`` bits."""
    forward_limit_kmh: float
    """Posted limit; ``inf``: none by sign, ``nan``: nothing is said."""
    backward_limit_kmh: float
    cap_kmh: float
    """The most that surface, track grade and smoothness allow; ``inf`` where they say nothing."""


class WayUses:
    """Numbers what the tags of ways say, each way of saying it judged once."""

    def __init__(self, speeds: SpeedTable, *, fords_open: bool) -> None:
        """Take the table whose classes, limits and caps are meant, and whether fords may be driven."""
        self._speeds = speeds
        self._fords_open = fords_open
        self._numbers: dict[WayUse, int] = {}
        self._known: dict[tuple[tuple[str, str], ...], int] = {}

    def number(self, get: Callable[[str], str | None], count: int) -> int:
        """Return the number of what a way's tags say.

        Args:
            get: gives the value of a key, None where the way has no such tag.
            count: how many tags the way has.
        """
        found = _looked_up(get, count)
        number = self._known.get(found)
        if number is None:
            if len(self._known) >= _MOST_KNOWN:
                self._known.clear()
            number = self._known[found] = self._numbers.setdefault(self._judged(dict(found)), len(self._numbers))
        return number

    @property
    def uses(self) -> tuple[WayUse, ...]:
        """What was numbered, by number."""
        return tuple(self._numbers)

    def _judged(self, tags: Mapping[str, str]) -> WayUse:
        forward, backward = open_directions(tags, fords_open=self._fords_open)
        limits = [limit_kmh(tags, direction, self._speeds) for direction in ("forward", "backward")]
        forward_limit, backward_limit = (math.nan if limit is None else limit for limit in limits)
        return WayUse(
            kind=tags["highway"],
            forward=forward,
            backward=backward,
            flags=int(road_flags(tags)),
            forward_limit_kmh=forward_limit,
            backward_limit_kmh=backward_limit,
            cap_kmh=self._speeds.cap_kmh(tags),
        )


def _looked_up(get: Callable[[str], str | None], count: int) -> tuple[tuple[str, str], ...]:
    """Return the tags that matter; asking osmium for a key is several times as quick as listing all tags."""
    found = []
    for key in _KEYS:
        value = get(key)
        if value is not None:
            found.append((key, value))
            if len(found) == count:
                break
    return tuple(found)


@dataclass(slots=True)
class RoadWays:
    """Ways as they come, flat for numpy: way w goes through ``refs[starts[w]]`` to ``refs[starts[w + 1] - 1]``."""

    ids: array[int] = field(default_factory=lambda: array("q"))
    refs: array[int] = field(default_factory=lambda: array("q"))
    """Node ids."""
    starts: array[int] = field(default_factory=lambda: array("q", [0]))
    use_numbers: array[int] = field(default_factory=lambda: array("q"))
    name_numbers: array[int] = field(default_factory=lambda: array("q"))
    names: dict[str, int] = field(default_factory=dict)
    """Number of each name, else road number, else nothing."""
    uses: tuple[WayUse, ...] = ()

    def __len__(self) -> int:
        return len(self.ids)

    def add(self, way_id: int, refs: list[int], use_number: int, name: str) -> None:
        """Append one way."""
        self.ids.append(way_id)
        self.refs.extend(refs)
        self.starts.append(len(self.refs))
        self.use_numbers.append(use_number)
        self.name_numbers.append(self.names.setdefault(name, len(self.names)))

    def driven(self) -> bool:
        """Return whether a car may use any of them."""
        return any(use.forward or use.backward for use in self.uses)

    def column(self, name: str) -> Floats:
        """Return one field of ``WayUse``, other than the kind, for each way."""
        values = np.array([getattr(use, name) for use in self.uses], dtype=np.float64)
        return values[np.frombuffer(self.use_numbers, dtype=np.int64)]

    def kinds(self) -> tuple[tuple[str, ...], Ints]:
        """Return the highway classes there are, in alphabetical order, and the number of each way's."""
        names, numbers = np.unique(np.array([use.kind for use in self.uses]), return_inverse=True)
        return tuple(names.tolist()), numbers[np.frombuffer(self.use_numbers, dtype=np.int64)].astype(np.int64)
