"""The one route of a map file takes the code that a person gives it; its own words become its name."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.exchange import RoutesRead
from tests.unit.exchange.map_samples import GPX_1_1, routes
from tests.unit.exchange.samples import write
from tests.unit.exchange.test_exchange_kml import kml, placemark

POINTS = placemark("1", "-1.2,51.5") + placemark("2", "-1.21,51.5")


def folder(name: str) -> str:
    return f"<Folder><name>{name}</name>{POINTS}</Folder>"


def named(read: RoutesRead) -> list[tuple[str, str]]:
    return [(name.code, name.name) for name in read.names]


def of_routes(read: RoutesRead) -> list[tuple[str, int]]:
    return [(row.route, row.number) for row in read.points]


@pytest.mark.parametrize(("title", "name"), [("Spring route", "Spring route"), ("R01 Spring", "Spring"), ("R01", "")])
def test_that_a_folder_takes_the_code_that_is_given(tmp_path: Path, title: str, name: str) -> None:
    read = routes(kml(tmp_path, folder(title)), route="R05")
    assert of_routes(read) == [("R05", 1), ("R05", 2)]
    assert named(read) == [("R05", name)]
    assert read.notes == (f"Route {title.removesuffix(' Spring')} is taken as route R05, as was chosen.",)


def test_that_a_property_and_a_route_of_a_receiver_take_it_too(tmp_path: Path) -> None:
    point = (
        '{"type": "Feature", "properties": {"route": "Spring route", "point": 1},'
        ' "geometry": {"type": "Point", "coordinates": [-1.2, 51.5]}}'
    )
    read = routes(write(tmp_path / "s.geojson", point), route="R05")
    assert (of_routes(read), named(read)) == ([("R05", 1)], [("R05", "Spring route")])
    route = '<rte><name>Spring route</name><rtept lat="51.5" lon="-1.2"/></rte>'
    read = routes(write(tmp_path / "s.gpx", f"<gpx {GPX_1_1}>{route}</gpx>"), route="R05")
    assert (of_routes(read), named(read)) == ([("R05", 1)], [("R05", "Spring route")])


def test_that_of_several_routes_none_takes_it(tmp_path: Path) -> None:
    read = routes(kml(tmp_path, folder("Spring route") + folder("R02 Autumn")), route="R05")
    assert {code for code, _ in of_routes(read)} == {"Spring route", "R02"}
    same = routes(kml(tmp_path, folder("R05 Spring")), route="R05")
    assert (named(same), same.notes) == ([("R05", "Spring")], ())
