"""A whole invented survey, ready to be written as the files people have."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from curves import bend_roads
from island import XY, Island
from paths import Candidate
from people import Volunteer
from roads import Country, Network, draw_country
from routes import Route
from streets import build_streets, open_roundabouts
from weather import Evening


@dataclass(frozen=True, slots=True)
class Survey:
    """One scenario: the map, the routes, the people, and the season's own file."""

    folder: str
    season_toml: str
    island: Island
    network: Network[int]
    routes: tuple[Route, ...]
    as_gpx: frozenset[str]
    """Codes of the routes that are kept as GPX files; the others share one table."""
    volunteers: tuple[Volunteer, ...]
    seed: str
    evenings: tuple[Evening, ...] = ()
    """Past evenings, where somebody wrote down which of them weather took."""
    conditions: str = ""
    """A forecast as a table of conditions, to be imported on the afternoon before an evening."""


def draw_map(country: Country) -> Network[int]:
    """Return the finished road network of an island."""
    network = draw_country(country)
    build_streets(network, country)
    bend_roads(network, country.island, country.seed)
    open_roundabouts(network)
    return network


def in_rounds(strings: Sequence[Candidate]) -> list[Candidate]:
    """Return the strings in the order a clock's hand would meet them, from the north-west on."""

    def bearing(string: Candidate) -> float:
        x, y = middle(string.points)
        return (math.atan2(x, y) + math.radians(60)) % (2 * math.pi)

    return sorted(strings, key=bearing)


def middle(points: Sequence[XY]) -> XY:
    """Return the mean of some spots."""
    return sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)
