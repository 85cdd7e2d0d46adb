"""What is said of a table's columns: what each holds, the first thing that stands in it, what else it may hold."""

from __future__ import annotations

from pathlib import Path

from planner.exchange import Choices, ColumnUse, Understanding, recognise

TABLE = "Route,Point,Lat (WGS84),Long,Surveyed\nR01,1,54.70,2.30,\nR01,2,54.71,2.31,by lamp\n"


def understood(path: Path, choices: Choices) -> Understanding:
    known = recognise(path, choices=choices)
    assert known.importer is not None
    return known.importer.read(path, choices).understood


def test_that_each_column_shows_the_first_cell_that_is_not_empty(tmp_path: Path) -> None:
    path = tmp_path / "points.csv"
    path.write_text(TABLE, encoding="utf-8")
    assert understood(path, Choices()).columns == (
        ColumnUse("Route", "route", "R01"),
        ColumnUse("Point", "point", "1"),
        ColumnUse("Lat (WGS84)", "latitude", "54.70"),
        ColumnUse("Long", "longitude", "2.30"),
        ColumnUse("Surveyed", "", "by lamp"),
    )


def test_that_every_meaning_that_is_named_can_be_chosen(tmp_path: Path) -> None:
    path = tmp_path / "points.csv"
    path.write_text(TABLE, encoding="utf-8")
    meanings = understood(path, Choices()).meanings
    assert meanings[:4] == ("route", "point", "latitude", "longitude")
    assert {"note", "label", "easting", "northing", "utm_zone", "place"} <= set(meanings)
    assert len(set(meanings)) == len(meanings)
    chosen = understood(path, Choices(columns={"note": "Surveyed"}))
    assert chosen.columns[-1] == ColumnUse("Surveyed", "note", "by lamp")
