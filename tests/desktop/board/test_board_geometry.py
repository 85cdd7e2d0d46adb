"""A place on the screen leads to the cell that is painted there, and lanes keep visits apart."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from planner.desktop.board.geometry import BoardGeometry, lanes_for
from planner.desktop.board.painting import runs_of
from planner.domain.calendar import DateRange
from tests.unit.scheduling.seasons import days

_GEOMETRIES = st.builds(
    BoardGeometry,
    rows=st.integers(1, 50),
    columns=st.integers(1, 90),
    column_width=st.integers(9, 72),
    lane_height=st.integers(20, 40),
    lanes=st.sampled_from([(0,), (0, 0), (0, 1), (0, 1, 2)]),
    left=st.integers(0, 500),
    top=st.integers(0, 500),
)


@given(_GEOMETRIES, st.data())
def test_that_every_pixel_of_a_cell_leads_back_to_it(at: BoardGeometry, data: st.DataObject) -> None:
    row, column = data.draw(st.integers(0, at.rows - 1)), data.draw(st.integers(0, at.columns - 1))
    cell = at.cell(row, column)
    x = data.draw(st.integers(cell.left(), cell.right()))
    y = data.draw(st.integers(cell.top(), cell.bottom()))
    assert (at.row_at(y), at.column_at(x)) == (row, column)
    assert row in at.rows_in(y, y)
    assert column in at.columns_in(x, x)


@given(_GEOMETRIES)
def test_that_beyond_the_last_cell_there_is_none(at: BoardGeometry) -> None:
    assert at.row_at(at.height - at.top) == -1
    assert at.column_at(at.width - at.left) == -1


@given(_GEOMETRIES, st.data())
def test_that_blocks_lie_inside_their_cells_and_bands_cover_their_dates(at: BoardGeometry, data: st.DataObject) -> None:
    row, column = data.draw(st.integers(0, at.rows - 1)), data.draw(st.integers(0, at.columns - 1))
    visit = data.draw(st.integers(1, len(at.lanes)))
    cell, block = at.cell(row, column), at.block(row, column, visit)
    assert cell.toRectF().contains(block)
    assert at.band(row, column, column, visit).contains(block)


_RANGES = st.lists(
    st.tuples(st.integers(0, 20), st.integers(0, 10)).map(lambda one: days(one[0], one[0] + one[1])),
    min_size=3,
    max_size=3,
)


@given(st.lists(_RANGES, min_size=1, max_size=5))
def test_that_visits_that_may_lie_on_one_date_of_a_route_run_in_different_lanes(routes: list[list[DateRange]]) -> None:
    lanes = lanes_for(routes, 3)
    for one in routes:
        for a in range(3):
            for b in range(a):
                if set(one[a]) & set(one[b]):
                    assert lanes[a] != lanes[b]
    if not any(set(one[a]) & set(one[b]) for one in routes for a in range(3) for b in range(a)):
        assert lanes == (0, 0, 0)


@given(st.sets(st.integers(0, 60)))
def test_that_runs_hold_every_column_once(columns: set[int]) -> None:
    runs = list(runs_of(sorted(columns)))
    assert [column for first, last in runs for column in range(first, last + 1)] == sorted(columns)
    assert all(later[0] > earlier[1] + 1 for earlier, later in pairwise(runs))
