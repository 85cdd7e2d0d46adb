"""What a season's road map holds, and how fast its roads are driven."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from planner.domain.errors import RuleError
from planner.domain.road_speeds import RoadSpeeds
from planner.domain.season import RoadMap, Season
from planner.store import SeasonFile
from planner.travel import RoadNetwork, shipped_speeds
from planner.usecases.season.opening import road_network

OWN_SOURCE = "this season"


@dataclass(frozen=True, slots=True)
class RoadClass:
    """The roads of one highway class."""

    kind: str
    km: float
    """How much of it there is on the map; 0 without a map."""
    typical_kmh: float
    """Driven where no limit is posted and nothing slows the car."""
    driven_kmh: float | None
    """Driven on the whole, limits, surfaces and recorded drives counted; None where there is none of it."""
    source: str
    """Where the figure comes from."""


@dataclass(frozen=True, slots=True)
class RoadMapFacts:
    """What is known of the roads of a season."""

    road_map: RoadMap | None
    """None: the season has none, and every drive is an estimate."""
    found: bool
    """Whether it lies beside the season file, whole."""
    classes: tuple[RoadClass, ...]
    notes: tuple[str, ...]
    """What was read of its file and what was not understood."""
    speeds: RoadSpeeds
    recorded: str = ""
    """What recorded drives are planned with, in words; it is in the speeds that are driven. Empty: nothing is."""


@dataclass(frozen=True, slots=True)
class SpeedsChanged:
    """What a change of road speeds came to."""

    speeds: RoadSpeeds
    label: str
    """The step's name in the history; empty where nothing was changed."""


def road_map_facts(file: SeasonFile) -> RoadMapFacts:
    """Return what the season's road map holds, class by class, and at what speeds it is driven."""
    season = file.season()
    return facts_of(season, road_network(file.path, season.roads))


def facts_of(season: Season, network: RoadNetwork | None) -> RoadMapFacts:
    """Return what ``road_map_facts`` does, for a season whose road network has been loaded; None: it is not there."""
    paced = network.at_speeds(season.road_speeds, season.drive_factors) if network is not None else None
    notes = network.roads.notes if network is not None else ()
    recorded = season.drive_factors.said(mapped=season.roads is not None)
    return RoadMapFacts(season.roads, network is not None, _classes(season, paced), notes, season.road_speeds, recorded)


def set_road_speeds(
    file: SeasonFile, class_kmh: Mapping[str, float | None], *, factor: float | None = None
) -> SpeedsChanged:
    """Say how fast the roads of some classes are driven in this season, or all roads, as one step.

    Args:
        file: the season, open for writing.
        class_kmh: km/h by highway class, None: that of the table again; classes left out stay as they are.
        factor: what every speed is multiplied by; None: as it is.

    Raises:
        RuleError: there is no such class, or a figure is out of bounds.
    """
    unknown = sorted(class_kmh.keys() - shipped_speeds().classes.keys())
    if unknown:
        known = ", ".join(shipped_speeds().classes)
        raise RuleError(f"no road class {', '.join(map(repr, unknown))}; there are {known}")
    before = file.season().road_speeds
    merged = {**dict(before.class_kmh), **class_kmh}
    own = sorted((kind, kmh) for kind, kmh in merged.items() if kmh is not None)
    speeds = RoadSpeeds(tuple(own), before.factor if factor is None else factor)
    return _save(file, speeds, f"Drive at {speeds.said()}" if speeds.said() else "Drive at the speeds of the table")


def reset_road_speeds(file: SeasonFile) -> SpeedsChanged:
    """Go back to the table of speeds for every class, as one step."""
    return _save(file, RoadSpeeds(), "Drive at the speeds of the table")


def without_roads(file: SeasonFile) -> str:
    """Do without the season's road map, as one step, and return its label; empty where there was none.

    Its file stays beside the season, so that taking the step back finds it again.
    """
    label = "Do without the road map"
    with file.step(label) as step:
        file.save_season(replace(file.season(), roads=None))
    return label if step.changed else ""


def _save(file: SeasonFile, speeds: RoadSpeeds, label: str) -> SpeedsChanged:
    with file.step(label) as step:
        file.save_season(replace(file.season(), road_speeds=speeds))
    return SpeedsChanged(speeds, label if step.changed else "")


def _classes(season: Season, network: RoadNetwork | None) -> tuple[RoadClass, ...]:
    table = shipped_speeds()
    own = dict(season.road_speeds.class_kmh)
    paced = table.changed(season.road_speeds)
    lengths = _lengths(network) if network is not None else {}
    kinds = [*table.classes, *(kind for kind in lengths if kind not in table.classes)]
    rows = []
    for kind in kinds:
        km, driven_kmh = lengths.get(kind, (0.0, None))
        source = OWN_SOURCE if kind in own else table.speed_of(kind).source
        rows.append(RoadClass(kind, km, paced.speed_of(kind).typical_kmh * paced.factor, driven_kmh, source))
    return tuple(rows)


def _lengths(network: RoadNetwork) -> dict[str, tuple[float, float]]:
    """Return for each class its km, and the km/h driven on it over both directions."""
    roads = network.roads
    both = np.stack([roads.forward_seconds, roads.backward_seconds])
    is_open = np.isfinite(both)
    seconds, metres = np.where(is_open, both, 0.0).sum(axis=0), roads.metres * is_open.sum(axis=0)
    count = len(roads.kinds)
    km, driven, took = (
        np.bincount(roads.kind_numbers, weights, minlength=count) for weights in (roads.metres, metres, seconds)
    )
    return {
        kind: (float(km[number]) / 1000, float(driven[number] * 3.6 / took[number]))
        for number, kind in enumerate(roads.kinds)
        if took[number] > 0
    }
