"""Conditions and check-ins in the season file: kept, undone, brought into older files."""

from __future__ import annotations

import datetime as dt
import json
import tempfile
from dataclasses import replace
from pathlib import Path

import apsw
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.check_in import CheckIn, Stage
from planner.domain.conditions import MEASURES, Condition, Conditions, Seen
from planner.domain.errors import SeasonFileError
from planner.domain.measures import Measure, Speed
from planner.domain.weather import Quantity
from planner.forms import protocol_to_plain
from planner.store import SeasonFile
from planner.store.migrating import migrate, shipped_migrations
from tests.unit.store.season_strategies import SMALL_PROTOCOL, SMALL_SEASON

DAY = dt.date(2027, 6, 4)
WINDY = Conditions(DAY, known=(Condition(Quantity.WIND, Speed(30, "km/h")),))
CALM = Conditions(DAY, "R1", (Condition(Quantity.WIND, Speed(0.1 + 0.2, "m/s"), Seen.NONE),))
LEFT = CheckIn(DAY, "R1", "V1", Stage.LEFT, dt.datetime(2027, 6, 4, 19, 5, tzinfo=dt.UTC))
HOME = replace(LEFT, stage=Stage.HOME, when_utc=dt.datetime(2027, 6, 5, 0, 5, tzinfo=dt.UTC))

_words = st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=6)
_days = st.dates(dt.date(2000, 1, 1), dt.date(2090, 1, 1))


def _measures(quantity: Quantity) -> st.SearchStrategy[Measure]:
    kind = MEASURES[quantity]
    return st.builds(kind, st.floats(0, 100), st.sampled_from(sorted(kind.FACTORS)))


@st.composite
def conditions(draw: st.DrawFn) -> Condition:
    quantity = draw(st.sampled_from(Quantity))
    measured = draw(st.none() | _measures(quantity)) if quantity in MEASURES else None
    judged = [Seen.WITHIN, Seen.BEYOND] if "temperature" in quantity else list(Seen)
    seen = draw(st.sampled_from(judged) if measured is None else st.none() | st.sampled_from(judged))
    return Condition(quantity, measured, seen)


evenings = st.builds(
    Conditions,
    _days,
    st.just("") | _words,
    st.lists(conditions(), min_size=1, max_size=5, unique_by=lambda one: one.quantity).map(tuple),
)
check_ins = st.builds(CheckIn, _days, _words, _words, st.sampled_from(Stage), st.datetimes(timezones=st.just(dt.UTC)))


@settings(max_examples=15, deadline=None)
@given(
    st.lists(evenings, max_size=4, unique_by=lambda one: (one.date, one.route)),
    st.lists(check_ins, max_size=4, unique_by=lambda one: one.key),
)
def test_that_evenings_come_back_as_they_were_kept(kept: list[Conditions], heard: list[CheckIn]) -> None:
    with tempfile.TemporaryDirectory() as folder, SeasonFile.create(Path(folder) / "any.dimpsy", SMALL_SEASON) as file:
        with file.step("Keep both"):
            file.save_conditions(kept)
            file.save_check_ins(heard)
        assert sorted(file.conditions(), key=lambda one: (one.date, one.route)) == sorted(
            kept, key=lambda one: (one.date, one.route)
        )
        assert {one.key: one for one in file.check_ins()} == {one.key: one for one in heard}


def test_that_each_step_is_undone_and_redone_and_tells_its_table(season_file: SeasonFile) -> None:
    with season_file.step("Wind") as step:
        season_file.save_conditions([WINDY])
    assert step.changed.tables == {"condition"}
    with season_file.step("Calm at one") as step:
        season_file.save_conditions([WINDY, CALM])
    with season_file.step("V1 left") as step:
        season_file.save_check_ins([LEFT])
    assert step.changed.tables == {"check_in"}
    with season_file.step("V1 home"):
        season_file.save_check_ins([LEFT, HOME])
    assert season_file.check_ins() == (LEFT, HOME)
    season_file.undo()
    season_file.undo()
    assert season_file.check_ins() == ()
    season_file.undo()
    assert season_file.conditions() == (WINDY,)
    season_file.redo()
    assert season_file.conditions() == (WINDY, CALM)


@pytest.mark.parametrize(
    "damage",
    [
        "UPDATE condition SET unit = 'knots'",
        "UPDATE condition SET seen = 'perhaps'",
        "UPDATE condition SET quantity = 'rain'",
        "UPDATE condition SET value = NULL",
        "UPDATE condition SET date = 'today'",
    ],
)
def test_that_conditions_made_impossible_from_outside_are_said(season_path: Path, damage: str) -> None:
    with SeasonFile.create(season_path, SMALL_SEASON) as file, file.step("Wind"):
        file.save_conditions([WINDY])
    _damage(season_path, damage)
    with SeasonFile.open(season_path) as file, pytest.raises(SeasonFileError, match="damaged"):
        file.conditions()


@pytest.mark.parametrize(
    "damage", ["UPDATE check_in SET stage = 'lost'", "UPDATE check_in SET when_utc = '2027-06-04T20:00'"]
)
def test_that_check_ins_made_impossible_from_outside_are_said(season_path: Path, damage: str) -> None:
    with SeasonFile.create(season_path, SMALL_SEASON) as file, file.step("Left"):
        file.save_check_ins([LEFT])
    _damage(season_path, damage)
    with SeasonFile.open(season_path) as file, pytest.raises(SeasonFileError, match="damaged"):
        file.check_ins()


def _damage(path: Path, sql: str) -> None:
    connection = apsw.Connection(str(path))
    connection.execute(sql)
    connection.close()


def test_that_a_file_from_before_the_evenings_opens_with_none_and_keeps_them(season_path: Path) -> None:
    connection = apsw.Connection(str(season_path))
    migrate(connection, shipped_migrations()[:2])
    dates = [text for one in SMALL_SEASON.visits for text in (one.first.isoformat(), one.last.isoformat())]
    with connection:
        connection.execute(
            "INSERT INTO season VALUES (1, 'Before', 'Europe/London', ?, ?, ?, '', '', '', NULL, NULL, NULL, '', NULL)",
            (dates[0], dates[-1], json.dumps(protocol_to_plain(SMALL_PROTOCOL))),
        )
        connection.execute("INSERT INTO visit_range VALUES (1, ?, ?), (2, ?, ?)", dates)
    connection.close()
    with SeasonFile.open(season_path) as file:
        assert file.conditions() == ()
        assert file.check_ins() == ()
        with file.step("Both"):
            file.save_conditions([WINDY])
            file.save_check_ins([LEFT])
    with SeasonFile.open(season_path) as file:
        assert (file.conditions(), file.check_ins()) == ((WINDY,), (LEFT,))
