"""Writes a survey as files: OSM XML, GPX, CSV and TOML, the same bytes every time."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

from island import XY, Island
from naming import Run, name_runs, run_line
from roads import spot_of
from routes import Route
from survey import Survey
from weather import Evening

MAKER = "demo_routes/make_demo.py"
INVENTED = "Invented island, invented roads, invented names. Not OpenStreetMap data; not for navigation."
LIMITS = {"primary": "60 mph", "secondary": "50 mph"}
SURFACES = {"grade2": "gravel", "grade3": "dirt", "grade4": "ground"}


def write_survey(survey: Survey, into: Path) -> None:
    """Write all files of a survey into its folder below ``into``."""
    folder = into / survey.folder
    (folder / "routes").mkdir(parents=True, exist_ok=True)
    _save(folder / "season.toml", survey.season_toml)
    junctions = {junction: spot_of(survey.network, junction) for junction in survey.network}
    runs = name_runs(survey.network, survey.seed)
    _save(folder / "roads.osm", osm_text(survey.island, runs, junctions))
    for route in survey.routes:
        if route.code in survey.as_gpx:
            stem = "_".join([route.code, *route.name.lower().replace("'", "").split()])
            _save(folder / "routes" / f"{stem}.gpx", gpx_text(survey.island, route))
    _save(folder / "points.csv", _points_text(survey))
    _save(folder / "routes.csv", _routes_text(survey.routes))
    _save(folder / "volunteers.csv", _volunteers_text(survey))
    _save(folder / "availability.csv", _availability_text(survey))
    if survey.evenings:
        _save(folder / "evenings.csv", _evenings_text(survey.evenings))
    if survey.conditions:
        _save(folder / "conditions.csv", survey.conditions)


def _save(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8", newline="\n")


def osm_text(island: Island, runs: Sequence[Run], junctions: Mapping[int, XY]) -> str:
    """Return the roads as OSM XML 0.6: every run of road is one way, junctions are shared nodes."""
    numbers: dict[int, int] = {}
    spots: list[XY] = []
    node_tags: dict[int, Mapping[str, str]] = {}
    ways = []

    def add(spot: XY) -> int:
        spots.append(spot)
        return len(spots)

    for run in runs:
        refs: list[int] = []
        for road, forward in run_line(run):
            inner = []
            for place, spot in enumerate(road.line[1:-1], start=1):
                inner.append(add(spot))
                if road.middle_tags and place == len(road.line) // 2:
                    node_tags[inner[-1]] = road.middle_tags
            ends = []
            for junction in (road.start, road.end):
                if junction not in numbers:
                    numbers[junction] = add(junctions[junction])
                ends.append(numbers[junction])
            whole = [ends[0], *inner, ends[1]]
            refs += (whole if forward else whole[::-1])[1 if refs else 0 :]
        ways.append((refs, _way_tags(run)))
    return "\n".join([*_osm_head(), *_osm_nodes(island, spots, node_tags), *_osm_ways(ways), "</osm>", ""])


def _osm_head() -> list[str]:
    return [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f"<!-- {INVENTED} -->",
        f'<osm version="0.6" generator="{MAKER}">',
    ]


def _osm_nodes(island: Island, spots: Sequence[XY], tags: Mapping[int, Mapping[str, str]]) -> Iterable[str]:
    for number, spot in enumerate(spots, start=1):
        latitude, longitude = island.place(spot)
        head = f' <node id="{number}" version="1" lat="{latitude:.5f}" lon="{longitude:.5f}"'
        if number in tags:
            yield head + ">"
            yield from _tags(tags[number])
            yield " </node>"
        else:
            yield head + "/>"


def _osm_ways(ways: Iterable[tuple[Sequence[int], Mapping[str, str]]]) -> Iterable[str]:
    for number, (refs, tags) in enumerate(ways, start=1):
        yield f' <way id="{number}" version="1">'
        yield from (f'  <nd ref="{ref}"/>' for ref in refs)
        yield from _tags(tags)
        yield " </way>"


def _tags(tags: Mapping[str, str]) -> Iterable[str]:
    return (f"  <tag k={quoteattr(key)} v={quoteattr(value)}/>" for key, value in tags.items())


def _way_tags(run: Run) -> dict[str, str]:
    road = run.roads[0]
    tags = {"highway": road.kind}
    if run.name:
        tags["name"] = run.name
    if road.kind in LIMITS and "maxspeed" not in road.tags:
        tags["maxspeed"] = LIMITS[road.kind]
    tags |= road.tags
    if road.oneway:
        tags["oneway"] = "yes"
    tags["surface"] = SURFACES[road.tags["tracktype"]] if road.kind == "track" else "asphalt"
    return tags


def gpx_text(island: Island, route: Route) -> str:
    """Return a route as GPX 1.1 with one ``rte``, its points numbered in order."""
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<gpx version="1.1" creator="{MAKER}" xmlns="http://www.topografix.com/GPX/1/1">',
        f"  <metadata><desc>{INVENTED}</desc></metadata>",
        "  <rte>",
        f"    <name>{escape(f'{route.code} {route.name}')}</name>",
    ]
    for number, (spot, note) in enumerate(zip(route.points, route.notes, strict=True), start=1):
        latitude, longitude = island.place(spot)
        said = f"<cmt>{escape(note)}</cmt>" if note else ""
        lines.append(f'    <rtept lat="{latitude:.5f}" lon="{longitude:.5f}"><name>{number}</name>{said}</rtept>')
    return "\n".join([*lines, "  </rte>", "</gpx>", ""])


def _points_text(survey: Survey) -> str:
    rows = []
    for route in survey.routes:
        if route.code not in survey.as_gpx:
            for number, (spot, note) in enumerate(zip(route.points, route.notes, strict=True), start=1):
                rows.append([route.code, number, *_degrees(survey.island, spot), note])
    return _table(["route", "point", "latitude", "longitude", "note"], rows)


def _routes_text(routes: Iterable[Route]) -> str:
    rows = [[route.code, route.name, route.needs, route.people, route.lead, route.area] for route in routes]
    return _table(["route", "name", "needs", "people", "lead", "area"], rows)


def _volunteers_text(survey: Survey) -> str:
    heads = [
        "code", "name", "telephone", "email", "latitude", "longitude",
        "drive_limit_min", "visits_limit", "training", "vehicle",
    ]  # fmt: skip
    rows = []
    for who in survey.volunteers:
        person = who.person
        contact = [who.code, person.name, who.telephone, who.email, *_degrees(survey.island, who.home)]
        rows.append([*contact, person.drive_limit_min, person.visits_limit, person.training, person.vehicle])
    return _table(heads, rows)


def _availability_text(survey: Survey) -> str:
    rows = [
        [who.code, dates.first.isoformat(), dates.last.isoformat(), dates.weekdays, dates.parts]
        for who in survey.volunteers
        for dates in who.person.dates
    ]
    return _table(["volunteer", "from", "to", "weekdays", "parts"], rows)


def _evenings_text(evenings: Iterable[Evening]) -> str:
    rows = [[one.day.isoformat(), "yes" if one.lost else "no", one.note] for one in evenings]
    return _table(["date", "lost", "note"], rows)


def _degrees(island: Island, spot: XY) -> tuple[str, str]:
    latitude, longitude = island.place(spot)
    return f"{latitude:.5f}", f"{longitude:.5f}"


def _table(heads: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    table.writerow(heads)
    table.writerows(rows)
    return text.getvalue()
