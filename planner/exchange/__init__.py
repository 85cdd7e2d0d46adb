"""Files in and out: protocols, routes, points, volunteers and their dates, the plan."""

from importlib import import_module
from typing import TYPE_CHECKING

from planner.exchange.coordinates import CoordinateError, parse_latitude, parse_longitude, parse_pair, parse_place
from planner.exchange.drive_figure import DriveFigure, FigureKind, read_drive_figure, write_drive_figure
from planner.exchange.figures import figure_for, figure_keys, unmarked
from planner.exchange.importers import (
    Choices,
    ColumnUse,
    Doubt,
    Head,
    Importer,
    Offer,
    Reading,
    SourceKind,
    Understanding,
)
from planner.exchange.letters import unkept_letter, unseen_letter
from planner.exchange.map_files.gpx import read_gpx
from planner.exchange.map_files.map_importers import read_tracks
from planner.exchange.merging.merge import Merged, Tally, merge
from planner.exchange.merging.merge_conditions import merge_conditions
from planner.exchange.merging.merge_faults import middle_of, swapped_origins
from planner.exchange.photo_files import PhotoFile, photo_ending, read_photo
from planner.exchange.plan_table import PLAN_COLUMNS, UNFILLED, write_plan_table
from planner.exchange.plugged_in import importers
from planner.exchange.point_names import is_code as is_route_code
from planner.exchange.protocols import protocol_names, read_protocol, shipped_protocol
from planner.exchange.reads import (
    AnyRead,
    AvailabilityRead,
    AvailabilityRow,
    ChanceRow,
    ChancesRead,
    ConditionsRead,
    ConditionsRow,
    EveningRow,
    EveningsRead,
    FieldRead,
    Origin,
    PointRow,
    Read,
    RouteName,
    RouteRow,
    RoutesRead,
    Track,
    VolunteerRow,
    VolunteersRead,
)
from planner.exchange.recognise import Recognised, recognise
from planner.exchange.source_text import MOST_BYTES, LettersError, as_text
from planner.exchange.table_files.condition_tables import read_conditions
from planner.exchange.table_files.pasted import pasted_rows
from planner.exchange.table_files.route_tables import read_points, read_routes
from planner.exchange.table_files.utm import readings_near as utm_readings
from planner.exchange.table_files.utm import zone_at as utm_zone_at
from planner.exchange.table_files.volunteer_tables import read_availability, read_volunteers
from planner.exchange.table_files.weather_tables import read_chances, read_evenings
from planner.exchange.writing import holds, write_whole
from planner.exchange.written import (
    PACKAGE_FILE,
    RouteFormat,
    dictionary_table,
    is_package,
    letter_faults,
    package_bytes,
    route_files,
    survey_map_bytes,
    table_bytes,
)

if TYPE_CHECKING:
    from planner.exchange.frames import plan_frame

__all__ = [
    "MOST_BYTES",
    "PACKAGE_FILE",
    "PLAN_COLUMNS",
    "UNFILLED",
    "AnyRead",
    "AvailabilityRead",
    "AvailabilityRow",
    "ChanceRow",
    "ChancesRead",
    "Choices",
    "ColumnUse",
    "ConditionsRead",
    "ConditionsRow",
    "CoordinateError",
    "Doubt",
    "DriveFigure",
    "EveningRow",
    "EveningsRead",
    "FieldRead",
    "FigureKind",
    "Head",
    "Importer",
    "LettersError",
    "Merged",
    "Offer",
    "Origin",
    "PhotoFile",
    "PointRow",
    "Read",
    "Reading",
    "Recognised",
    "RouteFormat",
    "RouteName",
    "RouteRow",
    "RoutesRead",
    "SourceKind",
    "Tally",
    "Track",
    "Understanding",
    "VolunteerRow",
    "VolunteersRead",
    "as_text",
    "dictionary_table",
    "figure_for",
    "figure_keys",
    "holds",
    "importers",
    "is_package",
    "is_route_code",
    "letter_faults",
    "merge",
    "merge_conditions",
    "middle_of",
    "package_bytes",
    "parse_latitude",
    "parse_longitude",
    "parse_pair",
    "parse_place",
    "pasted_rows",
    "photo_ending",
    "plan_frame",
    "protocol_names",
    "read_availability",
    "read_chances",
    "read_conditions",
    "read_drive_figure",
    "read_evenings",
    "read_gpx",
    "read_photo",
    "read_points",
    "read_protocol",
    "read_routes",
    "read_tracks",
    "read_volunteers",
    "recognise",
    "route_files",
    "shipped_protocol",
    "survey_map_bytes",
    "swapped_origins",
    "table_bytes",
    "unkept_letter",
    "unmarked",
    "unseen_letter",
    "utm_readings",
    "utm_zone_at",
    "write_drive_figure",
    "write_plan_table",
    "write_whole",
]


def __getattr__(name: str) -> object:
    """Load the plan as a data frame when it is first asked for: no command of the program needs pandas."""
    if name != "plan_frame":
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module("planner.exchange.frames"), name)
