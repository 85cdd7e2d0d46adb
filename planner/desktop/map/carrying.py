"""A point taken up by mouse or keyboard, moved about, and dropped or brought back."""

from __future__ import annotations

from planner.desktop.map.ground import Ground
from planner.desktop.map.route_sheet import RouteSheet
from planner.domain.geo import Place

STEP_M = 10.0
"""How far an arrow key moves a point."""


class Carried:
    """One point while it is carried."""

    def __init__(self, sheet: RouteSheet, row: int) -> None:
        self.before = sheet
        """The routes as they were."""
        self.row = row
        self.route = sheet.code(row)
        self.point = int(sheet.numbers[row])
        self.sheet = sheet
        """The routes with the point where it is now."""

    @property
    def spot(self) -> tuple[float, float]:
        """Where the point is now, metres of the map."""
        return float(self.sheet.east[self.row]), float(self.sheet.south[self.row])

    def move_to(self, place: Place, ground: Ground) -> None:
        """Take the point elsewhere."""
        self.sheet = self.before.moved(self.row, place, ground)

    def stepped(self, eastwards: int, southwards: int, ground: Ground) -> Place:
        """Return where the point would be some steps of ``STEP_M`` true metres away."""
        east, south = self.spot
        across, along = float(self.before.true_east[self.row]), float(self.before.true_south[self.row])
        return ground.place(east + eastwards * STEP_M * across, south + southwards * STEP_M * along)

    def place(self, ground: Ground) -> Place:
        """Return where the point is now."""
        return ground.place(*self.spot)

    def on(self, sheet: RouteSheet, ground: Ground) -> Carried | None:
        """Return the same point carried over routes that are shown anew; None where it is no longer among them."""
        row = sheet.row(self.route, self.point)
        if row is None:
            return None
        carried = Carried(sheet, row)
        carried.move_to(self.place(ground), ground)
        return carried
