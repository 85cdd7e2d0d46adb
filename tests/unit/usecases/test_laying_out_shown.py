"""What whoever shows a layout asks for: stretches of its line, the lines of a file, the road at a place."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.geo import Place
from planner.travel import RoadNetwork
from planner.usecases.laying_out import AlongLine, Laid, LayoutRequest, lay_out, lines_of, road_at
from tests.unit.travel.road_maps import RESIDENTIAL, row, write_osm
from tests.unit.usecases.test_laying_out import WGS84, at_least, polyline, protocol

BENT = AlongLine(polyline((90.0, 900.0), (0.0, 700.0), (45.0, 1234.0)))


@pytest.fixture(scope="module")
def laid() -> Laid:
    """Return a proposal along a bent line of 2,834 m."""
    return lay_out(protocol(at_least(300.0)), None, LayoutRequest(BENT))


def length_m(corners: tuple[tuple[float, float], ...]) -> float:
    latitudes, longitudes = zip(*corners, strict=True)
    return float(WGS84.line_length(longitudes, latitudes))


@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_that_a_stretch_is_as_long_as_it_says_and_lies_on_the_line(laid: Laid, data: st.DataObject) -> None:
    from_m = data.draw(st.floats(0.0, 2800.0))
    to_m = data.draw(st.floats(from_m, 2833.0))
    stretch = laid.between(from_m, to_m)
    # Corners 20 m apart cut a bend by some metres at most.
    assert length_m(stretch) == pytest.approx(to_m - from_m, abs=13.0)
    assert set(stretch[1:-1]) <= set(laid.line)
    assert length_m((laid.line[0], *laid.between(0.0, from_m))) == pytest.approx(from_m, abs=13.0)


def test_that_a_stretch_to_beyond_the_end_ends_there(laid: Laid) -> None:
    assert laid.between(2000.0, 9000.0)[-1] == pytest.approx(laid.line[-1], abs=1e-9)
    assert laid.line_m[0] == 0.0
    assert laid.line_m[-1] == pytest.approx(laid.length_m, abs=1.0)


def test_that_a_stretch_across_the_date_line_goes_the_short_way() -> None:
    fiji = AlongLine((Place(-17.0, 179.999), Place(-17.0, -179.999)))
    across = lay_out(protocol(at_least(50.0)), None, LayoutRequest(fiji)).between(95.0, 125.0)
    assert all(abs(longitude) > 179.9 for _, longitude in across)


def test_that_the_lines_of_a_file_are_offered_the_longest_first(tmp_path: Path) -> None:
    path = tmp_path / "drives.gpx"
    tracks = {"Short": (0.0, 0.01), "Long": (0.0, 0.05), "Dot": (0.0,)}
    lines = []
    for name, longitudes in tracks.items():
        points = "".join(f'<trkpt lat="50" lon="{longitude}"/>' for longitude in longitudes)
        lines.append(f"<trk><name>{name}</name><trkseg>{points}</trkseg></trk>")
    head = '<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="x">'
    path.write_text(f"{head}{''.join(lines)}</gpx>")
    found = lines_of(path)
    assert [line.name for line in found] == ["Long", "Short"]
    assert found[0].along == AlongLine((Place(50.0, 0.0), Place(50.0, 0.05)))
    assert found[0].length_m == pytest.approx(WGS84.inv(0.0, 50.0, 0.05, 50.0)[2], rel=0.004)  # a sphere's


def test_that_the_road_at_a_place_is_the_nearest_with_a_name(tmp_path: Path) -> None:
    nodes = {**row(2), 11: (50.001, 10.0), 12: (50.001, 10.01), 21: (50.003, 10.0), 22: (50.003, 10.01)}
    ways = [([1, 2], RESIDENTIAL), ([11, 12], {**RESIDENTIAL, "name": "Furze Lane"}), ([21, 22], {**RESIDENTIAL})]
    ways.append(([22, 2, 12], RESIDENTIAL))
    network = RoadNetwork.read(write_osm(tmp_path / "roads.osm", nodes, ways))
    assert road_at(Place(50.0, 10.005), network) == "Furze Lane"
    assert road_at(Place(50.02, 10.005), network) == ""
