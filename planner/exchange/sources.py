"""Reads whatever a season is fed with, once its kind is known."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from planner.exchange.gpx import read_gpx
from planner.exchange.reads import Read
from planner.exchange.recognise import SourceKind
from planner.exchange.route_tables import read_points, read_routes
from planner.exchange.volunteer_tables import read_availability, read_volunteers

READERS: Mapping[SourceKind, Callable[[Path], Read]] = {
    SourceKind.GPX: read_gpx,
    SourceKind.POINTS: read_points,
    SourceKind.ROUTES: read_routes,
    SourceKind.VOLUNTEERS: read_volunteers,
    SourceKind.AVAILABILITY: read_availability,
}
"""The kinds that :func:`planner.exchange.merge.merge` takes; roads and protocols go other ways."""


def read_source(path: Path, kind: SourceKind) -> Read:
    """Read a file of a kind that has been recognised.

    Raises:
        InputError: with every fault of the file.
        KeyError: the kind is roads or a protocol, which are no part of what is merged.
    """
    return READERS[kind](path)
