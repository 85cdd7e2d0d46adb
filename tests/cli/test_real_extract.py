"""A whole season on real roads: an OpenStreetMap extract imported, checked, planned and printed."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice, pairwise
from pathlib import Path

from pypdf import PdfReader

from planner.travel import LatLon, RoadNetwork
from tests.cli.conftest import Dimpsy
from tests.unit.travel.detours import points_along, random_places
from tests.unit.travel.real_extracts import Extract, real_extract

_POINTS = 8


def _routes(network: RoadNetwork) -> Iterator[list[LatLon]]:
    """Yield strings of points along quickest ways across the city."""
    for start, end in pairwise(random_places(network, 40, seed=9).tolist()):
        points = points_along(network.path(tuple(start), tuple(end)), 650.0)[:_POINTS]
        if len(points) == _POINTS:
            yield points


def _write_tables(folder: Path, network: RoadNetwork) -> list[Path]:
    points = ["route,point,latitude,longitude"]
    for route, places in enumerate(islice(_routes(network), 2), start=1):
        points += [f"R{route},{number},{lat:.6f},{lon:.6f}" for number, (lat, lon) in enumerate(places, start=1)]
    people = ["code,name,latitude,longitude,drive limit,telephone,training"]
    dates = ["volunteer,from,to,weekdays,parts"]
    for number, (lat, lon) in enumerate(random_places(network, 4, seed=5).tolist(), start=1):
        person = f"V{number},Person {number},{lat:.6f},{lon:.6f},60,07700 90010{number},marsh bird calls"
        people.append(person)
        dates.append(f"V{number},2027-09-20,2027-10-20,,daylight dawn")
    tables = {"routes.csv": points, "volunteers.csv": people, "availability.csv": dates}
    for name, lines in tables.items():
        (folder / name).write_text("\n".join(lines) + "\n", encoding="utf-8")
    return [folder / name for name in tables]


def test_that_a_season_on_a_real_extract_is_imported_checked_planned_and_printed(
    tmp_path: Path, dimpsy: Dimpsy
) -> None:
    extract = real_extract(Extract.GOTHENBURG)
    tables = _write_tables(tmp_path, RoadNetwork.read(extract))
    season = tmp_path / "city.dimpsy"
    dates = ("--from", "2027-09-20", "--to", "2027-10-31", "--zone", "Europe/Stockholm")
    coordinator = ("--coordinator", "Ada Example", "--telephone", "07700 900001")
    assert dimpsy("new", season, "--protocol", "dawn_marsh_birds_demo", *dates, *coordinator).status == 0
    assert dimpsy("import", season, extract, *tables, "--yes").status in (0, 1)

    findings = dimpsy("check", season, "--json").data["findings"]
    rules = {finding["rule"] for finding in findings}
    assert "route.one_way" in rules
    assert not rules & {"roads.missing", "route.unreachable", "volunteer.off_road"}

    planned = dimpsy("plan", season, "--today", "2027-09-01", "--json").data
    assert (planned["filled"], planned["visits"], planned["drives"]) == (4, 4, "")
    lead = planned["plan"][0]["lead"]
    assert dimpsy("print", season, "--volunteer", lead, "--to", tmp_path / "papers").status == 0
    (paper,) = (tmp_path / "papers").glob("*.pdf")
    text = " ".join(word for page in PdfReader(paper).pages[:6] for word in page.extract_text().split())
    assert "OpenStreetMap contributors, ODbL" in text
    assert "Drive minutes follow the roads" in text
