"""The table of speeds shipped with the program."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from planner.domain.errors import Fault, InputError
from planner.domain.road_speeds import RoadSpeeds
from planner.shipped import resources
from planner.travel.coordinates import Floats

CAP_KEYS = ("surface", "tracktype", "smoothness")
"""Every key that ``SpeedTable.cap_kmh`` looks at."""
_TODO = "Mend the table of speeds, or install the program again."


@dataclass(frozen=True, slots=True)
class ClassSpeed:
    """The speeds of one highway class, in km/h."""

    typical_kmh: float
    """Where no limit is tagged."""
    ceiling_kmh: float
    """The most that is driven, however high the tagged limit."""
    source: str = ""
    """Where the figures come from."""


@dataclass(frozen=True, slots=True)
class SpeedTable:
    """How fast a car goes by highway class, limit, surface and state; a class not listed is not driven."""

    classes: Mapping[str, ClassSpeed]
    driven_share: float
    """Share of a posted limit that is driven on the whole."""
    walk_kmh: float
    zones: Mapping[str, float]
    """km/h by zone name, ``urban`` or ``gb:urban``."""
    caps: Mapping[str, Mapping[str, float]]
    """The most a value allows, km/h, by tag key: surface, tracktype, smoothness."""
    factor: float = 1.0
    """What every speed is multiplied by in the end."""

    def speed_kmh(self, kind: str, limit_kmh: float | None, cap_kmh: float) -> float:
        """Return the speed driven on a road.

        Args:
            kind: highway class, one of ``classes``.
            limit_kmh: posted limit; ``inf`` where there is none by sign, None where nothing is said.
            cap_kmh: the most that the state of the road allows; ``inf`` for no bound.
        """
        speeds = self.classes[kind]
        driven = speeds.typical_kmh
        if limit_kmh is not None:
            driven = min(speeds.ceiling_kmh, limit_kmh * self.driven_share)
        return min(driven, cap_kmh) * self.factor

    def speed_of(self, kind: str) -> ClassSpeed:
        """Return the speeds of a highway class; one that the table does not have is driven like ``road``."""
        return self.classes.get(kind) or self.classes["road"]

    def driven_kmh(self, typical_kmh: Floats, ceiling_kmh: Floats, limit_kmh: Floats, cap_kmh: Floats) -> Floats:
        """Return what ``speed_kmh`` does for many roads at once; a limit of ``nan`` says nothing."""
        posted = np.minimum(ceiling_kmh, limit_kmh * self.driven_share)
        return np.minimum(np.where(np.isnan(limit_kmh), typical_kmh, posted), cap_kmh) * self.factor

    def changed(self, by: RoadSpeeds) -> SpeedTable:
        """Return the table as a coordinator changes it for a season; classes it does not have are passed over."""
        own = {kind: ClassSpeed(kmh, kmh) for kind, kmh in by.class_kmh if kind in self.classes}
        return replace(self, classes={**self.classes, **own}, factor=by.factor)

    def cap_kmh(self, tags: Mapping[str, str]) -> float:
        """Return the most that surface, track grade and smoothness allow; ``inf`` where they say nothing.

        Of several values (``gravel;mud``) the slowest counts, for the road has a stretch of each.
        """
        return min(
            table.get(value.strip().lower(), float("inf"))
            for key, table in self.caps.items()
            for value in tags.get(key, "").split(";")
        )

    @classmethod
    def read(cls, path: Path) -> SpeedTable:
        """Read a table of speeds.

        Raises:
            InputError: the file cannot be read, is no TOML, or a figure is missing or not above 0.
        """
        try:
            content = tomllib.loads(path.read_text(encoding="utf-8"))
        except (OSError, ValueError) as error:
            raise InputError(Fault(str(path), "", "a TOML table of speeds", str(error), _TODO)) from error
        return _Reader(str(path), content).table()


class _Reader:
    """Takes a parsed TOML file apart and says which figure is wrong."""

    def __init__(self, source: str, content: Mapping[str, Any]) -> None:
        self._source = source
        self._content = content

    def table(self) -> SpeedTable:
        limits = self._figures("limits")
        classes = {
            kind: ClassSpeed(
                self._speed(f"classes.{kind}", entry, "typical_kmh"),
                self._speed(f"classes.{kind}", entry, "ceiling_kmh"),
                str(entry.get("source", "")),
            )
            for kind, entry in self._section("classes").items()
        }
        return SpeedTable(
            classes=classes,
            driven_share=self._speed("limits", limits, "driven_share"),
            walk_kmh=self._speed("limits", limits, "walk_kmh"),
            zones=self._figures("zones"),
            caps={
                "surface": self._figures("surfaces"),
                "tracktype": self._figures("tracktypes"),
                "smoothness": self._figures("smoothness"),
            },
        )

    def _section(self, name: str) -> Mapping[str, Any]:
        section = self._content.get(name)
        if not isinstance(section, dict):
            raise self._fault(name, "a table", "nothing" if section is None else repr(section))
        return section

    def _figures(self, name: str) -> dict[str, float]:
        section = self._section(name)
        return {key: self._speed(name, section, key) for key in section if key != "source"}

    def _speed(self, where: str, entry: object, key: str) -> float:
        value = entry.get(key) if isinstance(entry, dict) else None
        if isinstance(value, bool) or not isinstance(value, int | float) or not 0 < value < float("inf"):
            raise self._fault(f"{where}.{key}", "a number above 0", repr(value))
        return float(value)

    def _fault(self, where: str, expected: str, found: str) -> InputError:
        return InputError(Fault(self._source, where, expected, found, _TODO))


@cache
def shipped_speeds() -> SpeedTable:
    """Return the table of speeds shipped with the program."""
    return SpeedTable.read(resources() / "roads" / "speeds.toml")
