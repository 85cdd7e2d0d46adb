"""Roads on the map: what is found, thinned and painted, judged by shapely."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPointF
from PySide6.QtGui import QColor, QImage, QPainter

from planner.desktop.look.colours import LIGHT, Colours
from planner.desktop.map.camera import Camera
from planner.desktop.map.drawing import mixed
from planner.desktop.map.ground import Ground
from planner.desktop.map.road_sheet import COARSEST_BEND_PX, DETAILS_M, RoadSheet
from planner.desktop.map.road_tiles import LOOKS, MOST_BYTES, RoadTiles, road_width
from planner.domain.geo import Place
from planner.usecases.roads.map_lines import RoadRank, map_lines
from tests.bench.map import big_network
from tests.desktop.map.maps import LATITUDE, LONGITUDE, crossroads

SHEET = RoadSheet.of(map_lines(big_network(1_500, 3)), Ground(Place(50.05, -3.95)))
NEAR = 1.0


def _shapes(detail: int) -> list[shapely.LineString]:
    one = SHEET.details[detail]
    corners = np.column_stack([one.east, one.south])
    return [shapely.LineString(corners[one.starts[i] : one.starts[i + 1]]) for i in range(len(one.lines))]


TREE = shapely.STRtree(_shapes(0))


@given(st.floats(-12_000, 12_000), st.floats(-12_000, 12_000), st.floats(1, 4_000), st.floats(1, 4_000))
def test_that_every_road_in_a_box_is_found_once(left: float, top: float, wide: float, high: float) -> None:
    _, found = SHEET.near(NEAR, (left, top, left + wide, top + high))
    expected = TREE.query(shapely.box(left, top, left + wide, top + high), predicate="intersects")
    assert set(expected.tolist()) <= set(found.tolist())
    assert len(set(found.tolist())) == len(found)


def test_that_no_road_far_from_a_box_is_found() -> None:
    _, found = SHEET.near(NEAR, (0.0, 0.0, 500.0, 500.0))
    box, side_m = shapely.box(0.0, 0.0, 500.0, 500.0), SHEET.squares[0].side_m
    assert len(found)
    # A line that only passes through the squares' corner regions by its own box may lie as far off as it is long.
    assert max(shapely.distance(box, TREE.geometries[found])) < 700.0 + 2 * side_m
    assert not len(SHEET.near(NEAR, (9e6, 9e6, 9.1e6, 9.1e6))[1])


@pytest.mark.parametrize("detail", range(1, len(DETAILS_M)))
def test_that_thinned_roads_stray_no_farther_than_a_cell(detail: int) -> None:
    whole, thinned = _shapes(0), _shapes(detail)
    lines = SHEET.details[detail].lines.tolist()
    strayed = [shapely.hausdorff_distance(whole[line], shape) for line, shape in zip(lines, thinned, strict=True)]
    assert max(strayed) <= DETAILS_M[detail] * np.sqrt(2)


def test_that_coarser_roads_lose_only_lines_within_a_cell_or_not_shown_so_far_off() -> None:
    assert len(SHEET.details[-1].east) < len(SHEET.details[0].east)
    for bend_m, detail in zip(DETAILS_M[1:], SHEET.details[1:], strict=True):
        whole = SHEET.details[0]
        nearest = COARSEST_BEND_PX / bend_m
        shown = whole.lines[SHEET.shown_from[whole.ranks] <= nearest]
        for line in np.setdiff1d(shown, detail.lines).tolist():
            rows = slice(whole.starts[line], whole.starts[line + 1])
            assert np.ptp(whole.east[rows]) <= bend_m
            assert np.ptp(whole.south[rows]) <= bend_m


def test_that_weightier_roads_are_shown_from_farther_off() -> None:
    assert SHEET.shown_from[RoadRank.MAJOR] == 0.0
    assert (np.diff(SHEET.shown_from) >= 0.0).all()
    detail, found = SHEET.near(1 / 2000, (-1e6, -1e6, 1e6, 1e6))
    assert set(detail.ranks[found].tolist()) == {RoadRank.MAJOR}


def test_that_all_roads_are_shown_when_near() -> None:
    detail, found = SHEET.near(NEAR, (-1e6, -1e6, 1e6, 1e6))
    assert len(found) == len(detail.lines) == 1_500


@pytest.mark.parametrize("rank", list(RoadRank))
def test_that_a_road_grows_as_it_comes_nearer_up_to_its_own_width(rank: RoadRank) -> None:
    widths = [road_width(LOOKS[rank], 2.0**step) for step in range(-12, 3)]
    assert widths == sorted(widths)
    assert (widths[0], widths[-1]) == (1.0, LOOKS[rank].width)


def _pixel(tiles: RoadTiles, camera: Camera, x: int, y: int) -> str:
    image = QImage(round(camera.width), round(camera.height), QImage.Format.Format_RGB32)
    image.fill(QColor(tiles.colours.ground))
    painter = QPainter(image)
    tiles.paint(painter, camera)
    painter.end()
    return image.pixelColor(x, y).name()


def test_that_a_road_is_painted_where_it_lies(tmp_path: Path, colours: Colours) -> None:
    ground = Ground(Place(LATITUDE, LONGITUDE + 0.05))
    tiles = RoadTiles(RoadSheet.of(map_lines(crossroads(tmp_path)), ground), colours, 1.0)
    camera = Camera(width=200, height=200, step=-16)
    while (key := tiles.missing(camera)) is not None:
        tiles.make(key)
    assert _pixel(tiles, camera, 50, 100) != colours.ground
    assert _pixel(tiles, camera, 50, 140) == colours.ground


def test_that_pictures_of_the_size_before_stand_in_until_the_right_ones_are_painted(tmp_path: Path) -> None:
    ground = Ground(Place(LATITUDE, LONGITUDE + 0.05))
    tiles = RoadTiles(RoadSheet.of(map_lines(crossroads(tmp_path)), ground), LIGHT, 1.0)
    camera = Camera(width=200, height=200, step=-16)
    while (key := tiles.missing(camera)) is not None:
        tiles.make(key)
    tiles_there = _pixel(tiles, camera, 50, 100)
    nearer = camera.zoomed(2, QPointF(100, 100))
    assert tiles.missing(nearer) is not None
    assert tiles_there != LIGHT.ground
    assert _pixel(tiles, nearer, 50, 100) != LIGHT.ground


def test_that_pictures_do_not_pile_up(tmp_path: Path) -> None:
    tiles = RoadTiles(RoadSheet.of(map_lines(crossroads(tmp_path)), Ground(Place(LATITUDE, LONGITUDE))), LIGHT, 4.0)
    for column in range(60):
        tiles.make((0, column, 0))
    side = 4 * 256
    assert tiles.kept * side * side * 4 <= MOST_BYTES < (tiles.kept + 1) * side * side * 4
    assert tiles.missing(Camera(east=59.5 * 256, south=128.0, step=0, width=10, height=10)) is None


def test_that_colours_mix_evenly() -> None:
    assert mixed("#000000", "#ffffff", 0.5).name() == "#808080"
    assert mixed("#102030", "#405060", 0.0).name() == "#102030"
