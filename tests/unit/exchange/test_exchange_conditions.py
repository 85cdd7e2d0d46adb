"""Conditions of evenings out of CSV tables, and joined with those that are kept."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from planner.domain.conditions import Condition, Conditions, Seen, Share
from planner.domain.errors import InputError
from planner.domain.measures import Speed, Temperature
from planner.domain.route import Route
from planner.domain.weather import Quantity
from planner.exchange import merge_conditions, read_conditions
from tests.unit.exchange.samples import faults_of, season, write

DAY = dt.date(2026, 6, 3)
TABLE = """date,route,wind,rain,fog,cloud,cloud_percent,air_temperature,water_temperature,note
2026-06-03,,12 km/h,none,no,,80,"8,5 °C",50 F,forecast of the morning
2026-06-03,R01,Beyond,yes,,within,,,,
"""


def condition(quantity: Quantity, seen: Seen) -> Condition:
    return Condition(quantity, seen=seen)


def test_that_figures_and_words_are_read_for_all_and_for_one_route(tmp_path: Path) -> None:
    everywhere, own = read_conditions(write(tmp_path / "c.csv", TABLE)).rows
    assert (everywhere.date, everywhere.route) == (DAY, "")
    assert {one.quantity: one for one in everywhere.known} == {
        Quantity.WIND: Condition(Quantity.WIND, Speed(12, "km/h")),
        Quantity.RAIN: condition(Quantity.RAIN, Seen.NONE),
        Quantity.FOG: condition(Quantity.FOG, Seen.NONE),
        Quantity.CLOUD: Condition(Quantity.CLOUD, Share(80, "%")),
        Quantity.AIR_TEMPERATURE: Condition(Quantity.AIR_TEMPERATURE, Temperature(8.5, "C")),
        Quantity.WATER_TEMPERATURE: Condition(Quantity.WATER_TEMPERATURE, Temperature(50, "F")),
    }
    assert own.route == "R01"
    assert own.known == (
        condition(Quantity.WIND, Seen.BEYOND),
        condition(Quantity.RAIN, Seen.SOME),
        condition(Quantity.CLOUD, Seen.WITHIN),
    )
    assert own.origin.where == "line 3"


@pytest.mark.parametrize(
    ("cells", "column", "found"),
    [
        ("2026-06-03,12", "wind", "'12'"),
        ("2026-06-03,12 knots", "wind", "'12 knots'"),
        ("2026-06-03,-3 km/h", "wind", "'-3 km/h'"),
        ("3.6.2026,12 km/h", "date", "'3.6.2026'"),
        ("2026-06-03,", "wind", "nothing"),
        ("2026-06-03,,drizzle", "rain", "'drizzle'"),
        ("2026-06-03,,,101", "cloud_percent", "'101'"),
        ("2026-06-03,,,,none", "air_temperature", "'none'"),
        ("2026-06-03,,,,8 km/h", "air_temperature", "'8 km/h'"),
    ],
)
def test_that_a_bad_cell_is_told_with_line_and_column(tmp_path: Path, cells: str, column: str, found: str) -> None:
    text = f"date,wind,rain,cloud_percent,air_temperature\n{cells}{',' * (4 - cells.count(','))}\n"
    [fault] = faults_of(read_conditions, write(tmp_path / "c.csv", text))
    assert fault.where == f"line 2, column {column}"
    assert found in fault.found


def test_that_what_is_read_stands_beside_what_is_kept(tmp_path: Path) -> None:
    here = replace(season(), routes=(Route("R01", "Fernhythe Common", ()),))
    day = here.dates.first
    table = f"date,route,wind,rain\n{day},,12 km/h,\n{day},R01,,beyond\n"
    read = read_conditions(write(tmp_path / "c.csv", table))
    kept = (Conditions(day, known=(condition(Quantity.RAIN, Seen.NONE),)),)
    after, (note,) = merge_conditions(here, kept, [read])
    assert after == (
        Conditions(day, known=(condition(Quantity.RAIN, Seen.NONE), Condition(Quantity.WIND, Speed(12, "km/h")))),
        Conditions(day, "R01", (condition(Quantity.RAIN, Seen.BEYOND),)),
    )
    assert note == "Conditions of 1 evening read."
    assert merge_conditions(here, kept, []) == (kept, ())


@pytest.mark.parametrize(
    ("rows", "found"),
    [
        ("{day},R77,1 km/h\n", "'R77', which is unknown"),
        ("1999-01-01,,1 km/h\n", "1999-01-01"),
        ("{day},,1 km/h\n{day},,2 km/h\n", "it again; first in"),
    ],
)
def test_that_a_strange_route_or_date_and_a_row_twice_are_refused(tmp_path: Path, rows: str, found: str) -> None:
    text = "date,route,wind\n" + rows.format(day=season().dates.first)
    read = read_conditions(write(tmp_path / "c.csv", text))
    with pytest.raises(InputError, match=found):
        merge_conditions(season(), (), [read])
