"""The survey of nightjars on the heaths of Orrinsey, an island invented where the Dogger Bank is open sea."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace

from heath_people import FIRST, LAST, LEADS_AGREED, TWO_PEOPLE, people
from island import XY, Hill, Island, Lobe, metres_between
from paths import Candidate
from people import settle
from planted import behind_rough_tracks, country_junctions, off_road, short_cuts, too_close, too_long
from roads import Country, Network, Road, Settlement, lay, spot_of
from routes import Route, Wanted, candidates, choose_apart, point_notes
from streets import street_spots
from survey import Survey, draw_map, in_rounds, middle
from weather import past_evenings

SEED = "orrinsey"
COUNT_MINUTES = 6.0
LIGHT_MINUTES = 100.0
OVERRUN_MINUTES = 16.0
ISLAND = Island(
    "Orrinsey",
    54.73,
    2.20,
    34.0,
    26.0,
    (Lobe(2, 0.05, 40), Lobe(3, 0.09, 200), Lobe(5, 0.045, 75), Lobe(7, 0.035, 300), Lobe(11, 0.018, 10)),
    (
        Hill(-2, 4, 95, 2.6),
        Hill(8.5, -4, 80, 2.2),
        Hill(-9, -5.2, 55, 1.4),
        Hill(4.5, 4.8, 70, 1.7),
        Hill(-9, 2, 55, 1.8),
        Hill(12.5, 3.5, 60, 1.5),
    ),
)
COUNTRY = Country(
    ISLAND,
    (
        Settlement("Sandhythe", -10.5, -2.5, 5, 4, 20, roundabout=True),
        Settlement("Market Orrin", 7.5, 1, 5, 4, -12),
        Settlement("Fernhythe", -6, 7),
        Settlement("Skelmere", 1, 9),
        Settlement("Grebeholm", 10.5, 7),
        Settlement("Dunlinham", 12.5, -3.5),
        Settlement("Larkstow", 4.5, -7.5),
        Settlement("Oxwold", -3.5, -8),
        Settlement("Whinbeck", -1, 0.2),
        Settlement("Pipkin's Green", -13, 3),
    ),
    primary=(
        ("Sandhythe", "Fernhythe"),
        ("Fernhythe", "Skelmere"),
        ("Skelmere", "Market Orrin"),
        ("Market Orrin", "Larkstow"),
        ("Larkstow", "Oxwold"),
        ("Oxwold", "Sandhythe"),
    ),
    secondary=(
        ("Sandhythe", "Whinbeck"),
        ("Whinbeck", "Market Orrin"),
        ("Market Orrin", "Grebeholm"),
        ("Market Orrin", "Dunlinham"),
        ("Dunlinham", "Larkstow"),
        ("Sandhythe", "Pipkin's Green"),
        ("Pipkin's Green", "Fernhythe"),
        ("Skelmere", "Grebeholm"),
    ),
    spacing_km=1.3,
    inset_km=0.45,
    moor_m=54,
    seed=SEED,
)
WANTED = Wanted((10, 10, 10, 10, 11), COUNT_MINUTES, 80, 94.5, "orrinsey 13")
NAMES = (
    "Fernhythe Common", "Adderstone Heath", "Linnet Warren", "Skelmere Moss", "Candlewick Common", "Vesper Heath",
    "Thimble Heath", "Coney Bank", "Grebeholm Sands", "Dimmet Common", "Ravenstone Moor", "Marl Heath",
    "Quillet Common", "Larkstow Ling", "Hobby's Hollow", "Sallow Heath", "The Long Ridge", "Oxwold Rough",
    "Turbary Common", "Withy Plain", "Pipkin's Heath", "Skerry Head Warren", "Moth Common", "Whinbeck Fell",
)  # fmt: skip
"""In the order of the codes R01 to R24."""
AREAS = {
    "Wyke Side": ("Sandhythe", "Pipkin's Green", "Fernhythe"),
    "North Shore": ("Skelmere", "Grebeholm"),
    "Orrin Vale": ("Whinbeck", "Market Orrin", "Dunlinham"),
    "South Lings": ("Larkstow", "Oxwold"),
}
"""By the settlements round which they lie: a route is of the area of the settlement nearest to its middle."""
ISLET = ((15_300.0, -11_300.0), (15_900.0, -10_800.0), (16_500.0, -11_100.0))
SEASON = """\
# Everything here is invented: the island, its roads, the routes, the people, their homes and numbers.
# Orrinsey lies where there is only open sea (Dogger Bank, 54.73 N 2.20 E).
name = "Nightjars on the heaths of Orrinsey, 2027"
protocol = "heath_nightjars"
zone = "Europe/London"
from = 2027-05-03
to = 2027-07-02

[[visits]]
visit = 1
from = 2027-05-10
to = 2027-06-03

[[visits]]
visit = 2
from = 2027-06-04
to = 2027-07-02

