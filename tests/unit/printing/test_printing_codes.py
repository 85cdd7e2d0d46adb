"""The QR codes on paper, read back by an independent decoder (zxing-cpp) from the pages as they are printed."""

from __future__ import annotations

import functools
import shutil
import subprocess
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest
import zxingcpp
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from PySide6.QtGui import QImage, QPainter

from planner.domain.geo import Place
from planner.domain.itinerary import Itinerary
from planner.domain.route import Point
from planner.printing import Paper, render_pages, write_itinerary
from planner.printing.canvas import Canvas, TextMark
from planner.printing.code_grid import code_grid
from planner.printing.geometry import Box
from planner.printing.place_code import CODE_MM, MODULES, draw_code
from tests.golden.itineraries import ITINERARIES, long_names, past_midnight, ten_points

POOR_PRINTER = 150
"""Dots per inch."""
MM_AN_INCH = 25.4
LEAST_MODULE_MM = 0.5

ONLY_QR = zxingcpp.barcode_formats_from_str("QRCode")
Grey = NDArray[np.uint8]


@dataclass(frozen=True, slots=True)
class Seen:
    """A code that was read."""

    text: str
    corners: tuple[tuple[int, int], ...]


def _grey(image: QImage) -> Grey:
    flat = image.convertToFormat(QImage.Format.Format_Grayscale8)
    rows = np.frombuffer(flat.constBits(), np.uint8).reshape(flat.height(), flat.bytesPerLine())
    return rows[:, : flat.width()].copy()


def _read(page: Grey) -> list[Seen]:
    found = zxingcpp.read_barcodes(page, ONLY_QR, try_rotate=False, try_invert=False)
    spots = [(one.position.top_left, one.position.top_right, one.position.bottom_right) for one in found]
    return [Seen(one.text, tuple((spot.x, spot.y) for spot in some)) for one, some in zip(found, spots, strict=True)]


@functools.cache
def _scanned(name: str, paper: Paper) -> tuple[tuple[Grey, tuple[Seen, ...]], ...]:
    pages = render_pages(ITINERARIES[name](), paper)
    greys = [_grey(pages.image(number, POOR_PRINTER)) for number in range(pages.page_count)]
    return tuple((grey, tuple(_read(grey))) for grey in greys)


def _address(point: Point) -> str:
    return f"geo:{point.place.latitude:.5f},{point.place.longitude:.5f}"


def _expected(plan: Itinerary, firsts: Sequence[int], sheets: int) -> Counter[str]:
    """Each point as often as it has a sheet, and the first stop of every day plan."""
    route = plan.days[0].route
    addresses = Counter({_address(point): sheets for point in route.points})
    addresses.update(_address(route.point(number)) for number in firsts)
    return addresses


@pytest.mark.parametrize(
    ("name", "firsts", "sheets", "paper"),
    [
        # Habitat at the set-up and on visit 1, counts on visits 1 and 2; set-up, two visits, two reserve dates.
        ("ten_points", (1, 10, 1, 10, 1), 4, Paper.A4),
        # Letter paper is lower: there the boxes of the count sheets are, so that its lines hold the codes all the same.
        ("ten_points", (1, 10, 1, 10, 1), 4, Paper.LETTER),
        ("past_midnight", (6,), 1, Paper.A4),
        # Two runs over the points, the code on the first line of each.
        ("southern_dawn", (1,), 1, Paper.A4),
        # The count sheet's lines hold the times of two skies; the habitat sheets have the codes.
        ("long_names", (15, 15), 1, Paper.A4),
    ],
)
def test_that_each_day_plan_and_each_point_s_sheet_carries_its_place_and_nothing_else_does(
    name: str, firsts: Sequence[int], sheets: int, paper: Paper
) -> None:
    found = Counter(seen.text for _, page in _scanned(name, paper) for seen in page)
    assert found == _expected(ITINERARIES[name](), firsts, sheets)


@pytest.mark.parametrize("name", tuple(ITINERARIES))
def test_that_modules_are_large_enough_and_nothing_is_printed_in_the_white_round_a_code(name: str) -> None:
    for grey, page in _scanned(name, Paper.A4):
        for seen in page:
            left, top = np.min(seen.corners, axis=0)
            right, bottom = np.max(seen.corners, axis=0)
            module = (right - left + 1) / MODULES
            assert module * MM_AN_INCH / POOR_PRINTER >= LEAST_MODULE_MM
            # Four modules of white by ISO/IEC 18004, less the pixel by which the decoder's corners may be off.
            reach = round(4 * module) - 2
            around = grey[top - reach : bottom + reach + 1, left - reach : right + reach + 1].copy()
            around[reach - 2 : -reach + 2, reach - 2 : -reach + 2] = 255
            assert around.min() > 250, seen.text


