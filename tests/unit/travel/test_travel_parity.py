"""Drive minutes on real extracts, against igraph on a graph of allowed turns that is made from the file by itself."""

from pathlib import Path

import pytest

from tests.unit.travel.parity import Parity, parity, with_restrictions
from tests.unit.travel.real_extracts import Extract, real_extract

_TENTH_OF_A_SECOND = 0.1


@pytest.fixture(scope="module")
def helsinki() -> Parity:
    return parity(real_extract(Extract.HELSINKI), 34, seed=1)


def test_that_minutes_on_a_real_extract_equal_another_library_one_ways_and_restrictions_included(
    helsinki: Parity,
) -> None:
    assert helsinki.pairs >= 1000
    assert helsinki.oneway_pieces > 500
    assert helsinki.worst_seconds < _TENTH_OF_A_SECOND


def test_that_the_restrictions_of_the_extract_make_a_difference(helsinki: Parity) -> None:
    assert helsinki.bans >= 30
    assert helsinki.changed >= 100


def test_that_many_more_restrictions_some_over_ways_between_are_kept_as_well(tmp_path: Path) -> None:
    town = with_restrictions(real_extract(Extract.TOWN), tmp_path / "town.osm.pbf", 200, seed=2)
    found = parity(town, 25, seed=2)
    assert found.bans >= 50
    assert found.changed >= 100
    assert found.worst_seconds < _TENTH_OF_A_SECOND