[coordinator]
name = "Isolde Marchbanks"
telephone = "07700 900001"
email = "isolde.marchbanks@example.org"
"""

STORM = """date,route,wind,rain,fog,cloud_percent,air_temperature,note
2027-06-04,,14 km/h,none,none,70,11 C,the west stays fair
2027-06-04,R05,18 km/h,,,,,near the limit
2027-06-04,R08,34 km/h,beyond,,100,,a front from the east
2027-06-04,R09,38 km/h,beyond,,100,,
2027-06-04,R12,31 km/h,some,,100,,
2027-06-04,R13,29 km/h,,,90,,
2027-06-04,R14,27 km/h,,,90,,
2027-06-04,R15,,,some,,,mist over the hollow
"""
"""The busiest evening of the planned demo: a storm in the east, a wind near the limit, and mist nobody has judged."""


def draw_heath() -> Survey:
    """Return the whole survey, planted troubles included."""
    network = draw_map(COUNTRY)
    long = too_long(network, 11, COUNT_MINUTES, LIGHT_MINUTES + OVERRUN_MINUTES)
    strings, remote, (close, crowded) = _choose(network, long)
    others = [string for string in strings if string not in (remote, crowded)][: len(NAMES) - 3]
    placed = _in_order(in_rounds(others), {5: close, 17: long, 22: remote})
    points = [string.points for string in placed]
    _open_short_cuts(network, [spot for spots in points for spot in spots])
    points[8] = _stray(network, points)
    _raise_islet(network)
    return Survey(
        "heath",
        SEASON,
        ISLAND,
        network,
        tuple(_routes(points)),
        frozenset(f"R{number:02d}" for number in range(1, 13)),
        tuple(settle(people(), _telephones(), lambda name: street_spots(network, name, SEED))),
        SEED,
        tuple(past_evenings(range(2023, 2027), FIRST, LAST, SEED)),
        STORM,
    )


def _choose(network: Network[int], long: Candidate) -> tuple[list[Candidate], Candidate, tuple[Candidate, Candidate]]:
    """Return the strings of points, the one of them behind rough tracks, and the crowded one with its sound form."""
    strings = choose_apart(candidates(network, WANTED, long.points), WANTED.seed)
    remote, rough = _choose_remote(network, strings, long)
    close = _choose_close(strings, remote, long)
    if len(strings) < len(NAMES) - 1 or not remote or not close:
        raise ValueError("these strings of points leave too little room: try another seed")
    for road in rough:
        lay(network, road)
    return strings, remote, close


def _choose_remote(
    network: Network[int], strings: Sequence[Candidate], long: Candidate
) -> tuple[Candidate | None, list[Road]]:
    """Return the westernmost route that can lie behind rough tracks, and those tracks."""
    for string in sorted(strings, key=lambda one: middle(one.points)[0]):
        rough = behind_rough_tracks(network, string, [long, *(other for other in strings if other is not string)])
        if rough:
            return string, rough
    return None, []


def _choose_close(
    strings: Sequence[Candidate], remote: Candidate | None, long: Candidate
) -> tuple[Candidate, Candidate] | None:
    """Return a route with points 6 and 7 too close together, and the sound one it was made from."""
    for string in strings:
        if string is remote or len(string.stops_m) != 10:
            continue
        others = [*long.points, *(spot for other in strings if other is not string for spot in other.points)]
        close = too_close(string, 6, others)
        if close:
            return close, string
    return None


def _in_order(others: Sequence[Candidate], placed: dict[int, Candidate]) -> list[Candidate]:
    rest = iter(others)
    return [placed[number] if number in placed else next(rest) for number in range(1, len(NAMES) + 1)]


def _stray(network: Network[int], points: list[tuple[XY, ...]]) -> tuple[XY, ...]:
    """Swap a route into the ninth place whose fourth point can lie 300 m from any road; return its points."""
    for number in (8, 9, 7, 10, 6, 11, 5):
        points[8], points[number] = points[number], points[8]
        others = [spot for place, spots in enumerate(points) if place != 8 for spot in spots]
        moved = off_road(network, points[8], 4, others)
        if moved:
            return moved
        points[8], points[number] = points[number], points[8]
    raise ValueError("no fourth point can lie so far from the roads")


def _open_short_cuts(network: Network[int], points: Sequence[XY]) -> None:
    """Lay a short-cut through a ford, and another behind a private gate, well away from the first."""
    ways = list(short_cuts(network, points, country_junctions(network)))
    ford = ways[0]
    gate = next(way for way in ways if metres_between(way.line[0], ford.line[0]) > 8000)
    lay(network, replace(ford, tags={"name": "Watersplash Lane"}, middle_tags={"ford": "yes"}))
    lay(
        network,
        replace(
            gate,
            kind="track",
            tags={"name": "Keeper's Ride", "tracktype": "grade2"},
            middle_tags={"barrier": "gate", "access": "private"},
        ),
    )


def _raise_islet(network: Network[int]) -> None:
    """Add the road of a small islet that no bridge reaches."""
    first = max(network) + 1
    for number, spot in enumerate(ISLET):
        network.add_node(first + number, spot=spot)
    for number, kind in enumerate(("unclassified", "track")):
        line = (spot_of(network, first + number), spot_of(network, first + number + 1))
        tags = {"name": "Gannet Holm Quay"} if kind == "unclassified" else {"tracktype": "grade2"}
        lay(network, Road(first + number, first + number + 1, kind, line, tags=tags))


def _routes(points: Sequence[tuple[XY, ...]]) -> list[Route]:
    routes = []
    for number, (name, spots) in enumerate(zip(NAMES, points, strict=True), start=1):
        code = f"R{number:02d}"
        needs = "high clearance" if code == "R22" else ""
        pair = 2 if code in TWO_PEOPLE else 1
        notes = point_notes(code, len(spots))
        routes.append(Route(code, name, spots, notes, needs, pair, LEADS_AGREED.get(code, ""), _area(spots)))
    return routes


def _area(spots: Sequence[XY]) -> str:
    centres = {one.name: one.centre for one in COUNTRY.settlements}
    nearest = min(centres, key=lambda name: metres_between(centres[name], middle(spots)))
    return next(area for area, names in AREAS.items() if nearest in names)


def _telephones() -> list[str]:
    """Return numbers from the range kept for fiction, 07700 900000 to 900999 (Ofcom)."""
    draw = random.Random(f"{SEED} telephones")
    return [f"07700 900{number:03d}" for number in draw.sample(range(10, 1000), len(people()))]
