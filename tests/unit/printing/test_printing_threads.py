"""A preview is drawn in one thread while papers are written in another: the pages are the same."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from threading import get_ident

from planner.domain.itinerary import Itinerary
from planner.printing import render_pages
from planner.printing.fonts import Face, qt_font
from tests.golden.itineraries import past_midnight, southern_dawn


def _pictures(itinerary: Itinerary) -> list[bytes]:
    pages = render_pages(itinerary)
    images = [pages.image(number, 50) for number in range(pages.page_count)]
    return [bytes(image.constBits()) for image in images]


def test_that_pages_drawn_side_by_side_are_those_drawn_one_after_the_other() -> None:
    wanted = [past_midnight(), southern_dawn(), past_midnight(), southern_dawn()]
    alone = [_pictures(itinerary) for itinerary in wanted]
    with ThreadPoolExecutor(4) as pool:
        assert list(pool.map(_pictures, wanted)) == alone


def test_that_no_font_is_shared_between_threads() -> None:
    face = Face(11.5)
    with ThreadPoolExecutor(1) as pool:
        thread, other = pool.submit(lambda: (get_ident(), qt_font(face))).result()
    assert thread != get_ident()
    assert qt_font(face) is qt_font(face)
    assert other is not qt_font(face)
