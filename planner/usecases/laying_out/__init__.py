"""Lay out a route's points along a road or a track: a proposal of plain values, and taking it into the season."""

from planner.usecases.laying_out.accepting import accept_layout
from planner.usecases.laying_out.laying import lay_out
from planner.usecases.laying_out.named_road import road_at, roads_named
from planner.usecases.laying_out.request import (
    Along,
    AlongLine,
    AlongRoad,
    Laid,
    LaidPoint,
    LayoutRequest,
    Skipped,
    ThroughPlaces,
    Why,
)
from planner.usecases.laying_out.tracks import LINE_ENDINGS, FoundLine, lines_of, track_line

__all__ = [
    "LINE_ENDINGS",
    "Along",
    "AlongLine",
    "AlongRoad",
    "FoundLine",
    "Laid",
    "LaidPoint",
    "LayoutRequest",
    "Skipped",
    "ThroughPlaces",
    "Why",
    "accept_layout",
    "lay_out",
    "lines_of",
    "road_at",
    "roads_named",
    "track_line",
]
