"""A remark among the rows of a table is no point, no route and no volunteer: it is left out once a person says so."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.exchange import Choices, Offer, Reading, RoutesRead, VolunteersRead, pasted_rows, recognise
from tests.unit.exchange.samples import write
from tests.unit.exchange.test_exchange_workbooks import book

REMARK = "checked by me 12 March"
POINTS = "route,point,latitude,longitude,note\nR01,1,51.5,-1.25,\nR01,2,51.6,-1.25,\n"


def reading(path: Path, choices: Choices | None = None) -> Reading:
    found = recognise(path, None, choices)
    assert found.importer is not None
    return found.importer.read(path, choices or Choices())


def leaving_out(got: Reading) -> list[Offer]:
    return [offer for offer in got.understood.offers if offer.choices.leave_out]


@pytest.mark.parametrize("row", [f"{REMARK},,,,", f",,,,{REMARK}", REMARK])
def test_that_a_remark_under_the_points_is_offered_to_be_left_out(tmp_path: Path, row: str) -> None:
    path = write(tmp_path / "p.csv", f"{POINTS}{row}\n")
    before = reading(path)
    assert before.read is None
    (offer,) = leaving_out(before)
    assert offer.words == f"Leave out the 1 row that is no point (line 4: '{REMARK}')"
    after = reading(path, offer.choices)
    assert isinstance(after.read, RoutesRead), after.faults
    assert [row.number for row in after.read.points] == [1, 2]
    (doubt,) = after.understood.doubts
    assert (doubt.where, doubt.what) == ("line 4", f"left out, as was chosen: '{REMARK}'")


def test_that_rows_of_a_sheet_are_left_out_too_and_all_in_one_offer(tmp_path: Path) -> None:
    rows: list[list[object]] = [
        ["code", "name", "latitude", "longitude"],
        ["V1", "Ann Example", 51.5, -1.2],
        ["", REMARK],
        ["Ask Ann", ""],
    ]
    path = book(tmp_path / "v.xlsx", people=rows)
    (offer,) = leaving_out(reading(path))
    assert offer.words == f"Leave out the 2 rows that are no volunteer (row 3: '{REMARK}', row 4: 'Ask Ann')"
    assert offer.choices.leave_out == {"row 3", "row 4"}
    after = reading(path, offer.choices)
    assert isinstance(after.read, VolunteersRead), after.faults
    assert [row.volunteer.code for row in after.read.volunteers] == ["V1"]


def test_that_a_remark_that_would_pass_for_a_route_is_offered_too(tmp_path: Path) -> None:
    path = write(tmp_path / "r.csv", f"route,name\nR01,Fernhythe\nR02,\n{REMARK},\n")
    (offer,) = leaving_out(reading(path))
    assert offer.words == f"Leave out the 1 row that is no route (line 4: '{REMARK}')"


@pytest.mark.parametrize("row", ["R01,,,,", ",,51.7,,", "R01,3,,,", "R01,3,51.7,x,"])
def test_that_a_point_that_lacks_something_is_not_offered_to_be_left_out(tmp_path: Path, row: str) -> None:
    got = reading(write(tmp_path / "p.csv", f"{POINTS}{row}\n"))
    assert got.faults
    assert not leaving_out(got)


def test_that_a_row_that_is_not_there_cannot_be_left_out(tmp_path: Path) -> None:
    got = reading(write(tmp_path / "p.csv", POINTS), Choices(leave_out=frozenset({"row 14"})))
    (fault,) = got.faults
    assert (fault.where, fault.found) == ("row 14", "no such row")
    got = reading(write(tmp_path / "p.csv", f"{POINTS}{REMARK}\n"), Choices(leave_out=frozenset({"row 14"})))
    (offer,) = leaving_out(got)
    assert offer.choices.leave_out == {"line 4"}


def test_that_a_remark_among_pasted_rows_is_offered_to_be_left_out() -> None:
    _, got = pasted_rows(f"{POINTS}{REMARK}\n".replace(",", "\t"), "pasted text", Choices())
    (offer,) = leaving_out(got)
    _, after = pasted_rows(f"{POINTS}{REMARK}\n".replace(",", "\t"), "pasted text", offer.choices)
    assert not after.faults
