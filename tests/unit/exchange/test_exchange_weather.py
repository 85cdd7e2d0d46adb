"""Past evenings and chances of lost ones out of CSV tables, and into a season."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from planner.domain.evening_records import estimated
from planner.domain.lost_evenings import HALF_MONTHS, USUAL_PERSISTENCE, LostEvenings
from planner.exchange import merge, read_chances, read_evenings
from tests.unit.exchange.samples import CHANCES_CSV, EVENINGS_CSV, faults_of, season, write

EARLY_MAY, LATE_JUNE, EARLY_JULY = 8, 11, 12
STOOD = LostEvenings(tuple(number / 100 for number in range(HALF_MONTHS)), 0.15)


def test_that_past_evenings_are_read_with_their_lines(tmp_path: Path) -> None:
    rows = read_evenings(write(tmp_path / "e.csv", EVENINGS_CSV)).rows
    assert [(row.date.isoformat(), row.lost) for row in rows] == [
        ("2025-05-10", False),
        ("2025-05-11", True),
        ("2025-05-12", True),
        ("2025-06-20", False),
    ]
    assert rows[1].origin.where == "line 3"


def test_that_chances_are_read_as_shares(tmp_path: Path) -> None:
    rows = read_chances(write(tmp_path / "c.csv", CHANCES_CSV)).rows
    assert [(row.half_month, row.chance) for row in rows] == [(8, 0.4), (9, 0.35), (10, 0.305), (11, 0.25), (12, 0.25)]
    assert [row.persistence for row in rows] == [0.35, None, None, None, None]


@pytest.mark.parametrize(
    ("line", "where", "found"),
    [
        ("2025-05-32,yes", "line 2, column date", "'2025-05-32'"),
        ("10.5.2025,yes", "line 2, column date", "'10.5.2025'"),
        ("2025-05-10,maybe", "line 2, column lost", "'maybe'"),
        ("2025-05-10,", "line 2, column lost", "nothing"),
        ("2025-05-10,1", "line 2, column lost", "'1'"),
        ("2025-05-10", "line 2", "1"),
    ],
)
def test_that_a_bad_evening_is_told_with_line_and_column(tmp_path: Path, line: str, where: str, found: str) -> None:
    [fault] = faults_of(read_evenings, write(tmp_path / "e.csv", f"date,lost\n{line}\n"))
    assert fault.where == where
    assert found in fault.found


@pytest.mark.parametrize(
    ("line", "column", "found"),
    [
        ("May,40,", "half_month", "'May'"),
        ("mid May,40,", "half_month", "'mid May'"),
        (",40,", "half_month", "nothing"),
        ("early May,101,", "lost_percent", "'101'"),
        ("early May,-1,", "lost_percent", "'-1'"),
        ("early May,,", "lost_percent", "nothing"),
        ("early May,40,nan", "persistence_percent", "'nan'"),
    ],
)
def test_that_a_bad_chance_is_told_with_line_and_column(tmp_path: Path, line: str, column: str, found: str) -> None:
    text = f"half_month,lost_percent,persistence_percent\n{line}\n"
    [fault] = faults_of(read_chances, write(tmp_path / "c.csv", text))
    assert fault.where == f"line 2, column {column}"
    assert found in fault.found


def test_that_past_evenings_become_the_chances_estimated_from_them_and_say_so(tmp_path: Path) -> None:
    read = read_evenings(write(tmp_path / "e.csv", EVENINGS_CSV))
    more = read_evenings(write(tmp_path / "f.csv", "date,lost\n2024-05-10,YES\n"))
    merged = merge(replace(season(), lost_evenings=STOOD), [read, more])
    records = [(row.date, row.lost) for row in (*read.rows, *more.rows)]
    assert merged.season == replace(season(), lost_evenings=estimated(records))
    [note] = merged.notes
    assert note.startswith("Estimated from 5 past evenings, 3 of them lost: in this season ")


def test_that_chances_as_said_hold_and_outside_the_season_their_mean(tmp_path: Path) -> None:
    weather = merge(season(), [read_chances(write(tmp_path / "c.csv", CHANCES_CSV))]).season.lost_evenings
    assert weather is not None
    assert weather.chances[EARLY_MAY : EARLY_JULY + 1] == (0.4, 0.35, 0.305, 0.25, 0.25)
    assert weather.chances[0] == pytest.approx((0.4 + 0.35 + 0.305 + 0.25 + 0.25) / 5)
    assert weather.persistence == 0.35


def test_that_a_persistence_nobody_names_is_the_usual_one_or_the_one_that_stands(tmp_path: Path) -> None:
    read = read_chances(write(tmp_path / "c.csv", CHANCES_CSV.replace("40,35", "40,")))
    new = merge(season(), [read]).season.lost_evenings
    known = merge(replace(season(), lost_evenings=STOOD), [read]).season.lost_evenings
    assert new is not None
    assert known is not None
    assert (new.persistence, known.persistence) == (USUAL_PERSISTENCE, STOOD.persistence)


def test_that_a_table_of_one_half_month_changes_that_one_alone(tmp_path: Path) -> None:
    read = read_chances(write(tmp_path / "c.csv", "half_month,lost_percent\nLATE june,90\n"))
    weather = merge(replace(season(), lost_evenings=STOOD), [read]).season.lost_evenings
    expected = [0.9 if number == LATE_JUNE else chance for number, chance in enumerate(STOOD.chances)]
    assert weather == replace(STOOD, chances=tuple(expected))


def test_that_what_is_read_twice_or_both_ways_is_refused(tmp_path: Path) -> None:
    evenings = read_evenings(write(tmp_path / "e.csv", EVENINGS_CSV))
    again = read_evenings(write(tmp_path / "f.csv", "date,lost\n2025-05-12,no\n"))
    [twice] = faults_of(merge, season(), [evenings, again])
    assert twice.source.endswith("f.csv")
    assert "e.csv, line 4" in twice.found
    chances = read_chances(write(tmp_path / "c.csv", CHANCES_CSV + "Late May,12,\n"))
    double, both = faults_of(merge, season(), [evenings, chances])
    assert "late May" in double.expected
    assert "both" in both.found


def test_that_two_persistences_are_refused(tmp_path: Path) -> None:
    text = CHANCES_CSV.replace("late May,35,", "late May,35,20").replace("25 %,", "25 %,35")
    [fault] = faults_of(merge, season(), [read_chances(write(tmp_path / "c.csv", text))])
    assert fault.where == "line 3, column persistence_percent"
    assert fault.found == "20 beside 35"


def test_that_a_half_month_of_the_season_must_not_be_missing(tmp_path: Path) -> None:
    text = "".join(line for line in CHANCES_CSV.splitlines(keepends=True) if "late" not in line)
    [fault] = faults_of(merge, season(), [read_chances(write(tmp_path / "c.csv", text))])
    assert fault.found == "none for late May, late June"


def test_that_files_without_weather_leave_it_as_it_stands() -> None:
    given = replace(season(), lost_evenings=STOOD)
    assert merge(given, []).season == given


def test_that_the_last_day_of_the_calendar_is_an_evening_like_any_other(tmp_path: Path) -> None:
    read = read_evenings(write(tmp_path / "e.csv", "date,lost\n9999-12-31,yes\n9999-12-30,yes\n"))
    assert read.rows[0].date == dt.date.max
    assert merge(season(), [read]).season.lost_evenings is not None
