"""Pages are filled from the top, and nothing that belongs together is parted."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.printing.blocks import Block, Rows, Section, filled_pages, space, stacked
from planner.printing.geometry import Box
from planner.printing.paper import Paper

CONTENT = Box(10.0, 10.0, 100.0, 200.0)


def _head(height: float) -> Block:
    return Block(height, lambda _canvas, _box: None, keep_with_next=True)


def _heights(section: Section) -> list[list[float]]:
    return [[box.height for _, box in page.placed] for page in filled_pages(section, CONTENT)]


@given(st.lists(st.floats(1.0, 200.0), min_size=1, max_size=30))
def test_that_blocks_keep_their_order_and_stay_inside_the_page(heights: list[float]) -> None:
    pages = filled_pages(Section(tuple(space(height) for height in heights)), CONTENT)
    assert [box.height for page in pages for _, box in page.placed] == heights
    assert all(CONTENT.holds(box) for page in pages for _, box in page.placed)
    for page, following in pairwise(pages):
        used = sum(box.height for _, box in page.placed)
        assert used + following.placed[0][1].height > CONTENT.height


def test_that_a_heading_is_never_the_last_thing_on_a_page() -> None:
    assert _heights(Section((space(180.0), _head(10.0), space(30.0)))) == [[180.0], [10.0, 30.0]]


def test_that_a_table_repeats_its_head_and_splits_no_row() -> None:
    table = Rows(space(10.0), tuple(space(30.0) for _ in range(8)))
    assert _heights(Section((table,))) == [[10.0, *[30.0] * 6], [10.0, 30.0, 30.0]]


def test_that_a_table_begins_with_a_row_under_its_head() -> None:
    table = Rows(space(10.0), (space(30.0), space(30.0)))
    assert _heights(Section((space(165.0), table))) == [[165.0], [10.0, 30.0, 30.0]]


def test_that_a_whole_table_goes_to_the_next_page_rather_than_being_parted() -> None:
    rows = (space(30.0), space(30.0))
    assert _heights(Section((space(150.0), Rows(space(10.0), rows)))) == [[150.0, 10.0, 30.0], [10.0, 30.0]]
    assert _heights(Section((space(150.0), Rows(space(10.0), rows, whole=True)))) == [[150.0], [10.0, 30.0, 30.0]]


def test_when_no_page_can_hold_a_whole_table_it_starts_where_it_stands() -> None:
    table = Rows(space(10.0), tuple(space(30.0) for _ in range(8)), whole=True)
    assert _heights(Section((space(100.0), table)))[0] == [100.0, 10.0, 30.0, 30.0, 30.0]


def test_that_later_pages_of_a_section_carry_its_running_head() -> None:
    section = Section((space(150.0), space(150.0)), space(12.0))
    assert _heights(section) == [[150.0], [12.0, 150.0]]


def test_when_a_block_is_higher_than_a_page_no_empty_page_is_made_for_it() -> None:
    assert _heights(Section((space(300.0), space(300.0)), space(12.0))) == [[300.0], [12.0, 300.0]]


def test_that_a_heading_left_alone_at_the_end_is_still_drawn() -> None:
    assert _heights(Section((_head(10.0),))) == [[10.0]]


def test_that_stacked_blocks_are_as_high_as_all_of_them() -> None:
    assert stacked((space(10.0), space(5.0))).height == 15.0


def test_that_papers_have_the_sizes_of_their_standards() -> None:
    assert Paper.A4.size_mm == (210.0, 297.0)
    assert Paper.LETTER.size_mm == pytest.approx((8.5 * 25.4, 11 * 25.4))
    for paper in Paper:
        width, height = paper.size_mm
        inside = Box(12.0, 12.0, width - 24.0, height - 24.0)
        assert inside.holds(paper.content)
        assert inside.holds(paper.footer)
        assert not paper.content.meets(paper.footer)
