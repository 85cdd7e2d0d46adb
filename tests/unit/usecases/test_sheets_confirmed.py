"""What looks wrong on sheets and is so all the same is told no more, until a figure changes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.errors import RuleError
from planner.domain.field.between_visits import between_visits
from planner.domain.field.confirming import anything_confirmed, with_figures_confirmed
from planner.domain.field.habitat_sheet import Cover, HabitatSheet, Photo, SheetKey, Side
from planner.domain.finding import Finding, Rule
from planner.domain.geo import Place
from planner.store import SeasonFile
from planner.usecases.sheets import (
    ask_again,
    confirm_figures,
    confirm_photos,
    it_is_so,
    keep_sheets,
    may_be_so,
    reopen,
    sheet_findings,
)
from planner.usecases.sheets.pairs import moved_cells
from planner.usecases.sheets.swapping import swap_sheets
from tests.unit.usecases.edited_seasons import PLAN
from tests.unit.usecases.sheet_seasons import HEATH, SEASON, draft, final, key, sheet_file

RICH = {"TH": 40, "SH": 30, "GR": 20, "BG": 10}
FAR = Photo("ab" * 32, "north.jpg", Place(53.9, -1.6))


@pytest.fixture
def file(tmp_path: Path) -> Iterator[SeasonFile]:
    with sheet_file(tmp_path) as made:
        yield made


def told(file: SeasonFile) -> tuple[Finding, ...]:
    found = sheet_findings(SEASON, PLAN, file.sheets())
    return tuple(one for one in found if may_be_so(one.rule))


def moved() -> list[HabitatSheet]:
    return [final(key(1)), final(key(1, visit=2), {"TH": 20, "GR": 80})]


def turned() -> list[HabitatSheet]:
    return [final(key(1), {"TH": 100}), final(key(1, visit=2), {"TR": 100})]


def swapped() -> list[HabitatSheet]:
    one, other = {"TH": 100}, {"WA": 100}
    before = [final(key(1), one), final(key(2), other)]
    return [*before, final(key(1, visit=2), other), final(key(2, visit=2), one)]


def copied() -> list[HabitatSheet]:
    herd = replace(final(key(1), RICH), grazed_percent=90, livestock=14)
    return [herd, replace(herd, key=key(2)), replace(herd, key=key(3))]


def copied_visit() -> list[HabitatSheet]:
    grounds = ({"TH": 40, "SH": 30, "WA": 30}, RICH, {"TR": 50, "SH": 30, "WA": 20}, {"GR": 60, "CR": 40})
    first = [replace(final(key(n), ground), livestock=12 * n) for n, ground in enumerate(grounds, start=1)]
    return [*first, *(replace(one, key=replace(one.key, visit=2)) for one in first)]


def two_people() -> list[HabitatSheet]:
    return [final(key(1), {"TH": 100}), final(key(1, who="V2"), {"GR": 100})]


def far_away() -> list[HabitatSheet]:
    return [replace(final(key(1)), photos=(FAR,))]


@pytest.mark.parametrize(
    ("sheets", "rule", "answered"),
    [
        (moved, Rule.SHEET_MOVED, [key(1, visit=2)]),
        (turned, Rule.SHEET_TURNED, [key(1, visit=2)]),
        (swapped, Rule.SHEET_SWAPPED, [key(1, visit=2), key(2, visit=2)]),
        (copied, Rule.SHEET_COPIED, [key(2), key(3)]),
        (copied_visit, Rule.SHEET_COPIED, [key(point, visit=2) for point in (1, 2, 3, 4)]),
        (two_people, Rule.SHEET_OBSERVERS, [key(1), key(1, who="V2")]),
        (far_away, Rule.PHOTO_FAR, [key(1)]),
    ],
)
def test_that_what_is_so_is_told_no_more_and_is_told_again_when_it_is_taken_back(
    file: SeasonFile, sheets: Callable[[], list[HabitatSheet]], rule: Rule, answered: list[SheetKey]
) -> None:
    keep_sheets(file, sheets())
    before = told(file)
    assert [one.rule for one in before] == [rule]
    assert it_is_so(file, before[0], " Ada,  by telephone ")
    assert told(file) == ()
    assert [sheet.key for sheet in file.sheets() if anything_confirmed(sheet)] == answered
    notes = {sheet.confirmed.note for sheet in file.sheets() if sheet.confirmed is not None}
    assert notes == (set() if rule is Rule.PHOTO_FAR else {"Ada, by telephone"})
    ask_again(file, answered)
    assert told(file) == before
    file.undo()
    assert told(file) == ()
    file.undo()
    assert (told(file), file.sheets()) == (before, tuple(sorted(sheets(), key=lambda one: one.key)))


def test_that_a_sheet_that_changes_is_asked_about_anew_and_one_whose_words_change_is_not(file: SeasonFile) -> None:
    keep_sheets(file, moved())
    it_is_so(file, told(file)[0])
    reopen(file, [key(1, visit=2)])
    later = file.sheets()[1]
    keep_sheets(file, [replace(later, note="burnt in March", species="stonechat")])
    assert told(file) == ()
    other = Cover.of(Side.CIRCLE, {"TH": 10, "GR": 90}.items())
    keep_sheets(file, [replace(later, covers=(other,))])
    assert [one.rule for one in told(file)] == [Rule.SHEET_MOVED]
    keep_sheets(file, [later])
    assert told(file) == (), "the figures that were confirmed stand again"


def test_that_sheets_that_are_swapped_after_all_lose_what_was_confirmed(file: SeasonFile) -> None:
    keep_sheets(file, swapped())
    first, second = key(1, visit=2), key(2, visit=2)
    it_is_so(file, told(file)[0])
    swap_sheets(file, first, second)
    assert not any(anything_confirmed(sheet) for sheet in file.sheets())


def test_that_a_visit_after_two_sheets_that_were_not_swapped_is_held_against_them_where_they_stand() -> None:
    before = swapped()
    honest = [with_figures_confirmed(sheet) if sheet.key.visit == 2 else sheet for sheet in before]
    third = [replace(sheet, key=replace(sheet.key, visit=3)) for sheet in before[2:]]
    assert HEATH is not None
    doubted = between_visits([*before, *third], HEATH, {"R1": (1, 2, 3, 4)})
    assert [one.first.visit for one in doubted.swapped] == [2, 3]
    said = between_visits([*honest, *third], HEATH, {"R1": (1, 2, 3, 4)})
    assert (said.moved, said.swapped, said.copied) == ((), (), ())


def test_that_a_photo_attached_later_is_held_against_its_point_as_ever(file: SeasonFile) -> None:
    keep_sheets(file, far_away())
    confirm_photos(file, [SheetKey("R1", 1, 1)])
    (sheet,) = file.sheets()
    reopen(file, [sheet.key])
    keep_sheets(file, [replace(sheet, photos=(*sheet.photos, replace(FAR, content_hash="cd" * 32, name="south.jpg")))])
    (finding,) = told(file)
    assert "south.jpg" in finding.what


def test_that_the_grid_marks_nothing_in_figures_that_were_confirmed() -> None:
    assert HEATH is not None
    before, after = moved()
    assert moved_cells(before, after, HEATH)
    assert moved_cells(before, with_figures_confirmed(after), HEATH) == frozenset()


def test_that_what_cannot_be_answered_so_is_refused_and_nothing_is_changed(file: SeasonFile) -> None:
    keep_sheets(file, [*two_people(), draft(key(2), {"TH": 35})])
    unfinished = next(one for one in sheet_findings(SEASON, PLAN, file.sheets()) if one.rule is Rule.SHEET_STEP)
    steps = len(file.history())
    refusals: list[tuple[Callable[[], object], str]] = [
        (lambda: it_is_so(file, unfinished), "not told of habitat sheets, or not any more"),
        (lambda: it_is_so(file, told(file)[0], "n" * 201), "200 letters at most, found 201"),
        (lambda: confirm_figures(file, []), "name at least one habitat sheet"),
        (lambda: confirm_figures(file, [SheetKey("R1", 1, 1)]), "by V1, V2: name the observer"),
        (lambda: confirm_figures(file, [key(3), key(4)]), "no habitat sheet of R1 visit 1 point 3 by V1; there is no"),
        (lambda: confirm_photos(file, [key(1)]), "no photos on the habitat sheet of R1 visit 1 point 1"),
        (lambda: ask_again(file, [key(1)]), "nothing was confirmed on the habitat sheet of R1 visit 1 point 1"),
    ]
    for refused, words in refusals:
        with pytest.raises(RuleError, match=words):
            refused()
    assert len(file.history()) == steps


@given(
    st.dictionaries(st.sampled_from(["TH", "SH", "GR"]), st.integers(0, 100), min_size=1),
    st.sampled_from(["TH", "SH", "GR", "grazed", "livestock"]),
    st.integers(1, 50),
)
def test_that_any_other_figure_undoes_the_word_and_a_blank_for_0_does_not(
    ground: dict[str, int], field: str, more: int
) -> None:
    sheet = with_figures_confirmed(draft(key(1), ground))
    written = {code: percent for code, percent in ground.items() if percent}
    bare = replace(sheet, covers=(Cover.of(Side.CIRCLE, written.items()),), grazed_percent=None, livestock=None)
    assert bare.is_confirmed
    if field == "grazed":
        other = replace(sheet, grazed_percent=more)
    elif field == "livestock":
        other = replace(sheet, livestock=more)
    else:
        changed = {**ground, field: ground.get(field, 0) + more}
        other = replace(sheet, covers=(Cover.of(Side.CIRCLE, changed.items()),))
    assert not other.is_confirmed
