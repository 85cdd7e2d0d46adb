"""Files that others read: routes and points without anybody's data, and what a season comes to in tables and maps."""

from planner.exchange.written.letters import letter_faults
from planner.exchange.written.route_files import RouteFormat, route_files
from planner.exchange.written.survey_map import survey_map_bytes
from planner.exchange.written.tidy_tables import PACKAGE_FILE, dictionary_table, is_package, package_bytes, table_bytes

__all__ = [
    "PACKAGE_FILE",
    "RouteFormat",
    "dictionary_table",
    "is_package",
    "letter_faults",
    "package_bytes",
    "route_files",
    "survey_map_bytes",
    "table_bytes",
]
