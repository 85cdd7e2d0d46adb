"""Reads the places of a table, in whichever of the usual ways it gives them, and keeps what is to be said of them."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from planner.domain.geo import Place
from planner.exchange.coordinates import (
    CoordinateError,
    parse_latitude,
    parse_longitude,
    parse_place,
    split_pair,
    written_as,
)
from planner.exchange.faults import CORRECT_OR_SWAP
from planner.exchange.importers import Choices
from planner.exchange.table_files.headings import Heading
from planner.exchange.table_files.utm import UnsureZoneError, UtmZone, utm_place, zone_of

_CORRECT = "Correct the cell."
_UTM = re.compile(
    r"(?P<zone>[0-9]{1,2}\s*[A-Za-z]?)[\s,;]+(?P<easting>[0-9.,]+\s*m?\s*E?)[\s,;]+(?P<northing>[0-9.,]+\s*m?\s*N?)"
)
_DEGREES_ALONE = re.compile(r"[-+−]?[0-9]+[.,][0-9]+")
_SIDE = re.compile(r"[-+−NSEW]", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a cell gives no place."""

    column: str
    error: CoordinateError
    todo: str = _CORRECT


@dataclass(slots=True)
class Places:
    """Reads the places of one table, row by row."""

    choices: Choices = field(default_factory=Choices)
    headings: Mapping[str, Heading] = field(default_factory=dict)
    """What stands above the columns of the places."""
    utm_zone: str = ""
    """That a heading names."""
    ways: Counter[str] = field(default_factory=Counter)
    """How the places were written, and how often."""
    only_swapped: list[str] = field(default_factory=list)
    """Rows that give a place with latitude and longitude swapped, and none as they stand."""
    rows: int = 0
    """Rows that were looked at."""
    unswappable: int = 0
    """Rows that give no place with the two swapped."""
    unsure_zones: set[int] = field(default_factory=set)
    """UTM zones named without their hemisphere."""

    def of(self, where: str, cells: Mapping[str, str]) -> Place | tuple[Refusal, ...]:
        """Return the place of a row, or why it gives none.

        Args:
            where: the row, as choices name it.
            cells: by what they hold.
        """
        self.rows += 1
        if "easting" in cells:
            return self._metres(cells.get("utm_zone", ""), cells["easting"], cells.get("northing", ""))
        if "place" in cells:
            return self._one_text(where, cells["place"])
        return self._degrees(where, _joined(cells, "latitude"), _joined(cells, "longitude"))

    def _degrees(self, where: str, latitude: str, longitude: str) -> Place | tuple[Refusal, ...]:
        swapped = _both(longitude, latitude, parse_place)
        self.unswappable += swapped is None
        if self.choices.swaps(where):
            latitude, longitude = longitude, latitude
        elif swapped is not None and _both(latitude, longitude, parse_place) is None:
            self.only_swapped.append(where)
        values: list[float] = []
        refusals: list[Refusal] = []
        for column, text, parse in (
            ("latitude", latitude, parse_latitude),
            ("longitude", longitude, parse_longitude),
        ):
            try:
                self._judge_heading(column, text)
                values.append(parse(text))
            except CoordinateError as error:
                refusals.append(Refusal(column, error, CORRECT_OR_SWAP))
        if refusals:
            return tuple(refusals)
        self.ways.update({written_as(latitude), written_as(longitude)})
        return Place(*values)

    def _judge_heading(self, column: str, text: str) -> None:
        """Refuse what the heading above makes doubtful."""
        heading = self.headings.get(column)
        if heading is None or not text:
            return
        if heading.turned and not _SIDE.search(text):
            expected = f"a sign or a letter, for the heading {heading.text!r} may turn the figure round"
            raise CoordinateError(expected, repr(text))
        if heading.angles and _DEGREES_ALONE.fullmatch(text.strip()):
            expected = f"degrees and minutes parted, as the heading {heading.text!r} has them"
            raise CoordinateError(expected, f"{text!r}, which could be degrees with decimals")

    def _one_text(self, where: str, text: str) -> Place | tuple[Refusal, ...]:
        metres = _UTM.fullmatch(text.strip())
        if metres is not None:
            return self._metres(metres["zone"], metres["easting"], metres["northing"], column="place")
        try:
            latitude, longitude = split_pair(text)
        except CoordinateError as error:
            return (Refusal("place", error),)
        if re.search("[NSEW]", f"{latitude}{longitude}"):
            try:
                place = parse_place(latitude, longitude)
            except CoordinateError as error:
                return (Refusal("place", error),)
            self.ways[written_as(latitude)] += 1
            return place
        found = self._degrees(where, latitude, longitude)
        return found if isinstance(found, Place) else tuple(replace(one, column="place") for one in found)

    def _metres(self, zone_text: str, easting: str, northing: str, column: str = "") -> Place | tuple[Refusal, ...]:
        try:
            zone = self._zone(zone_text)
        except UnsureZoneError as error:
            self.unsure_zones.add(error.number)
            return (Refusal(column or "utm_zone", error, "Say on which side of the equator it lies."),)
        except CoordinateError as error:
            return (Refusal(column or "utm_zone", error),)
        try:
            place = utm_place(zone, easting, northing)
        except CoordinateError as error:
            return (Refusal(column or ("northing" if "northing" in error.expected else "easting"), error),)
        self.ways[f"UTM metres, zone {zone}"] += 1
        return place

    def _zone(self, text: str) -> UtmZone:
        if not self.choices.utm_zone:
            return zone_of(text or self.utm_zone)
        chosen = zone_of(self.choices.utm_zone, hemisphere=True)
        said = re.match(r"\D*(\d{1,2})", text)
        if said and int(said[1]) != chosen.number:
            raise CoordinateError(f"the zone {chosen} that was chosen", repr(text))
        return chosen


def _joined(cells: Mapping[str, str], axis: str) -> str:
    """Return an angle as one text, whose minutes, seconds or side may stand in columns of their own."""
    minutes, seconds, side = (cells.get(f"{axis}_{part}", "").strip() for part in ("minutes", "seconds", "side"))
    if seconds and not minutes:
        # Seconds behind degrees would be read as minutes; this is read as nothing.
        minutes = "(no minutes)"
    return " ".join(part for part in (cells.get(axis, ""), minutes, seconds, side) if part)


def _both(first: str, second: str, parse: Callable[[str, str], Place]) -> Place | None:
    try:
        return parse(first, second)
    except CoordinateError:
        return None
