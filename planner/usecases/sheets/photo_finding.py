"""Photos of a whole season at once: the sheet that each belongs to, by position, by name or by time; never guessed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path

from planner.domain.errors import RuleError
from planner.domain.field.habitat_sheet import SheetKey
from planner.exchange import PhotoFile
from planner.usecases.sheets.photo_ground import PhotoGround, Spot
from planner.usecases.sheets.photo_names import NamedSpot, PhotoNames
from planner.usecases.wording import metres_words

POSITION_METRES = 20.0
"""How far off a position is taken to be where the camera does not say: telephones are within about 5 m under open sky
(https://www.gps.gov/systems/gps/performance/accuracy/, from memory), and worse under trees and in a car; the rest is
our own margin."""
_NIGHT_ENDS = 12
"""Hour until which a photo may be of the evening before: midnight passes in many a light window."""
_BY_HAND = "Attach it to its sheet by hand."


class NotFound(Exception):  # noqa: N818 - it says that no sheet was found, and never leaves the readers
    """Which sheet a photo belongs to cannot be told."""

    def __init__(self, why: str, todo: str = _BY_HAND) -> None:
        super().__init__(why, todo)
        self.why = why
        self.todo = todo


@dataclass(frozen=True, slots=True)
class PhotoSpot:
    """The sheet that a photo belongs to."""

    key: SheetKey
    why: str
    """What tells, in words."""


@dataclass(frozen=True, slots=True)
class _Told:
    """What is known of a photo so far."""

    route: str
    point: int
    why: str
    visit: int | None = None


class PhotoFinder:
    """Finds the sheets that photos belong to."""

    def __init__(self, ground: PhotoGround, visit: int | None = None) -> None:
        """Begin.

        Args:
            ground: what photos are held against.
            visit: the visit that all of them are of, where somebody says so.

        Raises:
            RuleError: the protocol asks for no habitat, or for none on that visit.
        """
        protocol = ground.season.protocol
        if protocol.habitat is None:
            raise RuleError(f"'{protocol.name}' asks for no habitat: there are no sheets to attach photos to")
        if visit is not None and visit not in ground.visits:
            raise RuleError(f"no habitat is estimated on visit {visit}; it is on {_visits_words(ground.visits)}")
        self._ground = ground
        self._visit = visit
        self._radius_m = protocol.habitat.radius.metres
        self._names = PhotoNames(route.code for route in ground.season.routes)

    def spot(self, path: Path, photo: PhotoFile) -> PhotoSpot:
        """Return the sheet that a photo belongs to.

        Raises:
            NotFound: that cannot be told, with the reason.
        """
        named = self._names.spot(path.stem)
        if named is not None:
            told = self._by_name(named, photo)
        elif photo.place is not None:
            told = self._by_place(photo)
        else:
            told = self._by_time(photo)
        visit = self._visit_of(told, photo)
        return PhotoSpot(SheetKey(told.route, visit, told.point, self._observer(told, visit)), told.why)

    def _by_name(self, named: NamedSpot, photo: PhotoFile) -> _Told:
        if not self._ground.has(named.route, named.point):
            raise NotFound(f"its name says {named}, and route {named.route} has no such point")
        why = "by its name"
        if photo.place is not None:
            spots = self._ground.spots_from(photo.place)
            metres = next(one.metres for one in spots if (one.route, one.point) == (named.route, named.point))
            if metres > self._radius_m:
                nearest = f", {metres_words(spots[0].metres)} from {spots[0]}" if spots[0].metres < metres else ""
                raise NotFound(f"its name says {named}, but it was taken {metres_words(metres)} from there{nearest}")
            why += f", and taken {metres_words(metres)} from there"
        return _Told(named.route, named.point, why, named.visit)

    def _by_place(self, photo: PhotoFile) -> _Told:
        assert photo.place is not None, "asked of photos with a position alone"
        spots = self._ground.spots_from(photo.place)
        if not spots:
            raise NotFound("the season has no points")
        if spots[0].metres > self._radius_m:
            far, radius = metres_words(spots[0].metres), metres_words(self._radius_m)
            raise NotFound(f"taken {far} from {spots[0]}, the nearest point; the circle is {radius} in radius")
        off = photo.uncertain_m if photo.uncertain_m is not None else POSITION_METRES
        near = [one for one in spots if one.metres - spots[0].metres <= 2.0 * off]
        if len(near) > 1:
            return self._one_of(near, photo, off)
        return _Told(spots[0].route, spots[0].point, f"taken {metres_words(spots[0].metres)} from the point")

    def _one_of(self, near: list[Spot], photo: PhotoFile, off: float) -> _Told:
        """Return the one of several points as near where the records have somebody at that time."""
        there = {(key.route, key.point) for key in self._counted(photo)}
        counted = [one for one in near if (one.route, one.point) in there]
        if len(counted) == 1:
            why = f"taken {metres_words(counted[0].metres)} from the point, and while it was counted"
            return _Told(counted[0].route, counted[0].point, why)
        listed = ", ".join(f"{one} ({metres_words(one.metres)})" for one in near)
        raise NotFound(f"as near to one point as to the other: {listed}; its position is good to {off:.0f} m")

    def _by_time(self, photo: PhotoFile) -> _Told:
        lacks = photo.said or "it says no position, and its name no route and point"
        if not photo.taken:
            raise NotFound(f"{lacks}; nor does it say when it was taken")
        counted = sorted(self._counted(photo))
        if not counted:
            raise NotFound(f"{lacks}; no record has anybody at a point at {photo.taken[:16]}")
        if len(counted) > 1:
            listed = ", ".join(map(str, counted))
            raise NotFound(f"{lacks}; at {photo.taken[:16]} the records have somebody at {listed}")
        return _Told(counted[0].route, counted[0].point, f"taken while it was counted ({photo.taken[11:16]})")

    def _counted(self, photo: PhotoFile) -> Collection[SheetKey]:
        if not photo.taken:
            return ()
        local = dt.datetime.fromisoformat(photo.taken).replace(tzinfo=self._ground.season.tzinfo)
        return self._ground.counted_at(local.astimezone(dt.UTC))

    def _visit_of(self, told: _Told, photo: PhotoFile) -> int:
        visits = self._ground.visits
        said = told.visit if told.visit is not None else self._visit
        if said is not None:
            if said not in visits:
                raise NotFound(f"its name says visit {said}, on which no habitat is estimated")
            return said
        fitting = self._visits_on(told, photo)
        if len(fitting) == 1:
            return fitting[0]
        if len(visits) == 1:
            return visits[0]
        spot = f"it is of {told.route} point {told.point}"
        todo = "Say which visit they are of, or attach it to its sheet by hand."
        if not photo.taken:
            raise NotFound(f"{spot}, but does not say when it was taken, so the visit is not known", todo)
        raise NotFound(f"{spot}, but no one visit of it was on {photo.taken[:10]}", todo)

    def _visits_on(self, told: _Told, photo: PhotoFile) -> tuple[int, ...]:
        """Return the visits that were on the date of a photo; after midnight, on the evening before."""
        if not photo.taken:
            return ()
        moment = dt.datetime.fromisoformat(photo.taken)
        days = [moment.date()]
        if moment.hour < _NIGHT_ENDS:
            days.append(moment.date() - dt.timedelta(days=1))
        for day in days:
            on = tuple(one for one in self._ground.visits if day in self._ground.dates(told.route, one, told.point))
            if on:
                return on
        return ()

    def _observer(self, told: _Told, visit: int) -> str:
        """Return whose sheet it is: the only one of its point, or that of who leads the visit."""
        there, lead = self._ground.observers(told.route, visit, told.point), self._ground.lead(told.route, visit)
        if len(there) == 1:
            return there[0]
        if there and lead not in there:
            raise NotFound(f"{told.route} visit {visit} point {told.point} has sheets by {' and '.join(there)}")
        return lead


def _visits_words(visits: tuple[int, ...]) -> str:
    return f"visit {' and '.join(map(str, visits))}" if visits else "no visit"
