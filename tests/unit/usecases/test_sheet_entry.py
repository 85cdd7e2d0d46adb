"""What is typed on a habitat sheet stands there as typed, the rest fills up to 100, and nothing is lost by it."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.errors import RuleError
from planner.domain.field.habitat_sheet import MOST_FIGURE, Cover, HabitatSheet, SheetState, Side, UnreadCell
from planner.domain.field.sheet_rules import sheet_faults
from planner.domain.habitat import HabitatRule
from planner.domain.plan import Plan, VisitKey
from planner.domain.protocol import SetupRule
from planner.usecases.sheets.entry import (
    CellKind,
    SheetCell,
    blank_sheet,
    cell_text,
    habitat_date,
    is_unfinished,
    sheet_before,
    sheet_cells,
    with_rest_in,
    with_text,
)
from planner.usecases.sheets.observers import offered_observers
from planner.usecases.sheets.pairs import moved_cells, pairs_at, sheet_pair
from planner.usecases.sheets.standing import sheet_standings
from tests.unit.usecases.edited_seasons import PLAN
from tests.unit.usecases.sheet_seasons import PROTOCOL, SEASON, draft, final, key

assert PROTOCOL.habitat is not None
HEATH: HabitatRule = PROTOCOL.habitat
CELLS = sheet_cells(HEATH)
FIGURES = tuple(cell for cell in CELLS if cell.is_figure)
SIDES = replace(HEATH, sides_of_road=True)
TALL, SHORT = SheetCell(CellKind.CLASS, "TH"), SheetCell(CellKind.CLASS, "SH")


@given(st.lists(st.tuples(st.sampled_from(FIGURES), st.integers(0, MOST_FIGURE)), max_size=12))
def test_that_each_cell_holds_what_was_typed_into_it_last(typed: list[tuple[SheetCell, int]]) -> None:
    sheet, last = blank_sheet(key(1), HEATH), dict.fromkeys(FIGURES, "")
    for cell, figure in typed:
        sheet = with_text(sheet, cell, str(figure))
        last[cell] = str(figure)
    assert {cell: cell_text(sheet, cell) for cell in FIGURES} == last
    for cell in FIGURES:
        sheet = with_text(sheet, cell, "")
    assert sheet == blank_sheet(key(1), HEATH)


@given(st.dictionaries(st.sampled_from([one.code for one in HEATH.classes]), st.integers(0, 60), max_size=9))
def test_that_a_class_takes_what_the_others_leave_of_100_or_says_that_nothing_is_left(ground: dict[str, int]) -> None:
    others = sum(percent for code, percent in ground.items() if code != "TH")
    if others > 100:
        with pytest.raises(RuleError, match="nothing is left"):
            with_rest_in(draft(key(1), ground), TALL)
        return
    full = with_rest_in(draft(key(1), ground), TALL)
    assert full.covers[0].total == 100
    assert {code: full.covers[0].percent(code) for code in ground if code != "TH"} == {
        code: percent for code, percent in ground.items() if code != "TH"
    }


@pytest.mark.parametrize("text", ["ten", "-10", "2.5", "20 30", "12345", "²", "٢٠"])
def test_that_what_is_no_whole_number_is_refused_and_says_what_belongs_there(text: str) -> None:
    with pytest.raises(RuleError, match="a whole number from 0 to 9999"):
        with_text(draft(key(1)), SHORT, text)


def test_that_a_percent_sign_and_blanks_are_no_hindrance() -> None:
    assert cell_text(with_text(draft(key(1)), SHORT, " 20 % "), SHORT) == "20"


def test_that_words_are_kept_as_typed_and_only_a_class_takes_the_rest() -> None:
    species, note = SheetCell(CellKind.SPECIES), SheetCell(CellKind.NOTE)
    sheet = with_text(with_text(draft(key(1)), species, "stone curlew"), note, " gorse fire ")
    assert (cell_text(sheet, species), cell_text(sheet, note)) == ("stone curlew", "gorse fire")
    with pytest.raises(RuleError, match="only a habitat class"):
        with_rest_in(sheet, SheetCell(CellKind.GRAZED))


def test_that_a_cell_that_was_not_understood_shows_its_text_until_it_is_written_over() -> None:
    unread = replace(draft(key(1), {"GR": 40}), unread=(UnreadCell("TH", "lots"), UnreadCell("grazed", "half")))
    assert cell_text(unread, TALL) == "lots"
    mended = with_text(unread, TALL, "60")
    assert mended.unread == (UnreadCell("grazed", "half"),)
    assert cell_text(mended, TALL) == "60"
    assert with_rest_in(unread, TALL).unread == (UnreadCell("grazed", "half"),)


def test_that_both_sides_of_a_road_are_typed_apart_and_a_circle_is_never_written_over() -> None:
    left, right = SheetCell(CellKind.CLASS, "TH", Side.LEFT), SheetCell(CellKind.CLASS, "TH", Side.RIGHT)
    assert left in sheet_cells(SIDES)
    sheet = with_text(with_text(blank_sheet(key(1), SIDES), left, "100"), right, "40")
    assert [cover.percent("TH") for cover in sheet.covers] == [100, 40]
    begun_by_a_photo = HabitatSheet(key(1))
    assert [cover.side for cover in with_text(begun_by_a_photo, left, "10").covers] == [Side.LEFT, Side.RIGHT]
    with pytest.raises(RuleError, match="other sides of the road"):
        with_text(draft(key(1)), left, "10")


def test_that_faults_belong_to_their_cells_and_what_only_lacks_is_told_apart_from_what_is_wrong() -> None:
    sheet = replace(draft(key(1), {"TH": 35, "SH": 30}), livestock=None)
    faults = sheet_faults(sheet, HEATH)
    assert [fault.field for fault in faults if TALL.has(fault)] == ["TH"]
    assert [(fault.field, is_unfinished(sheet, fault)) for fault in faults] == [
        ("TH", False),
        ("sum", True),
        ("livestock", True),
    ]
    too_much = draft(key(1), {"TH": 70, "SH": 40})
    assert [is_unfinished(too_much, fault) for fault in sheet_faults(too_much, HEATH)] == [False]


def test_that_the_sheet_before_is_the_same_persons_and_a_final_one_before_a_draft() -> None:
    now = key(1, visit=2, who="V2")
    mine, theirs, begun = final(key(1, who="V2")), final(key(1, who="V1")), draft(key(1, who="V3"))
    assert sheet_before([theirs, mine, begun], now) == mine
    assert sheet_before([begun, theirs], now) == theirs
    assert sheet_before([final(key(2)), HabitatSheet(key(1)), draft(key(1, route="R2"))], now) is None


@pytest.mark.parametrize(("habitat", "day"), [(True, dt.date(2027, 5, 30)), (False, dt.date(2027, 6, 2))])
def test_that_habitat_is_dated_by_the_set_up_where_the_protocol_says_so(habitat: bool, day: dt.date) -> None:
    protocol = replace(PROTOCOL, setup=SetupRule(required=True, minutes_per_point=5, habitat=habitat))
    second = PLAN.by_key[VisitKey("R1", 2)]
    plan = Plan((replace(PLAN.by_key[VisitKey("R1", 1)], setup=dt.date(2027, 5, 30)), second))
    assert habitat_date(protocol, plan, VisitKey("R1", 1)) == day
    assert habitat_date(protocol, plan, VisitKey("R1", 2)) == second.date
    assert habitat_date(protocol, plan, VisitKey("R2", 2)) is None


def test_that_who_has_sheets_of_a_visit_is_offered_first_then_who_is_planned_then_nobody() -> None:
    visit = VisitKey("R1", 1)
    offered = offered_observers(SEASON, PLAN, [draft(key(1, who="V3")), draft(key(2, who="V3"))], visit)
    assert [(one.code, one.sheets) for one in offered][:3] == [("V3", 2), ("V1", 0), ("", 0)]
    assert sorted(one.code for one in offered) == ["", "V1", "V2", "V3"]


def test_that_points_are_counted_once_and_are_final_when_all_their_sheets_are() -> None:
    sheets = [final(key(1)), draft(key(1, who="V2")), final(key(2)), draft(key(3)), HabitatSheet(key(4))]
    standing = {one.route.code: one for one in sheet_standings(SEASON, sheets)}
    first, second = standing["R1"].visits
    assert (first.final, first.draft, first.came_in, second.came_in) == (1, 2, 3, 0)
    assert (standing["R1"].missing, standing["R1"].has_drafts, standing["R2"].has_drafts) == (True, True, False)


def test_that_two_sheets_stand_side_by_side_and_say_what_moved() -> None:
    earlier, later = draft(key(1), {"TH": 60, "GR": 40}), draft(key(1, visit=2), {"TH": 30, "GR": 70})
    pair = sheet_pair(earlier, later, HEATH)
    assert [(row.code, row.first, row.second, row.difference, row.moved) for row in pair.rows] == [
        ("TH", 60, 30, -30, True),
        ("GR", 40, 70, 30, False),
    ]
    # Worked by hand: the smaller of 60 and 30, and of 40 and 70.
    assert pair.overlap_percent == 30 + 40
    assert sheet_pair(earlier, draft(key(1, visit=2), {"TH": 30}), HEATH).overlap_percent is None


def test_that_a_sheet_being_written_is_held_only_to_the_figures_it_has() -> None:
    earlier = draft(key(1), {"TH": 60, "SH": 40})
    assert moved_cells(earlier, draft(key(1, visit=2), {"SH": 40}), HEATH) == frozenset()
    assert moved_cells(earlier, draft(key(1, visit=2), {"SH": 10}), HEATH) == {(Side.CIRCLE, "SH")}
    whole = draft(key(1, visit=2), {"SH": 100})
    assert moved_cells(earlier, whole, HEATH) == {(Side.CIRCLE, "TH"), (Side.CIRCLE, "SH")}
    sides = HabitatSheet(key(1, visit=2), (Cover(Side.LEFT), Cover(Side.RIGHT)))
    assert moved_cells(earlier, sides, HEATH) == frozenset()


def test_that_a_sheet_is_looked_at_beside_the_visit_before_and_beside_other_people() -> None:
    now = key(1, visit=2)
    sheets = [draft(key(1)), draft(now), draft(key(1, visit=2, who="V2")), draft(key(2, visit=2))]
    assert pairs_at(sheets, now) == ((key(1), now), (now, key(1, visit=2, who="V2")))
    assert pairs_at(sheets, key(4)) == ()
    assert final(now).state is SheetState.FINAL
