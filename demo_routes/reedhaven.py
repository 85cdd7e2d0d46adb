"""The survey of marsh birds on Reedhaven, an island invented where the Tasman Sea is open water."""

from __future__ import annotations

from datetime import date

from island import Hill, Island, Lobe
from people import Dates, Person, settle
from roads import Country, Settlement
from routes import Route, Wanted, candidates, choose_apart, point_notes
from streets import street_spots
from survey import Survey, draw_map, in_rounds

SEED = "reedhaven"
MARSH_BIRDS = "marsh bird calls"
FIRST, LAST = date(2027, 9, 13), date(2027, 10, 20)
ISLAND = Island(
    "Reedhaven",
    -41.50,
    158.00,
    18.0,
    13.0,
    (Lobe(2, 0.06, 120), Lobe(3, 0.10, 20), Lobe(5, 0.05, 210), Lobe(8, 0.025, 80)),
    (Hill(-3.5, 1.5, 80, 1.3), Hill(4, 1, 55, 1.0)),
)
COUNTRY = Country(
    ISLAND,
    (
        Settlement("Reedhaven Landing", 0.5, -2.5, 4, 3, 15, roundabout=True),
        Settlement("Bitternsea", -5.5, -1.5),
        Settlement("Spoonbill Corner", 5.5, -0.5),
    ),
    primary=(("Bitternsea", "Reedhaven Landing"), ("Reedhaven Landing", "Spoonbill Corner")),
    secondary=(("Bitternsea", "Spoonbill Corner"),),
    spacing_km=1.2,
    inset_km=0.4,
    moor_m=45,
    seed=SEED,
)
WANTED = Wanted((8,), 5.0, 0, 90, SEED)
NAMES = ("Bittern Swamp", "Crake Lagoon", "Raupo Flats", "Spoonbill Levels", "Rushy Creek")
TWO_PEOPLE = frozenset({"M04"})
TELEPHONES = (
    "0491 570 156", "0491 570 157", "0491 570 158", "0491 570 159",
    "0491 570 110", "0491 570 313", "0491 570 737", "0491 571 266",
)  # fmt: skip
"""Mobile numbers kept for fiction (Australian Communications and Media Authority).

One more of them, 0491 570 006, is the coordinator's.
"""
SEASON = """\
# Everything here is invented: the island, its roads, the routes, the people, their homes and numbers.
# Reedhaven lies where there is only open sea (Tasman Sea, 41.50 S 158.00 E). Clocks go forward on 2027-10-03.
name = "Marsh birds of Reedhaven, spring 2027"
protocol = "dawn_marsh_birds_demo"
zone = "Australia/Hobart"
from = 2027-09-13
to = 2027-10-20

[[visits]]
visit = 1
from = 2027-09-20
to = 2027-10-03

[[visits]]
visit = 2
from = 2027-10-04
to = 2027-10-20

[coordinator]
name = "Merindah Colquhoun"
telephone = "0491 570 006"
email = "merindah.colquhoun@example.org"
"""


def draw_reedhaven() -> Survey:
    """Return the whole survey; nothing in it is amiss."""
    network = draw_map(COUNTRY)
    strings = in_rounds(choose_apart(candidates(network, WANTED), SEED)[: len(NAMES)])
    routes = []
    for number, (name, string) in enumerate(zip(NAMES, strings, strict=True), start=1):
        code = f"M{number:02d}"
        pair = 2 if code in TWO_PEOPLE else 1
        routes.append(Route(code, name, string.points, point_notes(code, len(string.points)), people=pair))
    return Survey(
        "reedhaven",
        SEASON,
        ISLAND,
        network,
        tuple(routes),
        frozenset({"M01", "M02", "M03"}),
        tuple(settle(_people(), TELEPHONES, lambda name: street_spots(network, name, SEED))),
        SEED,
    )


def _people() -> tuple[Person, ...]:
    landing = "Reedhaven Landing"
    return (
        _person("Ngaire Stillwater", landing, 5, "Mon Tue Wed Sat Sun"),
        _person("Bram Wattlebury", landing, 4, ""),
        _person("Oriel Tussock", landing, 4, "Tue Thu Fri Sat"),
        _person("Lachlan Merriweather", "Bitternsea", 4, "Wed Thu Fri Sun"),
        _person("Philomena Grubb", "Bitternsea", 3, "", training=""),
        _person("Archer Rushcutter", "Spoonbill Corner", 4, "Mon Tue Thu Sat Sun"),
        _person("Matilda Finch-Hay", "Spoonbill Corner", 3, "Wed Fri Sat Sun", training=""),
        _person("Corin Saltbush", landing, 5, "", away=(date(2027, 9, 27), date(2027, 9, 30))),
    )


def _person(
    name: str,
    settlement: str,
    visits: int,
    weekdays: str,
    training: str = MARSH_BIRDS,
    away: tuple[date, date] | None = None,
) -> Person:
    dates = [Dates(FIRST, LAST, weekdays, "daylight dawn")]
    if away:
        dates.append(Dates(*away, "", "none"))
    return Person(name, settlement, 30, visits, training, "car", tuple(dates))