def test_that_where_neither_lines_nor_other_sheets_have_room_the_codes_follow_the_counts() -> None:
    plan = replace(long_names(), habitat=None, reserves=())
    pages = render_pages(plan)
    found = Counter(seen.text for n in range(pages.page_count) for seen in _read(_grey(pages.image(n, POOR_PRINTER))))
    addresses = {_address(plan.days[0].route.point(number)) for number in plan.days[0].outing.order}
    assert found == Counter(addresses) + Counter([_address(plan.days[0].route.point(15))])


def _blurred(page: Grey, times: int) -> NDArray[np.float64]:
    """Spread the ink: the mean of three by three pixels, so many times over."""
    soft = page.astype(float)
    for _ in range(times):
        rows = (np.roll(soft, 1, 0) + soft + np.roll(soft, -1, 0)) / 3
        soft = (np.roll(rows, 1, 1) + rows + np.roll(rows, -1, 1)) / 3
    return soft


def test_that_a_poor_printer_s_blur_specks_and_grey_paper_leave_every_code_readable() -> None:
    chance = np.random.default_rng(7)
    # A day plan, three habitat sheets, and the count sheet of another.
    scanned = [*_scanned("ten_points", Paper.A4)[3:8], *_scanned("past_midnight", Paper.A4)[4:]]
    assert sum(len(page) for _, page in scanned) > 12
    for grey, page in scanned:
        soft = 60 + _blurred(grey, 1) * 0.65 + chance.normal(0, 12, grey.shape)
        soft[chance.random(grey.shape) < 0.002] = 0
        worn = np.clip(soft, 0, 255).astype(np.uint8)
        assert Counter(seen.text for seen in _read(worn)) == Counter(seen.text for seen in page)


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="no pdftoppm is installed here: it draws PDF files")
def test_that_the_codes_are_read_out_of_the_file_too(tmp_path: Path) -> None:
    write_itinerary(past_midnight(), tmp_path / "one.pdf")
    count_sheet = ["-f", "5", "-l", "5"]
    subprocess.run(
        ["pdftoppm", "-r", "150", "-gray", "-png", *count_sheet, "one.pdf", "page"], cwd=tmp_path, check=True
    )
    [page] = tmp_path.glob("*.png")
    assert Counter(seen.text for seen in _read(_grey(QImage(str(page))))) == _expected(past_midnight(), (), 1)


def _alone(draw_at: float, place: Place) -> Grey:
    image = QImage(220, 220, QImage.Format.Format_RGB32)
    image.fill(0xFFFFFF)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.scale(POOR_PRINTER / MM_AN_INCH, POOR_PRINTER / MM_AN_INCH)
    draw_code(Canvas(painter), (draw_at, draw_at), place)
    painter.end()
    return _grey(image)


@settings(deadline=None, max_examples=30)
@given(st.floats(-90, 90), st.floats(-180, 180), st.floats(5.0, 12.0))
def test_that_any_place_fits_its_code_wherever_it_falls_between_the_dots(
    latitude: float, longitude: float, draw_at: float
) -> None:
    [seen] = _read(_alone(draw_at, Place(latitude, longitude)))
    scheme, _, digits = seen.text.partition(":")
    assert scheme == "geo"
    north, east = (float(part) for part in digits.split(","))
    assert [north, east] == pytest.approx([latitude, longitude], abs=5.1e-6)


def test_that_a_grid_names_each_point_once_with_its_coordinates() -> None:
    points = ten_points().days[0].route.points
    _, rows = code_grid([*points, *points[:3]], 186.0)
    assert sum(1 for _ in rows.rows) == 3
    marks: list[TextMark] = []
    image = QImage(1200, 900, QImage.Format.Format_RGB32)
    image.fill(0xFFFFFF)
    painter = QPainter(image)
    painter.scale(POOR_PRINTER / MM_AN_INCH, POOR_PRINTER / MM_AN_INCH)
    for number, row in enumerate(rows.rows):
        row.paint(Canvas(painter, marks.append), Box(5.0, 5.0 + number * row.height, 186.0, row.height))
    painter.end()
    assert Counter(seen.text for seen in _read(_grey(image))) == Counter(map(_address, points))
    assert [mark.text for mark in marks if "," in mark.text] == [str(point.place) for point in points]
    assert not any(one.box.meets(other.box) for at, one in enumerate(marks) for other in marks[at + 1 :])
    assert rows.rows[0].height > CODE_MM
