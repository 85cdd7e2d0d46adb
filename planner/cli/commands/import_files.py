"""``dimpsy import``: routes, volunteers, availability, weather and roads from the files people have."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from planner.cli.import_choices import add_choices, choices_of
from planner.cli.import_lines import offer_lines, preview_lines
from planner.cli.output import DONE, FINDINGS, Report, file_word, refusal
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.cli.usage import UsageError, path
from planner.domain.errors import InputError
from planner.exchange import MOST_BYTES, Choices
from planner.usecases.importing.preview import Held, Understood, accept, understand
from planner.usecases.importing.reading_sources import PASTED, pasted_text, read_sources

NAME = "import"
_STANDARD_INPUT = "-"
HELP = "take in routes, volunteers, availability, weather and roads; the kind of each file is recognised and said"
EPILOG = """tables (CSV in UTF-8; comma, semicolon or tab; the first line names the columns; [ ] may be left out):
  points        route, point, latitude, longitude, [note]
                  one row a point; point is its number along the route: 1, 2, 3 ...
  routes        route, name, [needs], [people], [lead], [area]
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

filled-in sheets (habitat sheets and visit records) are known by their columns, and taken in as by dimpsy record.

tables may come as sheets of a workbook (XLSX), and their columns may be headed otherwise where that is certain: Lat,
Breite, Easting (UTM 30N), one column of coordinates. Lines such as 'R01 1 51.5047 -1.2731 by the gate'
are read as well.
points may come as GPX, KML, KMZ or GeoJSON instead: a route named 'R01 Name', or points named 'R01-03'.
roads: an OpenStreetMap extract of the area, .osm, .osm.bz2 or .osm.pbf; without it every drive is an estimate.
What was understood is said first; it is brought in once you say yes, or with --yes. Without a terminal and without
--yes nothing is changed, and the exit status is 1.
What is read again replaces what stood under the same code; nothing is removed. 'dimpsy undo' takes an import back."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument(
        "sources",
        metavar="SOURCE",
        type=path,
        nargs="+",
        help="files people have, or folders of them; - reads pasted lines from standard input",
    )
    parser.add_argument("--yes", action="store_true", help="take in what was understood without asking")
    add_choices(parser)


def run(arguments: argparse.Namespace) -> Report:
    """Say what the files were taken for, and bring them in as one step once that is accepted."""
    files = [source for source in arguments.sources if str(source) != _STANDARD_INPUT]
    pasted = _pasted() if len(files) < len(arguments.sources) else ""
    choices = _choices(arguments, files)
    with open_for_change(arguments.file) as file:
        understood = understand(Held.of(file), read_sources(files, choices, pasted=pasted, beside=file.path))
        if understood.faults:
            return _refused(understood)
        lines = list(preview_lines(understood))
        if not understood.changes:
            lines.append("All of it stood already; the file is unchanged.")
            return _report(understood, lines, arguments)
        if arguments.yes:
            accept(file, understood)
        elif not arguments.json and _asked(lines, by_terminal=not pasted):
            accept(file, understood)
            lines = []
        else:
            lines.append("Nothing was changed. Add --yes to accept.")
            return _report(understood, lines, arguments, status=FINDINGS)
    person = understood.back is not None and understood.back.needs_person
    return _report(understood, lines, arguments, changed=True, status=FINDINGS if person else DONE)


def _pasted() -> str:
    """Return what comes by standard input; raises InputError where it is no text or far too much."""
    return pasted_text(sys.stdin.buffer.read(MOST_BYTES + 1)) or "\n"  # nothing at all is a fault of its own


def _choices(arguments: argparse.Namespace, files: Sequence[Path]) -> dict[Path, Choices]:
    """Return what was chosen for the one file that it is meant for."""
    chosen = choices_of(arguments)
    if chosen == Choices():
        return {}
    if len(arguments.sources) != 1 or any(file.is_dir() for file in files):
        raise UsageError("choices such as --swap or --column are for one file: import it by itself")
    return {files[0] if files else PASTED: chosen}


def _asked(lines: Sequence[str], *, by_terminal: bool) -> bool:
    """Show the preview and ask; without a terminal nobody can answer."""
    if not (by_terminal and sys.stdin.isatty() and sys.stdout.isatty()):
        return False
    sys.stdout.write("\n".join(lines) + "\n\nBring this in? [y/N] ")
    sys.stdout.flush()
    return sys.stdin.readline().strip().casefold() in {"y", "yes"}


def _refused(understood: Understood) -> Report:
    """Say what stands in the way, and what could be chosen to have it out of the way."""
    error = InputError(*understood.faults)
    offers = list(offer_lines(understood.sources))
    if offers:
        offers.insert(0, "What could be chosen:")
    return refusal(error, offers, {"sources": understood.sources, "notes": understood.notes})


def _report(
    understood: Understood,
    lines: Sequence[str],
    arguments: argparse.Namespace,
    *,
    changed: bool = False,
    status: int = DONE,
) -> Report:
    said = [*lines]
    if changed or status == DONE:
        said.append(f"Next:  dimpsy check {file_word(arguments.file)}")
    data = {"sources": understood.sources, "notes": understood.notes, "changed": changed}
    return Report(data, tuple(said), status)
