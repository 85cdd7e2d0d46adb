"""A point's place as a QR code on paper: a telephone's camera opens it on a map, with nobody typing in the dark."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import segno

from planner.domain.geo import Place
from planner.printing.canvas import Align, Canvas
from planner.printing.geometry import Box, Spot
from planner.printing.phone.places import geo_address
from planner.printing.type_scale import SMALL

VERSION = 2
"""25 modules wide; holds 26 bytes at level M (ISO/IEC 18004), and no 'geo' address to a metre is longer than 24."""
MODULES = 25
QUIET_MODULES = 4
"""White on every side, as ISO/IEC 18004 asks."""
MODULE_MM = 0.54
"""Three dots of a printer that sets 150 to the inch: our choice, tried with blur and specks."""
QUIET_MM = QUIET_MODULES * MODULE_MM
CODE_MM = (MODULES + 2 * QUIET_MODULES) * MODULE_MM
"""Width and height, the white round it included."""


@dataclass(frozen=True, slots=True)
class PlaceCode:
    """A code, and what stands beside it: what it is, then the plain coordinates."""

    place: Place
    words: str

    @property
    def lines(self) -> tuple[str, str]:
        """The words beside it."""
        return self.words, str(self.place)

    @property
    def words_mm(self) -> float:
        """Width of the words."""
        return max(SMALL.width(line) for line in self.lines)


def draw_code(canvas: Canvas, corner: Spot, place: Place) -> None:
    """Draw a code with the upper left corner of its white border at ``corner``."""
    canvas.fill(Box(corner[0], corner[1], CODE_MM, CODE_MM), white=True)
    canvas.cells([run.moved(corner[0] + QUIET_MM, corner[1] + QUIET_MM) for run in _dark_runs(geo_address(place))])


def draw_words(canvas: Canvas, right: float, top: float, code: PlaceCode) -> None:
    """Set the words of a code so that they end at its left."""
    canvas.lines((right, top), code.lines, SMALL, align=Align.RIGHT)


@lru_cache(maxsize=256)
def _dark_runs(address: str) -> tuple[Box, ...]:
    """Return the dark modules, those that touch in a row as one box."""
    rows = segno.make_qr(address, version=VERSION, error="m").matrix
    return tuple(
        Box(left * MODULE_MM, number * MODULE_MM, length * MODULE_MM, MODULE_MM)
        for number, row in enumerate(rows)
        for left, length in _runs(row)
    )


def _runs(row: bytearray) -> Iterator[tuple[int, int]]:
    start: int | None = None
    for at, dark in enumerate((*row, 0)):
        if dark and start is None:
            start = at
        elif not dark and start is not None:
            yield start, at - start
            start = None
