"""Points with what was found there as GeoJSON (RFC 7946): a feature for each row of a table."""

from __future__ import annotations

import json

from planner.domain.reports.tables import Cell, Table
from planner.exchange.map_files.json_safe import Json
from planner.exchange.written.letters import CAUTION
from planner.exchange.written.tidy_tables import cell_text, clean

PLACE = ("latitude", "longitude")
"""The columns that make the place of a feature."""


def survey_map_bytes(season: str, table: Table) -> bytes:
    """Return a table as GeoJSON, a feature a line; every other column of it is a property of the same name.

    Args:
        season: its name.
        table: with :data:`PLACE` among its columns, in degrees, WGS 84.
    """
    head = f'"type": "FeatureCollection", "name": {_json(clean(season))}, "description": {_json(CAUTION)}'
    features = ",\n".join(_json(_feature(table, row)) for row in table.rows)
    return f'{{{head}, "features": [\n{features}\n]}}\n'.encode()


def _json(value: Json) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def _feature(table: Table, row: tuple[Cell, ...]) -> Json:
    cells = {column.name: (cell, column) for cell, column in zip(row, table.columns, strict=True)}
    latitude, longitude = (_degrees(cells[name][0]) for name in PLACE)
    properties: dict[str, Json] = {
        name: clean(cell)
        if isinstance(cell, str)
        else cell
        if isinstance(cell, int | float)
        else cell_text(cell, column) or None
        for name, (cell, column) in cells.items()
        if name not in PLACE
    }
    return {
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": [longitude, latitude]},
        "properties": properties,
    }


def _degrees(cell: Cell) -> float:
    if not isinstance(cell, float):
        raise TypeError(f"a place is made of degrees, found {cell!r}")
    return cell
