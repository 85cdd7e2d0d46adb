"""What a check says of habitat sheets: each by itself, against the plan, against each other."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.field.absent_class import AbsentClass
from planner.domain.field.habitat_sheet import Cover, HabitatSheet, Photo, SheetKey, SheetState, Side
from planner.domain.field.sheet_places import strange_words
from planner.domain.field.sheet_rules import sheet_faults
from planner.domain.field.visit_record import RecordKey, RecordState, VisitRecord
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.geo import Place
from planner.domain.plan import VisitKey
from planner.usecases.checking import check
from planner.usecases.sheets import agreement, attach_photos, compared_sheets, keep_sheets, photo_path, sheet_findings
from tests.unit.usecases.checked_seasons import june
from tests.unit.usecases.edited_seasons import PLAN, made
from tests.unit.usecases.sheet_seasons import HEATH, SEASON, draft, final, key, picture, sheet_file

assert HEATH is not None
RULE = HEATH
RICH = {"TH": 40, "SH": 30, "GR": 20, "BG": 10}


def said(
    *sheets: HabitatSheet, today: dt.date | None = None, records: Sequence[VisitRecord] = ()
) -> tuple[Finding, ...]:
    return sheet_findings(SEASON, PLAN, sheets, records, today)


def only(found: tuple[Finding, ...]) -> Finding:
    (finding,) = found
    return finding


def all_points(*, visit: int = 1) -> list[HabitatSheet]:
    grounds = ({"TH": 60, "GR": 40}, {"TR": 100}, {"SH": 30, "WA": 70}, RICH)
    return [final(key(point, visit=visit), ground) for point, ground in enumerate(grounds, start=1)]


def test_that_honest_sheets_of_both_visits_have_no_findings() -> None:
    assert said(*all_points(), *all_points(visit=2), today=june(20)) == ()


def test_that_a_draft_says_all_that_keeps_it_from_being_final() -> None:
    finding = only(said(draft(key(1), {"TH": 35})))
    assert (finding.rule, finding.severity) == (Rule.SHEET_STEP, Severity.DOUBT)
    assert finding.subject == Subject(route="R1", point=1, visit=1, volunteer="V1")
    assert finding.what == ("The habitat sheet is a draft: tall heath 35: tens only; adds up to 35: 65 are missing.")
    assert finding.todo == "Write 30 or 40. Then hand it in."
    assert only(said(final(key(1), {"TH": 90}))).severity is Severity.TROUBLE


def test_that_many_drafts_of_a_visit_are_one_finding_and_few_are_told_one_by_one() -> None:
    halves = [draft(key(point), {"TH": 90}) for point in (1, 2, 3, 4)]
    assert len(said(*halves[:3])) == 3
    finding = only(said(*halves))
    assert finding.subject == Subject(route="R1", visit=1)
    assert finding.what == (
        "The habitat sheets of points 1, 2, 3 and 4 are drafts; of point 1: adds up to 90: 10 are missing."
    )


@pytest.mark.parametrize(
    ("strange", "words"),
    [
        (draft(key(1, route="R9")), "there is no route 'R9'"),
        (draft(key(9)), "route R1 has no point 9"),
        (draft(key(1, visit=3)), "there is no visit 3"),
        (draft(key(1, who="V9")), "V9, who is no volunteer"),
    ],
)
def test_that_sheets_of_what_there_is_not_are_named(strange: HabitatSheet, words: str) -> None:
    finding = only(said(strange))
    assert finding.rule is Rule.SHEET_STRANGE
    assert words in finding.what


def test_that_a_class_that_cannot_be_there_is_said_at_its_point_or_along_its_route() -> None:
    sheets = [final(key(1)), final(key(2), {"WA": 20, "TH": 80}), final(key(1, route="R2"), {"WA": 20, "TH": 80})]
    season = replace(SEASON, absent_classes=(AbsentClass("R1", "WA"), AbsentClass("R2", "TH", 4)))
    finding = only(sheet_findings(season, PLAN, sheets))
    assert (finding.rule, finding.severity, finding.subject.point) == (Rule.SHEET_ABSENT_CLASS, Severity.TROUBLE, 2)
    assert finding.what == "Open water 20 %: there can be none on the route."
    at_point = replace(SEASON, absent_classes=(AbsentClass("R1", "TH", 1),))
    assert only(sheet_findings(at_point, PLAN, sheets)).what == "Tall heath 60 %: there can be none at the point."


def test_that_a_date_that_no_outing_had_is_said_and_planned_or_recorded_ones_are_not() -> None:
    record = VisitRecord(RecordKey("R1", 1, june(5)))
    assert said(replace(final(key(1)), date=june(2))) == ()
    assert said(replace(final(key(1)), date=june(5)), records=[record]) == ()
    finding = only(said(replace(final(key(1)), date=june(9))))
    assert finding.rule is Rule.SHEET_DATE
    assert finding.what == "The habitat sheet has the date Wed 9 Jun. Its outings are on Wed 2 Jun."
    two = only(said(replace(final(key(1)), date=june(9)), replace(final(key(2)), date=june(9))))
    assert two.what.startswith("The habitat sheets of points 1 and 2 have the date Wed 9 Jun.")
    unplanned = only(said(replace(final(key(1, route="R2", visit=2)), date=june(9))))
    assert unplanned.what.endswith("None of its outings is planned.")


def test_that_lacking_sheets_are_asked_for_once_a_visit_was_made() -> None:
    one = final(key(1))
    assert said(one, today=june(2)) == ()
    finding = only(said(one, today=june(3)))
    assert (finding.rule, finding.subject) == (Rule.SHEET_MISSING, Subject(route="R1", visit=1))
    assert finding.what == "Points 2, 3 and 4 lack their habitat sheets."
    assert only(said(*all_points()[1:], today=june(3))).what == "Point 1 lacks its habitat sheet."


def test_that_a_visit_of_which_nothing_came_back_is_left_to_its_record_until_that_is_there() -> None:
    assert said(today=june(19)) == ()
    assert said(records=[VisitRecord(RecordKey("R1", 1, june(2)))]) == ()  # a draft
    record = VisitRecord(RecordKey("R1", 1, june(2)), state=RecordState.FINAL)
    assert only(said(records=[record])).what == "None of its points has a habitat sheet yet."
    done = made(PLAN, VisitKey("R1", 2))
    assert only(sheet_findings(SEASON, done, ())).subject == Subject(route="R1", visit=2)


def test_that_sheets_where_the_protocol_asks_for_none_are_one_finding() -> None:
    visits = tuple(replace(one, habitat=False) for one in SEASON.protocol.visits)
    bare = replace(SEASON, protocol=replace(SEASON.protocol, habitat=None, visits=visits))
    assert only(sheet_findings(bare, PLAN, [final(key(1)), final(key(2))])).rule is Rule.SHEET_STRANGE
    assert sheet_findings(bare, PLAN, ()) == ()
    assert compared_sheets(bare, [final(key(1))]) == ()
    assert agreement(bare, [final(key(1))]).whole is None


def test_that_ground_that_moved_comes_with_both_sheets_and_the_note() -> None:
    later = replace(final(key(1, visit=2), {"TH": 30, "GR": 70}), note="cleared in May")
    (compared,) = compared_sheets(SEASON, [final(key(1)), later])
    assert compared.pairs == ((key(1), key(1, visit=2)),)
    finding = compared.finding
    assert (finding.rule, finding.severity, finding.subject.visit) == (Rule.SHEET_MOVED, Severity.DOUBT, 2)
    assert finding.what == "Since visit 1 tall heath went from 60 to 30 %. Its note says: “cleared in May”."
    assert finding.todo.startswith(
        "A class that should stay the same moved: look at both sheets side by side, and ask "
    )


def test_that_ground_that_turned_is_trouble_where_it_is_stable_and_a_doubt_where_it_may_change() -> None:
    stable = compared_sheets(SEASON, [final(key(1), {"TH": 100}), final(key(1, visit=2), {"TR": 100})])
    crops = compared_sheets(SEASON, [final(key(1), {"CR": 100}), final(key(1, visit=2), {"GR": 100})])
    found = [(one.finding.rule, one.finding.severity) for one in (*stable, *crops)]
    assert found == [(Rule.SHEET_TURNED, Severity.TROUBLE), (Rule.SHEET_TURNED, Severity.DOUBT)]


def test_that_swapped_sheets_name_both_points() -> None:
    before = [final(key(1), {"TH": 100}), final(key(3), {"TR": 100})]
    after = [final(key(1, visit=2), {"TR": 100}), final(key(3, visit=2), {"TH": 100})]
    (compared,) = compared_sheets(SEASON, [*before, *after])
    assert (compared.finding.rule, compared.finding.severity) == (Rule.SHEET_SWAPPED, Severity.TROUBLE)
    assert compared.finding.what == (
        "The sheets of points 1 and 3 seem swapped: each fits the other's sheet of the visit before better than its own"
        " (100 % against 0 %)."
    )
    assert compared.keys == {key(1, visit=2), key(3, visit=2)}


def test_that_copied_sheets_come_with_what_they_repeat() -> None:
    herd = replace(final(key(1), RICH), grazed_percent=90, livestock=14)
    (compared,) = compared_sheets(SEASON, [herd, replace(herd, key=key(2))])
    assert compared.pairs == ((key(1), key(2)),)
    assert compared.finding.what == (
        "The sheet repeats point 1, the one before, to the last figure: more than chance would."
    )
    (run,) = compared_sheets(SEASON, [replace(herd, key=key(point)) for point in (1, 2, 3)])
    assert run.finding.what == (
        "The sheets of points 2 and 3 repeat the point before to the last figure: more than chance would."
    )
    assert run.finding.rule is Rule.SHEET_COPIED


def test_that_a_copied_visit_is_one_finding() -> None:
    grounds = ({"TH": 40, "SH": 30, "WA": 30}, RICH, {"TR": 50, "SH": 30, "WA": 20}, {"GR": 60, "CR": 40})
    first = [replace(final(key(n), ground), livestock=12 * n) for n, ground in enumerate(grounds, start=1)]
    again = [replace(one, key=replace(one.key, visit=2)) for one in first]
    (compared,) = compared_sheets(SEASON, [*first, *again])
    assert compared.finding.what == (
        "The sheets of points 1, 2, 3 and 4 repeat visit 1 to the last figure: more than chance would."
    )
    assert len(compared.pairs) == 4


def test_that_two_people_who_saw_different_ground_are_sent_to_the_class_key() -> None:
    sheets = [final(key(1), {"TH": 80, "GR": 20}), final(key(1, who="V2"), {"TH": 30, "GR": 20, "SH": 50})]
    (compared,) = compared_sheets(SEASON, sheets)
    assert (compared.finding.rule, compared.finding.subject.volunteer) == (Rule.SHEET_OBSERVERS, "")
    assert compared.finding.what == (
        "Two people estimated it and share 50 % only; they differ most on tall heath, by 50."
    )
    near = [sheets[0], final(key(1, who="V2"), {"TH": 60, "GR": 20, "SH": 20})]
    assert compared_sheets(SEASON, near) == ()
    found = agreement(SEASON, near)
    assert found.whole is not None
    assert (found.whole.mean_overlap_percent, found.most_disputed) == (80.0, "TH")
    assert [people[:2] for people in found.people] == [("V1", "V2")]


def test_that_sheets_of_classes_and_visits_that_are_gone_are_named_and_nothing_breaks() -> None:
    gone = [final(key(1), {"XX": 100}), final(key(1, who="V2"), {"YY": 100}), final(key(1, visit=3), {"TR": 100})]
    found = said(*gone)
    assert [finding.rule for finding in found] == [
        Rule.SHEET_STRANGE,
        Rule.SHEET_CLASS,
        Rule.SHEET_CLASS,
        Rule.SHEET_OBSERVERS,
    ]
    assert "differ most on XX, by 100" in found[-1].what


_KEYS = st.builds(
    SheetKey,
    st.sampled_from(["R1", "R2", "R9"]),
    st.integers(1, 3),
    st.integers(1, 5),
    st.sampled_from(["V1", "V2", ""]),
)
_COVER = st.dictionaries(st.sampled_from(["TH", "TR", "OT", "XX"]), st.sampled_from([0, 10, 35, 40, 60, 100, 9999]))
_SIDES = st.one_of(
    st.tuples(_COVER.map(lambda one: Cover.of(Side.CIRCLE, one.items()))),
    st.tuples(
        _COVER.map(lambda one: Cover.of(Side.LEFT, one.items())),
        _COVER.map(lambda one: Cover.of(Side.RIGHT, one.items())),
    ),
)
_SHEETS = st.builds(
    HabitatSheet,
    _KEYS,
    _SIDES,
    date=st.sampled_from([None, june(2), june(9)]),
    grazed_percent=st.sampled_from([None, 0, 35, 9999]),
    livestock=st.sampled_from([None, 0, 14]),
    note=st.sampled_from(["", "a quarry"]),
    state=st.sampled_from(SheetState),
)


@given(st.lists(_SHEETS, max_size=12, unique_by=lambda sheet: sheet.key), st.booleans())
def test_that_whatever_came_in_is_judged_and_every_sheet_with_a_fault_is_named(
    sheets: list[HabitatSheet], sides: bool
) -> None:
    protocol = replace(SEASON.protocol, habitat=replace(RULE, sides_of_road=sides))
    season = replace(SEASON, protocol=protocol, absent_classes=(AbsentClass("R1", "TR"), AbsentClass("R2", "GONE")))
    found = sheet_findings(season, PLAN, sheets, (), june(20))
    assert all(finding.what and finding.todo for finding in found)
    named = {(one.subject.route, one.subject.visit) for one in found}
    for sheet in sheets:
        if sheet_faults(sheet, protocol.habitat or RULE) or strange_words(season, sheet.key):
            assert (sheet.key.route, sheet.key.visit) in named


def test_that_a_check_of_the_file_says_them_with_lost_and_far_photos(tmp_path: Path) -> None:
    point = SEASON.route("R1").point(1).place
    with sheet_file(tmp_path) as file:
        keep_sheets(file, [final(key(1)), final(key(1, visit=2), {"TH": 100})])
        far = picture(tmp_path / "far.jpg", Place(point.latitude + 0.01, point.longitude))
        lost = picture(tmp_path / "lost.jpg", point, colour="tan")
        _, gone = attach_photos(file, key(1), [far, lost]).photos
        photo_path(file.path, gone).unlink()
        found = [one for one in check(file).findings if one.rule.value.split(".")[0] in ("sheet", "photo")]
    assert [(one.rule, one.severity) for one in found] == [
        (Rule.PHOTO_LOST, Severity.TROUBLE),
        (Rule.PHOTO_FAR, Severity.DOUBT),
        (Rule.SHEET_MOVED, Severity.DOUBT),
    ]
    assert found[0].what == "lost.jpg is no longer beside the season file."
    assert found[1].what == "The photo far.jpg was taken 1.1 km from the point; the circle is 400 m in radius."


def test_that_a_photo_without_a_position_or_inside_the_circle_is_not_called_far() -> None:
    point = SEASON.route("R1").point(1).place
    near = Photo("a" * 64, "a.jpg", Place(point.latitude + 0.003, point.longitude))
    assert said(replace(final(key(1)), photos=(near, Photo("b" * 64, "b.jpg")))) == ()
