"""Habitat sheets are kept as drafts whatever is on them, and as final ones only without a fault; each one step."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.field.absent_class import AbsentClass
from planner.domain.field.habitat_sheet import HabitatSheet, SheetState
from planner.store import SeasonFile
from planner.usecases.sheets import clear_absent, forget_sheets, hand_in, keep_sheets, mark_absent, reopen
from tests.unit.usecases.edited_seasons import season_file
from tests.unit.usecases.sheet_seasons import SEASON, draft, final, key, sheet_file


@pytest.fixture
def file(tmp_path: Path) -> Iterator[SeasonFile]:
    with sheet_file(tmp_path) as made:
        yield made


def labels(file: SeasonFile) -> list[str]:
    return [step.label for step in file.history()][1:]


def test_that_a_draft_with_faults_is_kept_and_a_final_one_is_not(file: SeasonFile) -> None:
    half = draft(key(1), {"TH": 35})
    assert keep_sheets(file, [half])
    with pytest.raises(ImpossibleError) as refused:
        keep_sheets(file, [final(key(2)), final(key(3), {"TH": 35}), final(key(4), {"GR": 90})])
    assert refused.value.reasons == (
        "R1 visit 1 point 3 by V1: tall heath 35: tens only; adds up to 35: 65 are missing",
        "R1 visit 1 point 4 by V1: adds up to 90: 10 are missing",
    )
    assert file.sheets() == (half,)


def test_that_a_sheet_replaces_the_one_of_its_key_in_one_step(file: SeasonFile) -> None:
    keep_sheets(file, [draft(key(1)), draft(key(2))])
    keep_sheets(file, [final(key(1), {"TH": 100})])
    assert file.sheets() == (final(key(1), {"TH": 100}), draft(key(2)))
    assert labels(file) == ["Habitat sheets: 2 of R1 visit 1", "Habitat sheet of R1 visit 1 point 1 by V1"]
    file.undo()
    assert file.sheets() == (draft(key(1)), draft(key(2)))


def test_that_sheets_of_several_visits_and_routes_are_named_by_what_they_share(file: SeasonFile) -> None:
    keep_sheets(file, [draft(key(1)), draft(key(1, visit=2))])
    keep_sheets(file, [draft(key(2)), draft(key(2, route="R2"))])
    assert labels(file) == ["Habitat sheets: 2 of R1", "Habitat sheets: 2"]


def test_that_an_empty_sheet_takes_away_the_one_it_replaces(file: SeasonFile) -> None:
    keep_sheets(file, [draft(key(1))])
    keep_sheets(file, [HabitatSheet(key(1)), HabitatSheet(key(2))])
    assert file.sheets() == ()


def test_that_a_sheet_gets_its_observer_in_one_step(file: SeasonFile) -> None:
    keep_sheets(file, [draft(key(1, who=""))])
    keep_sheets(file, [draft(key(1))], instead_of=[key(1, who="")])
    assert file.sheets() == (draft(key(1)),)


def test_that_final_sheets_are_of_points_and_visits_that_there_are(file: SeasonFile) -> None:
    strange = [final(key(1, route="R9")), final(key(1, visit=3)), final(key(9))]
    with pytest.raises(ImpossibleError) as refused:
        keep_sheets(file, strange)
    assert [reason.partition(": ")[2] for reason in refused.value.reasons] == [
        "there is no route 'R9'",
        "there is no visit 3",
        "route R1 has no point 9",
    ]
    assert keep_sheets(file, [replace(one, state=SheetState.DRAFT) for one in strange])


def test_that_sheets_are_handed_in_and_reopened_all_or_none(file: SeasonFile) -> None:
    keep_sheets(file, [draft(key(1)), draft(key(2), {"TH": 90}), draft(key(3))])
    with pytest.raises(ImpossibleError, match="point 2 by V1: adds up to 90"):
        hand_in(file, [key(1), key(2)])
    assert {sheet.state for sheet in file.sheets()} == {SheetState.DRAFT}
    hand_in(file, [key(1), key(3)])
    assert [sheet.state for sheet in file.sheets()] == [SheetState.FINAL, SheetState.DRAFT, SheetState.FINAL]
    assert not hand_in(file, [key(1)])  # it is already
    reopen(file, [key(1)])
    assert file.sheets()[0] == draft(key(1))
    assert labels(file)[1:] == [
        "Hand in habitat sheets: 2 of R1 visit 1",
        "Reopen habitat sheet of R1 visit 1 point 1 by V1",
    ]


def test_that_many_faulty_sheets_are_counted_and_the_first_named(file: SeasonFile) -> None:
    with pytest.raises(ImpossibleError) as refused:
        keep_sheets(file, [final(key(1, who=f"V{number:02d}"), {"TH": 90}) for number in range(1, 21)])
    assert len(refused.value.reasons) == 13
    assert refused.value.reasons[-1] == "and 8 more sheets"
    assert "20 sheets have faults" in refused.value.asked


def test_that_sheets_are_taken_away_and_come_back_when_undone(file: SeasonFile) -> None:
    keep_sheets(file, [draft(key(1)), draft(key(2))])
    forget_sheets(file, [key(1)])
    assert file.sheets() == (draft(key(2)),)
    with pytest.raises(RuleError, match="no habitat sheet of R1 visit 1 point 1 by V1"):
        forget_sheets(file, [key(1)])
    file.undo()
    assert len(file.sheets()) == 2


def test_that_a_sheet_given_twice_is_refused(file: SeasonFile) -> None:
    with pytest.raises(RuleError, match="point 1 by V1 is given twice"):
        keep_sheets(file, [draft(key(1)), final(key(1))])


def test_that_a_protocol_without_habitat_keeps_no_sheets(tmp_path: Path) -> None:
    bare = replace(
        SEASON,
        protocol=replace(
            SEASON.protocol, habitat=None, visits=tuple(replace(one, habitat=False) for one in SEASON.protocol.visits)
        ),
    )
    with season_file(tmp_path, bare) as file, pytest.raises(RuleError, match="asks for no habitat"):
        keep_sheets(file, [draft(key(1))])


def test_that_classes_are_marked_absent_and_cleared_each_one_step(file: SeasonFile) -> None:
    crops, water = AbsentClass("R1", "CR"), AbsentClass("R2", "WA", 3)
    mark_absent(file, [water, crops])
    assert file.season().absent_classes == (crops, water)
    assert not mark_absent(file, [crops])
    clear_absent(file, [crops, AbsentClass("R2", "TR")])
    assert file.season().absent_classes == (water,)
    assert labels(file) == [
        "Habitat that cannot be there: crops at R1, open water at R2 point 3",
        "Habitat that may be there again: crops at R1, trees at R2",
    ]


@pytest.mark.parametrize(
    ("strange", "words"),
    [
        (AbsentClass("R9", "CR"), "no route 'R9'"),
        (AbsentClass("R1", "CR", 9), "no point 9"),
        (AbsentClass("R1", "XX"), "no habitat class 'XX'"),
    ],
)
def test_that_absent_classes_name_what_there_is(file: SeasonFile, strange: AbsentClass, words: str) -> None:
    with pytest.raises(RuleError, match=words):
        mark_absent(file, [strange])
    with pytest.raises(RuleError, match="at least one class"):
        mark_absent(file, [])
