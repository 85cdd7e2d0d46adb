"""A table of conditions comes in by the same door as everything else, and is one step."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.domain.conditions import Condition, Conditions
from planner.domain.errors import InputError
from planner.domain.measures import Speed
from planner.domain.weather import Quantity
from planner.store import SeasonFile
from planner.usecases.importing.import_files import import_sources

pytestmark = pytest.mark.xdist_group("reedhaven")


def test_that_conditions_are_imported_as_one_step_and_undone(reedhaven: SeasonFile, tmp_path: Path) -> None:
    date, season = reedhaven.plan().visits[0].date, reedhaven.season()
    table = tmp_path / "forecast.csv"
    table.write_text(f"date,wind\n{date},12 km/h\n", encoding="utf-8")
    done = import_sources(reedhaven, [table])
    assert done.changed
    assert done.sources[0].kind == "conditions of evenings"
    assert "Conditions of 1 evening read." in done.notes
    wind = Condition(Quantity.WIND, Speed(12, "km/h"))
    assert reedhaven.conditions() == (Conditions(date, known=(wind,)),)
    assert reedhaven.season() == season
    assert reedhaven.history()[-1].tables == {"condition"}
    assert not import_sources(reedhaven, [table]).changed
    reedhaven.undo()
    assert reedhaven.conditions() == ()


def test_that_a_strange_route_leaves_everything_as_it_was(reedhaven: SeasonFile, tmp_path: Path) -> None:
    table = tmp_path / "forecast.csv"
    table.write_text(f"date,route,wind\n{reedhaven.plan().visits[0].date},X99,12 km/h\n", encoding="utf-8")
    steps = len(reedhaven.history())
    with pytest.raises(InputError, match="X99"):
        import_sources(reedhaven, [table])
    assert len(reedhaven.history()) == steps
