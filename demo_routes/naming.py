"""Names for the roads: one for each run of road that a traveller would call by one name."""

from __future__ import annotations

import random
from dataclasses import dataclass
from itertools import pairwise, product

from curves import partners
from paths import leaving
from roads import Network, Road, road_of

FIRST = (
    "Adder", "Alder", "Amberley", "Ashen", "Badger", "Beacon", "Bellwether", "Bilberry", "Blackthorn", "Bracken",
    "Bramble", "Brook", "Broom", "Bullfinch", "Candle", "Chaffinch", "Chalkpit", "Cinder", "Cobbler's", "Coney",
    "Copper", "Cordwain", "Cowslip", "Crake", "Crooked", "Cuckoo", "Curlew", "Dimmet", "Drover's", "Dunnock",
    "Eel", "Elder", "Fallow", "Farrier's", "Fern", "Fiddler's", "Foxglove", "Furze", "Gallows", "Goldcrest",
    "Gorse", "Grazier's", "Hare", "Harrow", "Hawker's", "Hazel", "Heather", "Hobby", "Hollow", "Honey", "Ivy",
    "Jackdaw", "Juniper", "Kestrel", "Lantern", "Lapwing", "Lark", "Linnet", "Ling", "Long", "Mallow", "Merlin",
    "Milestone", "Moth", "Nettle", "Nightchurr", "Oat", "Osier", "Owl", "Peat", "Pedlar's", "Pinfold", "Plover",
    "Potter's", "Puffball", "Quail", "Raven", "Reed", "Rowan", "Rush", "Saffron", "Saltern", "Sandpit", "Sedge",
    "Shearling", "Shepherd's", "Siskin", "Skylark", "Sloe", "Smuggler's", "Snipe", "Sorrel", "Spindle", "Stonechat",
    "Tanner's", "Teasel", "Thistle", "Thorn", "Turf", "Vesper", "Wether", "Whin", "Whitebeam", "Willow", "Withy",
    "Woodlark", "Wren", "Yaffle", "Yarrow",
)  # fmt: skip
LAST = {
    "primary": ("Road",),
    "secondary": ("Turnpike", "Gate", "Causeway"),
    "unclassified": ("Lane", "Drove", "Lane", "Drift", "Bottom", "Lane"),
    "track": ("Ride", "Track", "Walk"),
    "residential": ("Street", "Row", "Close", "Yard", "Hill"),
}


@dataclass(frozen=True, slots=True)
class Run:
    """A run of roads with one name and the same tags, as the junctions passed in order."""

    name: str
    junctions: tuple[int, ...]
    roads: tuple[Road, ...]


def name_runs(network: Network[int], seed: str) -> list[Run]:
    """Return every road of the network exactly once, joined to runs and named."""
    run_on = partners(network)
    draw = random.Random(f"{seed} names")
    stock = {kind: _shuffled(draw, last) for kind, last in LAST.items()}
    seen: set[frozenset[int]] = set()
    runs = []
    for a, b in sorted((min(edge), max(edge)) for edge in network.edges):
        if frozenset((a, b)) in seen:
            continue
        road = road_of(network, a, b)
        junctions = _extend(network, [road.start, road.end], run_on, seen)
        if not road.oneway:
            junctions = _extend(network, junctions[::-1], run_on, seen)
        roads = tuple(road_of(network, u, v) for u, v in pairwise(junctions))
        name = str(road.tags.get("name", "")) or ("" if "junction" in road.tags else stock[road.kind].pop())
        runs.append(Run(name, tuple(junctions), roads))
    return runs


def _shuffled(draw: random.Random, last: tuple[str, ...]) -> list[str]:
    names = [f"{first} {end}" for first, end in product(FIRST, dict.fromkeys(last))]
    draw.shuffle(names)
    return names


def _extend(
    network: Network[int], junctions: list[int], run_on: dict[tuple[int, int], int], seen: set[frozenset[int]]
) -> list[int]:
    """Follow the run onwards from its last junction while the road stays of one kind."""
    seen.add(frozenset(junctions[-2:]))
    while (beyond := run_on.get((junctions[-1], junctions[-2]))) is not None:
        here, after = road_of(network, junctions[-2], junctions[-1]), road_of(network, junctions[-1], beyond)
        same = (here.kind, here.settlement, dict(here.tags)) == (after.kind, after.settlement, dict(after.tags))
        if not same or here.oneway or after.oneway or frozenset((junctions[-1], beyond)) in seen:
            break
        seen.add(frozenset((junctions[-1], beyond)))
        junctions.append(beyond)
    return junctions


def run_line(run: Run) -> list[tuple[Road, bool]]:
    """Return the run's roads with whether each is passed from its start to its end."""
    return [
        (road, leaving(road, junction) == road.line and road.start == junction)
        for road, junction in zip(run.roads, run.junctions, strict=False)
    ]
