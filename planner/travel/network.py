"""The road network of a season: read once, asked for minutes, lines and roads."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from pathlib import Path

import networkx as nx
import numpy as np

from planner.domain.field.drive_factors import DriveFactors
from planner.domain.road_speeds import RoadSpeeds
from planner.travel.coordinates import Floats, LatLon, Places, as_places, degrees, pairs
from planner.travel.estimate import CAUTIOUS_SHARE, estimate_minutes
from planner.travel.network_file import StoredNetwork, read_network, write_network
from planner.travel.osm.compacting import arrays_of_file
from planner.travel.osm.source_file import content_hash
from planner.travel.road_arrays import RoadArrays, slowed, with_speeds
from planner.travel.road_pace import RoadPace
from planner.travel.routing.paths import Stretch, kind_seconds, line_of, quickest_stretches
from planner.travel.routing.positions import Positions
from planner.travel.routing.reached import reached_lines
from planner.travel.routing.road_graph import road_graph
from planner.travel.routing.router import Router
from planner.travel.sides import Side, sides
from planner.travel.snapping import Snap, Snapper, SnapTable
from planner.travel.speeds import SpeedTable, shipped_speeds

OSM_ATTRIBUTION = "© OpenStreetMap contributors, ODbL"
"""What the Open Database License asks to be shown beside anything made from OpenStreetMap."""


@dataclass(frozen=True, slots=True)
class Road:
    """A piece of road between two junctions, for drawing."""

    kind: str
    """Highway class."""
    name: str
    """Name, else road number, else empty."""
    polyline: tuple[LatLon, ...]


_MOST_WAYS = 20_000
"""Ways remembered at a time, some kilobytes each at most; as many places on their roads."""


class RoadNetwork:
    """Roads a volunteer's car may use, with the seconds each takes in either direction.

    Forbidden turns are kept to; traffic lights and restrictions by hour are not known to it. Places are put onto the
    nearest point of a road (see ``snap``); the way from the place to its road is not counted.
    """

    def __init__(self, roads: RoadArrays, *, attribution: str, content_hash: str) -> None:
        """Take compact arrays; use ``read`` or ``load`` instead.

        Args:
            roads: junctions and edges, one edge or more.
            attribution: what to print beside maps made from this network.
            content_hash: SHA-256 of the file the roads came from.
        """
        self.roads = roads
        self.attribution = attribution
        self.content_hash = content_hash
        self._ways: dict[tuple[LatLon, LatLon], tuple[LatLon, ...]] = {}
        self._on_roads: dict[LatLon, Positions] = {}
        self._views: dict[Snapper, RoadNetwork] = {}
        self._whole: RoadNetwork = self
        self.loaded_from: Path | None = None
        """The file that ``save`` wrote, where it came from one."""
        self.pace = RoadPace()
        self._by_pace: dict[RoadPace, RoadNetwork] = {self.pace: self}

    @classmethod
    def read(
        cls,
        path: Path | str,
        *,
        attribution: str = OSM_ATTRIBUTION,
        fords_open: bool = False,
        speeds: SpeedTable | None = None,
    ) -> RoadNetwork:
        """Read the roads of a .osm, .osm.bz2 or .osm.pbf file.

        Kept are the highway classes of the table of speeds, where access (motorcar before motor_vehicle before
        vehicle before access) allows a private car; private roads are closed, and kept as lines apart. Gates that
        are locked or private, and barriers no car fits through, cut the road. Turn restrictions for cars are kept.
        ``roads.notes`` says what was read and what was not understood.

        Args:
            path: the extract.
            attribution: what to print beside maps made from it, where the roads are not OpenStreetMap's.
            fords_open: whether fords may be driven. Closed by default: volunteers drive in the dark, when the
                depth of water cannot be judged.
            speeds: table of speeds; the shipped one by default.

        Raises:
            InputError: the file is missing, empty, cut off, of another kind, XML with a DOCTYPE, or has no roads
                a car may use.
        """
        path = Path(path)
        roads = arrays_of_file(path, speeds or shipped_speeds(), fords_open=fords_open)
        return cls(roads, attribution=attribution, content_hash=content_hash(path))

    @classmethod
    def load(cls, path: Path | str) -> RoadNetwork:
        """Read a network that ``save`` wrote.

        Raises:
            InputError: the file is missing, damaged or of another layout.
        """
        stored = read_network(Path(path))
        network = cls(stored.roads, attribution=stored.attribution, content_hash=stored.content_hash)
        network.loaded_from = Path(path)
        return network

    def save(self, path: Path | str) -> None:
        """Write the network, at the speeds of the table, as .npz; the file appears whole or not at all.

        Raises:
            OSError: the folder cannot be written.
        """
        write_network(Path(path), StoredNetwork(self._by_pace[RoadPace()].roads, self.attribution, self.content_hash))

    @cached_property
    def graph(self) -> nx.MultiDiGraph[int]:
        """The network for networkx, made when first asked for.

        Nodes carry ``latitude``, ``longitude`` and ``junction``. Beside the junctions there are nodes for what was
        driven last, where a forbidden turn hangs on it; their ``junction`` is the one they belong to. Arcs carry
        ``edge`` (number in the arrays), ``seconds``, ``metres``, ``kind`` and ``name``. Parallel arcs are all there,
        keyed 2 * edge, + 1 from head to tail.
        """
        return road_graph(self.roads, self._router.states, self.attribution)

    def snap(self, places: Places) -> tuple[Snap, ...]:
        """Put places onto the nearest point of the nearest road, motorways left out.

        Where that road is outside the largest part in which everything can be reached from everything, the
        nearest place inside it is given too (``Snap.alternative``); ``Snap.used`` is what minutes start from.

        Raises:
            RuleError: a coordinate is out of range.
        """
        table = degrees(places)
        if not len(table):
            return ()
        nearest = self._snapper.nearest(table)
        outside = np.flatnonzero(~self._snapper.main_edges[nearest.edges])
        alternatives: dict[int, Snap] = {}
        if len(outside):
            on_main = self._snaps(table[outside], self._snapper.nearest_on_main(table[outside]), {})
            alternatives = {row: snap for row, snap in zip(outside.tolist(), on_main, strict=True) if snap.edge >= 0}
        return self._snaps(table, nearest, alternatives)

    def seen_from(self, homes: Places) -> RoadNetwork:
        """Return the network as it serves these homes: places go to the part that most homes drive to and back from.

        Nearly always that is the largest part, and the network itself is returned; the same part gives the same object.

        Raises:
            RuleError: a coordinate is out of range.
        """
        if self._whole is not self:
            return self._whole.seen_from(homes)
        snapper = self._snapper.serving(degrees(homes))
        if snapper is self._snapper:
            return self
        if snapper not in self._views:
            view = RoadNetwork(self.roads, attribution=self.attribution, content_hash=self.content_hash)
            view.pace, view._by_pace = self.pace, self._by_pace
            view._snapper, view._router, view._whole = snapper, self._router, self
            self._views[snapper] = view
        return self._views[snapper]

    @property
    def speeds(self) -> RoadSpeeds:
        """The season's own speeds that it is driven at."""
        return self.pace.speeds

    def at_speeds(self, speeds: RoadSpeeds, factors: DriveFactors | None = None) -> RoadNetwork:
        """Return the network driven at a season's own speeds; the same asked for again gives the same object.

        Args:
            speeds: how fast its roads are driven.
            factors: what recorded drives came to, the season and its road classes; those of routes are passed over.
        """
        if self._whole is not self:
            return self._whole.at_speeds(speeds, factors)
        pace = RoadPace.build(speeds, factors)
        known = self._by_pace
        paced = known.get(pace)
        if paced is None:
            table = known[RoadPace()]
            own = speeds != table.speeds
            roads = with_speeds(table.roads, shipped_speeds().changed(speeds)) if own else table.roads
            roads = slowed(roads, pace.slowness(roads.kinds))
            paced = RoadNetwork(roads, attribution=self.attribution, content_hash=self.content_hash)
            paced.pace, paced._by_pace = pace, known
            known[pace] = paced
            # Those of the table, and the three asked for last: the season before a change and after it, and its speeds
            # without what recorded drives came to.
            if len(known) > 4:
                known.pop(next(one for one in tuple(known) if one != table.pace), None)
        return paced

    def off_road_metres(self, places: Places) -> Floats:
        """Return the metres from each place to the road that its drives end on; NaN for a place near no road.

        Raises:
            RuleError: a coordinate is out of range.
        """
        chosen = self._snapper.chosen(degrees(places))
        return np.where(chosen.edges >= 0, chosen.distances_m, np.nan)

    def sides(self, places: Places) -> tuple[Side | None, ...]:
        """Return what there is to doubt of the road that each place goes to; None for a place near no road.

        Raises:
            RuleError: a coordinate is out of range.
        """
        return sides(
            self.roads,
            self._snapper,
            degrees(places),
            lambda start, end, limit: self.minutes(start, end, limit_minutes=limit),
        )

    def minutes(self, origins: Places, destinations: Places, *, limit_minutes: float | None = None) -> Floats:
        """Return the least drive minutes from every origin to every destination.

        Partial roads at both ends are counted; there and back can differ. Stop overhead is not included.

        Args:
            origins: (latitude, longitude) pairs.
            destinations: (latitude, longitude) pairs.
            limit_minutes: longer drives are given as ``inf``; a limit makes large tables much quicker.

        Returns:
            Minutes, shape (origins, destinations); ``inf``: unreachable, or no road within ``SNAP_LIMIT_M``.

        Raises:
            RuleError: a coordinate is out of range.
        """
        limit_seconds = math.inf if limit_minutes is None else limit_minutes * 60.0
        start = self._positions(origins)
        end = start if destinations is origins else self._positions(destinations)
        table = self._router.seconds(start, end, limit_seconds)
        table /= 60.0
        return table

    def path(self, origin: LatLon, destination: LatLon) -> tuple[LatLon, ...]:
        """Return the quickest way as (latitude, longitude) pairs from road to road; empty where there is none.

        Ways found before are remembered: papers, maps and checks ask for the same ones again and again.

        Raises:
            RuleError: a coordinate is out of range.
        """
        known = self._ways.get((origin, destination))
        if known is None:
            known = line_of(self.roads, self._quickest(origin, destination))
            if len(self._ways) >= _MOST_WAYS:
                self._ways.clear()
            self._ways[origin, destination] = known
        return known

    def paths_through(self, places: Sequence[LatLon]) -> tuple[tuple[LatLon, ...], ...]:
        """Return what ``path`` does from each place to the next: one line fewer than there are places.

        Raises:
            RuleError: a coordinate is out of range.
        """
        self._put_on_roads(places)
        return tuple(self.path(here, there) for here, there in pairwise(places))

    def minutes_by_kind(self, origin: LatLon, destination: LatLon) -> dict[str, float]:
        """Return the minutes that the quickest way takes on each highway class it follows; empty where there is none.

        Their sum is what ``minutes`` gives.

        Raises:
            RuleError: a coordinate is out of range.
        """
        seconds = kind_seconds(self.roads, self._quickest(origin, destination))
        return {self.roads.kinds[kind]: float(seconds[kind]) / 60.0 for kind in np.flatnonzero(seconds).tolist()}

    def _quickest(self, origin: LatLon, destination: LatLon) -> tuple[Stretch, ...]:
        start, end = self._put_on_roads([origin, destination])
        likely_seconds = float(estimate_minutes([origin], [destination])[0, 0]) * CAUTIOUS_SHARE * 60.0
        # Nearly every way is found within the cautious estimate, at a fraction of the search.
        for limit_seconds in (likely_seconds, math.inf):
            way = quickest_stretches(self._router.arcs, start, end, limit_seconds)
            if way:
                return way
        return ()

    def reached(self, origin: LatLon, limit_minutes: float) -> tuple[tuple[LatLon, ...], ...]:
        """Return the roads, and parts of roads, that can be driven to within so many minutes, for drawing.

        Each is a line of (latitude, longitude) pairs; none where no road is within ``SNAP_LIMIT_M`` of the origin.

        Raises:
            RuleError: a coordinate is out of range.
        """
        return reached_lines(self.roads, self._router.arcs, self._positions([origin]), limit_minutes * 60.0)

    def roads_within(self, south: float, west: float, north: float, east: float) -> tuple[Road, ...]:
        """Return the roads whose bounding box touches a box given in degrees; their lines are not clipped.

        A box whose west lies east of its east spans 180 degrees of longitude.
        """
        bottom, top, left, right = self._bounds
        across = (right >= west) | (left <= east) if west > east else (right >= west) & (left <= east)
        edges = np.flatnonzero((top >= south) & (bottom <= north) & across)
        roads = self.roads
        return tuple(
            Road(
                roads.kinds[roads.kind_numbers[edge]],
                roads.names[roads.name_numbers[edge]],
                pairs(*roads.geometry(edge)),
            )
            for edge in edges.tolist()
        )

    def on_road(self, places: Places) -> list[bool]:
        """Return for each place whether drive minutes can start or end there: a road is within ``SNAP_LIMIT_M``."""
        return [bool(edge >= 0) for edge in self._snapper.used(degrees(places))[0]]

    @cached_property
    def _router(self) -> Router:
        return Router(self.roads)

    @cached_property
    def _snapper(self) -> Snapper:
        return Snapper(self.roads, self._router.arcs.largest_part())

    @cached_property
    def _bounds(self) -> tuple[Floats, Floats, Floats, Floats]:
        roads, starts = self.roads, self.roads.geometry_starts[:-1]
        return (
            np.minimum.reduceat(roads.geometry_latitudes, starts),
            np.maximum.reduceat(roads.geometry_latitudes, starts),
            np.minimum.reduceat(roads.geometry_longitudes, starts),
            np.maximum.reduceat(roads.geometry_longitudes, starts),
        )

    def _positions(self, places: Places) -> Positions:
        return Positions.build(self._router.states, *self._snapper.used(degrees(places)))

    def _put_on_roads(self, places: Sequence[LatLon]) -> list[Positions]:
        """Return each place on its own; all that are new are looked for at once, and remembered for ways to come."""
        found = {place: known for place in places if (known := self._on_roads.get(place)) is not None}
        new = list(dict.fromkeys(place for place in places if place not in found))
        if new:
            edges, fractions = self._snapper.used(degrees(new))
            for row, place in enumerate(new):
                one = slice(row, row + 1)
                found[place] = Positions.build(self._router.states, edges[one], fractions[one])
            if len(self._on_roads) >= _MOST_WAYS:
                self._on_roads.clear()
            self._on_roads |= {place: found[place] for place in new}
        return [found[place] for place in places]

    def _snaps(self, asked: Floats, table: SnapTable, alternatives: dict[int, Snap]) -> tuple[Snap, ...]:
        rows = zip(as_places(asked), as_places(table.places), table.distances_m.tolist(), strict=True)
        return tuple(
            Snap(
                place_asked,
                place_found,
                distance_m,
                edge=int(table.edges[row]),
                fraction=float(table.fractions[row]),
                on_main=bool(self._snapper.main_edges[table.edges[row]]),
                alternative=alternatives.get(row),
            )
            for row, (place_asked, place_found, distance_m) in enumerate(rows)
        )
