"""The volunteers of Orrinsey, invented from name to holiday."""

from __future__ import annotations

from datetime import date

from people import Dates, Person

NIGHTJARS = "nightjar identification"
CAR, HIGH = "car", "high clearance"
BOTH = "daylight dusk"
FIRST, LAST = date(2027, 5, 3), date(2027, 7, 2)
VISIT_2_OPENS = date(2027, 6, 4)
LEADS_AGREED = {"R04": "V24", "R14": "V30", "R20": "V03"}
"""Leads who had already agreed to a route before the season was planned."""
TWO_PEOPLE = frozenset({"R01", "R10", "R15", "R19"})
"""Routes along a lonely shore, where nobody goes alone."""


def _on(weekdays: str = "", parts: str = BOTH, first: date = FIRST, last: date = LAST) -> Dates:
    return Dates(first, last, weekdays, parts)


def _away(month: int, day: int, to_month: int, to_day: int) -> Dates:
    return Dates(date(2027, month, day), date(2027, to_month, to_day), "", "none")


def _evenings_and_weekends() -> tuple[Dates, Dates]:
    return _on("Mon Tue Wed Thu Fri", "dusk"), _on("Sat Sun")


def people() -> tuple[Person, ...]:
    """Return everyone, in the order of the codes V01 to V34."""
    return (*_west(), *_middle_and_east(), *_villages())


def _west() -> tuple[Person, ...]:
    town, green = "Sandhythe", "Pipkin's Green"
    return (
        Person("Tamsin Quillfeather", town, 35, 4, NIGHTJARS, CAR, (_on("Mon Wed Fri Sat"),)),
        Person("Barnaby Thistlewood", town, 30, 3, NIGHTJARS, CAR, (_on("Tue Thu Sat Sun"), _away(5, 24, 5, 30))),
        Person("Odette Marlpit", town, 40, 5, NIGHTJARS, CAR, (_on(), _away(5, 17, 5, 21))),
        Person("Rufus Tarrow", town, 30, 3, NIGHTJARS, HIGH, (_on(), _away(6, 4, 7, 2))),
        Person("Imogen Sparrowhill", town, 25, 2, "", "", (_on("Mon Tue Wed Thu", "dusk"),)),
        Person("Jasper Oakenfull", town, 45, 5, NIGHTJARS, CAR, _evenings_and_weekends()),
        Person("Winifred Tolley", town, 30, 3, NIGHTJARS, CAR, (_on("Tue Thu Sun"), _on("Fri", "daylight dusk dawn"))),
        Person("Ambrose Fenwright", town, 20, 2, "", CAR, (_on("Wed Thu Fri"),)),
        Person("Cordelia Wick", town, 35, 4, NIGHTJARS, CAR, (_on("Mon Tue Wed Thu"), _away(6, 14, 6, 25))),
        Person("Desmond Larkin-Reed", town, 40, 4, NIGHTJARS, CAR, (*_evenings_and_weekends(), _away(5, 10, 5, 14))),
        Person("Hyacinth Moorcock", green, 30, 3, NIGHTJARS, CAR, (_on("Mon Wed Fri Sun"),)),
        Person(
            "Silas Brackenby", green, 30, 3, NIGHTJARS, HIGH,
            (_on(last=date(2027, 6, 3)), _on(parts="daylight dawn", first=VISIT_2_OPENS)),
        ),
    )  # fmt: skip


def _middle_and_east() -> tuple[Person, ...]:
    town, middle = "Market Orrin", "Whinbeck"
    return (
        Person("Philippa Dewlap", town, 35, 4, NIGHTJARS, CAR, (_on("Tue Wed Thu Sat"),)),
        Person("Gideon Hartsease", town, 30, 4, NIGHTJARS, CAR, (_on("Mon Wed Fri"), _on("Sat Sun", "dusk"))),
        Person("Marguerite Sallow", town, 40, 5, NIGHTJARS, CAR, (_on(), _away(5, 29, 6, 1))),
        Person("Edmund Pockett", town, 25, 2, "", CAR, (_on("Tue Thu", "dusk"), _on("Sat Sun"))),
        Person("Rosalind Thrupp", town, 35, 4, NIGHTJARS, CAR, _evenings_and_weekends()),
        Person("Leopold Amberidge", town, 45, 5, NIGHTJARS, CAR, (_on(), _away(5, 20, 5, 27))),
        Person("Verity Hopfield", town, 30, 3, NIGHTJARS, CAR, (_on("Mon Tue Thu Fri"), _away(6, 18, 6, 24))),
        Person("Cuthbert Nettleship", town, 20, 1, "", "", (_on("Fri Sat Sun"),)),
        Person("Annis Greengrass", town, 40, 4, NIGHTJARS, CAR, (_on("Wed Thu Fri Sat Sun"),)),
        Person("Tobias Winnow", middle, 35, 4, NIGHTJARS, CAR, (_on("Mon Tue Wed Sun"),)),
        Person("Beatrix Cloudesley", middle, 30, 2, "", CAR, (_on(), _away(5, 31, 6, 6))),
    )


def _villages() -> tuple[Person, ...]:
    return (
        Person("Horatio Plumley", "Skelmere", 35, 5, NIGHTJARS, CAR, (_on(),)),
        Person("Drusilla Fernihough", "Skelmere", 30, 3, NIGHTJARS, CAR, (_on("Mon Tue Thu Fri Sat"),)),
        Person("Lionel Whitterick", "Fernhythe", 35, 4, NIGHTJARS, CAR, (_on("Tue Wed Fri Sun"),)),
        Person("Mabel Ottershaw", "Fernhythe", 25, 3, "", CAR, (_on("Mon Wed Thu Sat"),)),
        Person("Percival Gannock", "Grebeholm", 30, 4, NIGHTJARS, CAR, (_on(), _away(5, 12, 5, 16))),
        Person(
            "Ottoline Starkey", "Skelmere", 30, 3, NIGHTJARS, CAR,
            (_on(first=date(2027, 6, 18), last=date(2027, 6, 24)),),
        ),
        Person("Fergus Mellowship", "Larkstow", 40, 5, NIGHTJARS, CAR, (_on(), _away(6, 15, 6, 28))),
        Person("Clementine Rook", "Larkstow", 30, 3, "", CAR, _evenings_and_weekends()),
        Person("Alasdair Pomfrey", "Oxwold", 35, 4, NIGHTJARS, CAR, (_on("Mon Thu Fri Sat Sun"),)),
        Person("Henrietta Dunnage", "Oxwold", 30, 3, NIGHTJARS, CAR, (_on("Tue Wed Thu Sat"), _away(5, 25, 5, 29))),
        Person("Quentin Seagrave", "Dunlinham", 20, 3, NIGHTJARS, HIGH, (_on("Mon Tue Fri Sat"),)),
    )  # fmt: skip
