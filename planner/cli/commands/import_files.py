"""``dimpsy import``: routes, volunteers, availability, weather and roads from the files people have."""

from __future__ import annotations

import argparse

from planner.cli.output import Report, file_word
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.cli.usage import path
from planner.usecases.importing import import_sources

NAME = "import"
HELP = "take in routes, volunteers, availability, weather and roads; the kind of each file is recognised and said"
EPILOG = """tables (CSV in UTF-8; comma, semicolon or tab; the first line names the columns; [ ] may be left out):
  points        route, point, latitude, longitude, [note]
                  one row a point; point is its number along the route: 1, 2, 3 ...
  routes        route, name, [needs], [people], [lead]
                  needs: what the vehicle or kit must be, parted by semicolons; people: 1 or 2;
                  lead: the code of a volunteer who has agreed already
  volunteers    code, name, latitude, longitude, [telephone], [email], [drive_limit_min], [visits_limit],
                [training], [vehicle]
                  latitude, longitude: the home; drive_limit_min: one way, 45 if empty; visits_limit: 2 if empty;
                  training: parted by semicolons, as the protocol words it
  availability  volunteer, from, to, parts, [weekdays]
                  volunteer: the code; from, to: YYYY-MM-DD; parts: daylight dusk dawn, parted by spaces,
                  or none to take dates away; weekdays: such as Mon Wed Sat, every day if empty; later rows win.
                  Somebody without a row is never free. A set-up needs daylight.
  evenings      date, lost, [note]
                  past evenings, of whatever years: lost is yes where weather took the evening, else no;
                  the chances of a lost evening are estimated from them, for the season's risk
  chances       half_month, lost_percent, [persistence_percent]
                  the coordinator's own chances in place of records; half_month: early May is 1 to 15 May, late May
                  the rest; persistence: one figure, how far an evening takes after the one before, 0 not at all
  conditions    date, wind, [route], [rain], [fog], [snow], [noise], [cloud], [cloud_percent], [air_temperature],
                [water_temperature], [note]
                  what is seen or forecast of an evening, for go, wait or no-go; no route: every route;
                  wind and temperatures with their unit: 12 km/h, 8 mph, 7 C, 45 F; the others a word: none,
                  some (nobody has judged it yet), within (it keeps to the protocol's words) or beyond

points may come as GPX instead: a route <rte> named 'R01 Name', or waypoints named 'R01-03'.
roads: an OpenStreetMap extract of the area, .osm, .osm.bz2 or .osm.pbf; without it every drive is an estimate.
What is read again replaces what stood under the same code; nothing is removed. 'dimpsy undo' takes an import back."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument(
        "sources", metavar="SOURCE", type=path, nargs="+", help="GPX, CSV or OpenStreetMap files, or folders of them"
    )


def run(arguments: argparse.Namespace) -> Report:
    """Import everything in one step, or nothing."""
    with open_for_change(arguments.file) as file:
        imported = import_sources(file, arguments.sources)
    lines = [f"{said.path.name}: {said.kind}, {said.reason}" for said in imported.sources]
    lines += imported.notes
    if not imported.changed:
        lines.append("All of it stood already; the file is unchanged.")
    lines.append(f"Next:  dimpsy check {file_word(arguments.file)}")
    data = {"sources": imported.sources, "notes": imported.notes, "changed": imported.changed}
    return Report(data, tuple(lines))
