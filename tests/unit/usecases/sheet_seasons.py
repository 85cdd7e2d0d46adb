"""A small season whose protocol asks for habitat on both visits, sheets for it, and pictures with positions."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import piexif
from PIL import Image

from planner.domain.field.habitat_sheet import Cover, HabitatSheet, SheetKey, SheetState, Side
from planner.domain.geo import Place
from planner.domain.protocol import VisitRule
from planner.exchange import shipped_protocol
from planner.store import SeasonFile
from tests.unit.usecases import edited_seasons
from tests.unit.usecases.edited_seasons import PLAN

HEATH = shipped_protocol("heath_nightjars").habitat
assert HEATH is not None
PROTOCOL = replace(
    edited_seasons.SEASON.protocol, habitat=HEATH, visits=(VisitRule(1, habitat=True), VisitRule(2, habitat=True))
)
SEASON = replace(edited_seasons.SEASON, protocol=PROTOCOL)
"""Routes R1 and R2 of four points each, volunteers V1 to V3; circles of 400 m."""
GROUND = {"TH": 60, "GR": 40}


def key(point: int, *, route: str = "R1", visit: int = 1, who: str = "V1") -> SheetKey:
    return SheetKey(route, visit, point, who)


def draft(name: SheetKey, ground: Mapping[str, int] = GROUND) -> HabitatSheet:
    """A sheet that keeps all rules where its classes add up."""
    cover = Cover.of(Side.CIRCLE, ground.items())
    return HabitatSheet(name, (cover,), grazed_percent=0, livestock=0)


def final(name: SheetKey, ground: Mapping[str, int] = GROUND) -> HabitatSheet:
    """The same, handed in."""
    return replace(draft(name, ground), state=SheetState.FINAL)


def sheet_file(folder: Path) -> SeasonFile:
    """Make a season file without sheets; its plan has R1 on 2 and 12 June and R2 on 4 June, all led by V1."""
    return edited_seasons.season_file(folder, SEASON, PLAN)


def picture(
    path: Path, place: Place | None = None, *, taken: dt.datetime | None = None, colour: str = "darkgreen"
) -> Path:
    """Write a small JPEG picture with the position and the moment that a camera would write, by another library."""
    exif: dict[str, Any] = {"0th": {}, "Exif": {}, "GPS": {}, "1st": {}, "thumbnail": None}
    if place is not None:
        exif["GPS"] = {
            piexif.GPSIFD.GPSLatitudeRef: "N" if place.latitude >= 0 else "S",
            piexif.GPSIFD.GPSLatitude: _parts(abs(place.latitude)),
            piexif.GPSIFD.GPSLongitudeRef: "E" if place.longitude >= 0 else "W",
            piexif.GPSIFD.GPSLongitude: _parts(abs(place.longitude)),
        }
    if taken is not None:
        exif["Exif"] = {piexif.ExifIFD.DateTimeOriginal: f"{taken:%Y:%m:%d %H:%M:%S}"}
    Image.new("RGB", (64, 48), colour).save(path, "JPEG", exif=piexif.dump(exif))
    return path


def _parts(degrees: float) -> tuple[tuple[int, int], ...]:
    whole, rest = divmod(degrees * 60.0, 60.0)
    minutes, seconds = divmod(rest * 60.0, 60.0)
    return ((int(whole), 1), (int(minutes), 1), (round(seconds * 100_000), 100_000))
