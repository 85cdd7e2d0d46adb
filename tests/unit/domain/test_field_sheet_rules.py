"""What keeps a habitat sheet from being final, the rest of 100, and what a copy takes along."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.errors import RuleError
from planner.domain.field.habitat_sheet import Cover, HabitatSheet, Photo, SheetKey, SheetState, Side, UnreadCell
from planner.domain.field.sheet_copies import copied_onto
from planner.domain.field.sheet_rules import (
    SheetFault,
    grazeable_percent,
    missing_percent,
    sheet_faults,
    with_percent,
    with_rest,
)
from planner.domain.finding import Rule
from planner.domain.habitat import HabitatClass, HabitatRule
from planner.domain.measures import Length

TALL = HabitatClass("TH", "tall heath", stable=True)
GRASS = HabitatClass("GR", "grass", stable=False)
WATER = HabitatClass("WA", "open water", stable=True, grazeable=False)
OTHER = HabitatClass("OT", "other", stable=False, needs_note=True)
RULE = HabitatRule(Length(400, "m"), 10, 4.0, (TALL, GRASS, WATER, OTHER), grazed_share=True, livestock=True)
PLAIN = HabitatRule(Length(100, "m"), 5, 4.0, (TALL, GRASS))
SIDES = HabitatRule(Length(100, "m"), 10, 4.0, (TALL, GRASS, WATER), sides_of_road=True, grazed_share=True)
KEY = SheetKey("R1", 1, 3, "V1")


def circle(**percents: int) -> Cover:
    return Cover.of(Side.CIRCLE, percents.items())


def sheet(cover: Cover, *, grazed: int | None = 0, livestock: int | None = 0, note: str = "") -> HabitatSheet:
    return HabitatSheet(KEY, (cover,), grazed_percent=grazed, livestock=livestock, note=note)


def only(found: tuple[SheetFault, ...]) -> SheetFault:
    (fault,) = found
    return fault


def test_that_a_sheet_that_keeps_all_rules_has_no_fault() -> None:
    assert sheet_faults(sheet(circle(TH=60, GR=40), grazed=100, livestock=12), RULE) == ()
    assert sheet_faults(HabitatSheet(KEY, (circle(TH=35, GR=65),)), PLAIN) == ()


@pytest.mark.parametrize(
    ("cover", "words"),
    [
        (circle(TH=60, GR=30), "adds up to 90: 10 are missing"),
        (circle(TH=90, GR=30), "adds up to 120: 20 too many"),
        (circle(), "adds up to 0: 100 are missing"),
    ],
)
def test_that_the_classes_add_up_to_a_hundred(cover: Cover, words: str) -> None:
    fault = only(sheet_faults(sheet(cover), RULE))
    assert (fault.what, fault.field, fault.side, fault.rule) == (words, "sum", Side.CIRCLE, Rule.SHEET_SUM)


def test_that_a_single_percent_missing_is_said_in_the_singular() -> None:
    single = HabitatRule(Length(100, "m"), 1, 4.0, (TALL, GRASS))
    assert only(sheet_faults(HabitatSheet(KEY, (circle(TH=99),)), single)).what == "adds up to 99: 1 is missing"


def test_that_figures_keep_the_step_and_the_nearest_ones_are_named() -> None:
    faults = sheet_faults(sheet(circle(TH=35, GR=65)), RULE)
    assert [(fault.what, fault.field, fault.todo) for fault in faults] == [
        ("tall heath 35: tens only", "TH", "Write 30 or 40."),
        ("grass 65: tens only", "GR", "Write 60 or 70."),
    ]
    assert {fault.rule for fault in faults} == {Rule.SHEET_STEP}
    fives = sheet_faults(HabitatSheet(KEY, (circle(TH=33, GR=67),)), PLAIN)
    assert fives[0].what == "tall heath 33: steps of 5 only"


def test_that_no_class_covers_more_than_all() -> None:
    faults = sheet_faults(sheet(circle(TH=120)), RULE)
    assert [fault.what for fault in faults] == [
        "tall heath 120: no class covers more than 100",
        "adds up to 120: 20 too many",
    ]
    assert sheet_faults(sheet(circle(TH=105)), RULE)[0].todo == "Write 100."


def test_that_an_unknown_class_is_named_and_the_known_ones_listed() -> None:
    fault = only(sheet_faults(sheet(circle(TH=60, XX=40)), RULE))
    assert (fault.what, fault.rule) == ("XX 40: there is no class 'XX'", Rule.SHEET_CLASS)
    assert fault.todo == "Use one of TH, GR, WA, OT."


@pytest.mark.parametrize("note", ["", "   "])
def test_that_other_needs_its_note(note: str) -> None:
    fault = only(sheet_faults(sheet(circle(TH=90, OT=10), note=note), RULE))
    assert (fault.what, fault.rule) == ("other 10: it needs a note", Rule.SHEET_NOTE)
    assert sheet_faults(sheet(circle(TH=90, OT=10), note="a quarry"), RULE) == ()
    assert sheet_faults(sheet(circle(TH=100, OT=0)), RULE) == ()


def test_that_grazing_is_asked_for_keeps_the_step_and_what_can_be_grazed() -> None:
    cover = circle(TH=60, WA=40)
    blank = only(sheet_faults(sheet(cover, grazed=None), RULE))
    assert (blank.what, blank.rule) == ("the grazed share is blank", Rule.SHEET_MISSING)
    uneven = only(sheet_faults(sheet(cover, grazed=25), RULE))
    assert (uneven.what, uneven.rule) == ("grazed 25: tens only", Rule.SHEET_STEP)
    wet = only(sheet_faults(sheet(cover, grazed=70), RULE))
    assert (wet.what, wet.rule) == ("grazed 70: only 60 can be grazed", Rule.SHEET_GRAZED)
    drowned = only(sheet_faults(sheet(circle(WA=100), grazed=10), RULE))
    assert drowned.what == "grazed 10: nothing there can be grazed"


def test_that_livestock_is_asked_for_and_its_fault_says_domestic_only() -> None:
    fault = only(sheet_faults(sheet(circle(TH=100), livestock=None), RULE))
    assert (fault.field, fault.rule) == ("livestock", Rule.SHEET_MISSING)
    assert "domestic" in fault.todo


def test_that_figures_nobody_asked_for_are_faults() -> None:
    faults = sheet_faults(sheet(circle(TH=100), grazed=10, livestock=4), PLAIN)
    assert [fault.what for fault in faults] == [
        "grazed 10: the protocol does not ask for it",
        "livestock 4: the protocol does not ask for it",
    ]


def test_that_the_sides_of_the_road_are_judged_each_by_itself_and_named() -> None:
    left, right = Cover.of(Side.LEFT, [("TH", 100)]), Cover.of(Side.RIGHT, [("GR", 90)])
    faults = sheet_faults(HabitatSheet(KEY, (left, right), grazed_percent=0), SIDES)
    assert [str(fault) for fault in faults] == ["right of the road: adds up to 90: 10 are missing"]
    whole = sheet_faults(HabitatSheet(KEY, (circle(TH=100),), grazed_percent=0), SIDES)
    assert only(whole).rule is Rule.SHEET_MISSING
    parted = sheet_faults(HabitatSheet(KEY, (left, Cover.of(Side.RIGHT, [("GR", 100)]))), PLAIN)
    assert [fault.todo for fault in parted] == ["Give one estimate for the whole circle."]


def test_that_what_can_be_grazed_of_two_sides_is_their_mean() -> None:
    left, right = Cover.of(Side.LEFT, [("TH", 100)]), Cover.of(Side.RIGHT, [("GR", 30), ("WA", 70)])
    assert grazeable_percent(HabitatSheet(KEY, (left, right)), SIDES) == 65


def test_that_cells_that_were_not_understood_stay_faults_under_the_name_of_their_class() -> None:
    unread = (UnreadCell("TH", "lots"), UnreadCell("grazed", "a bit"))
    faults = sheet_faults(HabitatSheet(KEY, (circle(GR=100),), grazed_percent=0, livestock=0, unread=unread), RULE)
    assert [(fault.what, fault.rule) for fault in faults] == [
        ("tall heath 'lots': not understood", Rule.SHEET_UNREAD),
        ("grazed 'a bit': not understood", Rule.SHEET_UNREAD),
    ]


_COVERS = st.dictionaries(st.sampled_from(["TH", "GR", "WA", "OT"]), st.integers(0, 10).map(lambda tens: tens * 10))


@given(_COVERS, st.sampled_from(["TH", "GR", "WA", "OT"]))
def test_that_the_class_that_takes_the_rest_makes_it_a_hundred_or_is_refused(
    percents: dict[str, int], code: str
) -> None:
    cover = Cover.of(Side.CIRCLE, percents.items())
    others = sum(percent for other, percent in percents.items() if other != code)
    if others > 100:
        with pytest.raises(RuleError, match=f"come to {others} already"):
            with_rest(cover, code)
        return
    filled = with_rest(cover, code)
    assert filled.total == 100
    assert missing_percent(filled) == 0
    assert {other: share for other, share in filled.percents if other != code} == {
        other: share for other, share in percents.items() if other != code
    }


@given(_COVERS)
def test_that_a_sheet_is_final_exactly_where_its_tens_add_up(percents: dict[str, int]) -> None:
    found = sheet_faults(sheet(Cover.of(Side.CIRCLE, percents.items()), note="a quarry"), RULE)
    assert (found == ()) is (sum(percents.values()) == 100)


def test_that_a_class_is_written_and_left_blank_again() -> None:
    cover = with_percent(circle(TH=60), "GR", 40)
    assert cover == circle(TH=60, GR=40)
    assert with_percent(cover, "TH", None) == circle(GR=40)
    assert missing_percent(circle(TH=60)) == 40
    assert missing_percent(circle(TH=110)) == -10


PHOTO = Photo("a" * 64, "east.jpg")
SOURCE = HabitatSheet(
    SheetKey("R1", 1, 2, "V1"),
    (circle(TH=60, OT=40),),
    date=dt.date(2027, 5, 20),
    grazed_percent=30,
    livestock=12,
    note="a quarry",
    species="stone curlew",
    photos=(PHOTO,),
    state=SheetState.FINAL,
)


def test_that_a_copy_from_the_last_point_takes_the_estimate_and_nothing_of_its_own_hour() -> None:
    copy = copied_onto(HabitatSheet(KEY, livestock=3), SOURCE, RULE)
    assert (copy.key, copy.covers, copy.grazed_percent, copy.note) == (KEY, SOURCE.covers, 30, "a quarry")
    assert (copy.livestock, copy.species, copy.photos, copy.state) == (3, "", (), SheetState.DRAFT)
    assert copy.date == SOURCE.date  # the same visit


def test_that_a_copy_from_the_last_visit_has_neither_its_date_nor_its_observer() -> None:
    later = HabitatSheet(SheetKey("R1", 2, 2, "V9"), photos=(Photo("b" * 64, "west.jpg"),))
    copy = copied_onto(later, SOURCE, RULE)
    assert (copy.date, copy.key.observer, copy.photos) == (None, "V9", later.photos)
    dated = copied_onto(HabitatSheet(later.key, date=dt.date(2027, 6, 9), note="mine"), SOURCE, RULE)
    assert (dated.date, dated.note) == (dt.date(2027, 6, 9), "mine")


def test_that_a_note_that_no_class_needs_is_not_copied() -> None:
    source = HabitatSheet(SOURCE.key, (circle(TH=100),), note="gate locked")
    assert copied_onto(HabitatSheet(KEY), source, RULE).note == ""


def test_that_a_fault_shows_the_beginning_of_a_very_long_cell() -> None:
    said = HabitatSheet(
        KEY, (circle(TH=100),), grazed_percent=0, livestock=0, unread=(UnreadCell("GR", "9" * 100_000),)
    )
    (fault,) = sheet_faults(said, RULE)
    assert len(str(fault)) < 120
    assert "9999…" in str(fault)
