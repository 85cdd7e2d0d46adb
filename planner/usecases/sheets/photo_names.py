"""What the names of pictures say of where they were taken: 'R03-07.jpg', 'R03 visit 2 point 7 b.jpg'."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

_LONGEST = 200
"""Letters of a name that are looked at."""
_GAP = r"[\s._,-]"
_VISIT = rf"v(?:isit)?{_GAP}*"
_POINT = rf"(?:{_GAP}+(?:point|stop|pt|p)?|point|stop|pt|p){_GAP}*"


@dataclass(frozen=True, slots=True)
class NamedSpot:
    """What a name says; visit None: it says none."""

    route: str
    point: int
    visit: int | None = None

    def __str__(self) -> str:
        """It in words."""
        visit = f" visit {self.visit}" if self.visit is not None else ""
        return f"{self.route}{visit} point {self.point}"


class PhotoNames:
    """Finds the routes of a season, and their points, in the names of pictures."""

    def __init__(self, codes: Iterable[str]) -> None:
        self._codes = {code.casefold(): code for code in codes}
        longest_first = sorted(self._codes, key=len, reverse=True)
        either = "|".join(map(re.escape, longest_first)) or r"(?!)"
        # Behind the number of a point no date may follow: R03-07-2026 is one of July. Codes that are mere figures
        # count at the beginning alone, for cameras number their pictures.
        self._spot = re.compile(
            rf"(?:^|(?<=[^\w])|(?<=_))(?P<route>{either})(?:{_GAP}+{_VISIT}(?P<visit>[0-9]{{1,2}}))?"
            rf"{_POINT}(?P<point>[0-9]{{1,3}})(?![0-9]|[-_.][0-9]{{2}})"
            rf"(?:{_GAP}+{_VISIT}(?P<late>[0-9]{{1,2}})(?![0-9]))?"
        )

    def spot(self, stem: str) -> NamedSpot | None:
        """Return what a name without its ending says; None where it names no route and point."""
        for match in self._spot.finditer(stem[:_LONGEST].casefold()):
            route = self._codes[match["route"]]
            if match.start() == 0 or not route.isdecimal():
                visit = match["visit"] or match["late"]
                return NamedSpot(route, int(match["point"]), int(visit) if visit else None)
        return None
