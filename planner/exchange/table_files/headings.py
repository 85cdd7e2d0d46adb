"""What stands above a column, taken apart: the word itself, and what is said beside it of units and zones."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

_LETTERS = str.maketrans({"æ": "ae", "ø": "o", "ł": "l", "ß": "ss", "°": " deg "})


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


_SIDES = _words("e n east north zone")
_UNITS = _SIDES | _words(
    "wgs84 wgs 84 dd dec decimal deg degs degree degrees gps coord coordinate coordinates geo epsg 4326 dms dm ddm utm"
    " m metre metres meter meters w west s south etrs89 nad83 gda94 gda2020 in"
)
"""Said beside a word, and no part of it."""
_ANGLES = _words("dms dm ddm dmm ddmm ddmmss minutes seconds")
_OTHER_DATUMS = _words("osgb osgb36 nad27 ed50 tokyo pulkovo dhdn mgi ngr bng lambert mercator")
_LONGEST = 80
"""Letters of a heading; a longer text is none."""
_ZONE = re.compile(
    r"utm[^0-9a-z]*(?:zone[^0-9a-z]*)?(?P<zone>[0-9]{1,2})[^0-9a-z]?(?P<band>[a-z])?(?![a-z0-9])", re.IGNORECASE
)
_EPSG = re.compile(r"(?<![0-9])(?P<system>326|327|258)(?P<zone>[0-9]{2})(?![0-9])")
"""UTM on WGS84 north and south, and on ETRS89 north: https://epsg.org, codes 32601 to 32760 and 25828 to 25838."""


@dataclass(frozen=True, slots=True)
class Heading:
    """What stands above a column."""

    text: str
    """As the file has it."""
    whole: str
    """All its words as one, small, without accents."""
    word: str
    """The same without units."""
    parts: frozenset[str]
    """Its words one by one."""
    utm_zone: str = ""
    """Such as 30N, '30 north', or 30 where the hemisphere is not said; empty where none is."""

    @property
    def other_datum(self) -> str:
        """A geodetic datum or grid that is not read here; empty where none is named."""
        return next(iter(sorted(self.parts & _OTHER_DATUMS)), "")

    @property
    def angles(self) -> bool:
        """Whether it speaks of minutes or seconds, so that a plain decimal number below it could mean either."""
        return bool(self.parts & _ANGLES)

    @property
    def turned(self) -> bool:
        """Whether it says west or south, so that a number without a sign may be meant to be below zero."""
        return bool(self.parts & {"w", "west", "s", "south"})


def heading(text: str) -> Heading:
    """Take a heading apart: 'Lat (WGS84)' is the word lat, with the unit wgs84."""
    if len(text) > _LONGEST:
        return Heading(text[:_LONGEST], "", "", frozenset())
    plain = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", text.strip())
    plain = unicodedata.normalize("NFKD", plain.casefold().translate(_LETTERS))
    plain = "".join(letter for letter in plain if not unicodedata.combining(letter))
    parts = _parts(plain)
    found = _EPSG.search(plain) or _ZONE.search(plain)
    beside = _parts(f"{plain[: found.start()]} utm {plain[found.end() :]}") if found else parts
    word = "".join(part for part in beside if part not in _UNITS)
    if "utm" in beside:
        word = f"utm{word or ''.join(part for part in beside if part in _SIDES)}"
    return Heading(text.strip(), "".join(parts), word, frozenset(parts), _zone_of(found) if found else "")


def _parts(plain: str) -> list[str]:
    return re.findall(r"[a-z0-9]+|[^\W_]+", plain)


def _zone_of(found: re.Match[str]) -> str:
    said = found.groupdict()
    if "system" in said:
        return f"{int(said['zone'])} {'south' if said['system'] == '327' else 'north'}"
    return f"{int(said['zone'])}{(said['band'] or '').upper()}"
