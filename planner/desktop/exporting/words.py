"""What is said of files that are written for other programs."""

from __future__ import annotations

import re

from PySide6.QtCore import QCoreApplication

from planner.usecases.exporting import Exported, RouteFormat


def tr(text: str, *values: object) -> str:
    """Return a text in the person's language, with %1, %2 … filled in."""
    said = QCoreApplication.translate("exporting", text)
    return re.sub(r"%(\d)", lambda place: str(values[int(place[1]) - 1]), said) if values else said


def format_words(kind: RouteFormat) -> str:
    """Return a format, and what it is good for."""
    return {
        RouteFormat.GPX: tr("GPX: for receivers and most map programs"),
        RouteFormat.GEOJSON: tr("GeoJSON: for map programs and web maps"),
        RouteFormat.CSV: tr("CSV: tables of points and routes, which can be brought in again"),
        RouteFormat.KML: tr("KML: for globes and web maps"),
    }[kind]


def written_words(exported: Exported) -> str:
    """Return what was written, file by file, and what a person should know of it."""
    folder = exported.files[0].path.parent if exported.files else ""
    routes = tr("1 route") if exported.routes == 1 else tr("%1 routes", exported.routes)
    points = tr("1 point") if exported.points == 1 else tr("%1 points", exported.points)
    names = [one.path.name if one.changed else tr("%1 (stood there already)", one.path.name) for one in exported.files]
    return "\n".join([tr("%1 with %2 lie in %3: %4.", routes, points, folder, ", ".join(names)), *exported.notes])
