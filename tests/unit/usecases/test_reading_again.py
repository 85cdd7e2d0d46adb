"""One file of an import is read anew as a person chose; the others stay as they were read."""

from __future__ import annotations

from pathlib import Path

from planner.exchange import Choices, ColumnUse, RoutesRead
from planner.usecases.importing.choices import (
    column_chosen,
    read_again,
    route_typed,
    with_source,
    zone_typed,
)
from planner.usecases.importing.reading_sources import SourceRead, SourcesRead, endings, read_sources


def by_name(read: SourcesRead) -> dict[str, SourceRead]:
    return {source.path.name: source for source in read.sources}


def test_that_only_the_file_that_was_chosen_for_is_read_again(tmp_path: Path) -> None:
    (tmp_path / "one.csv").write_text("route,point,latitude,longitude\nR30,1,154.7,2.3\n", encoding="utf-8")
    (tmp_path / "two.csv").write_text("route,point,latitude,longitude\nR31,1,54.7,2.3\n", encoding="utf-8")
    (tmp_path / "notes.pdf").write_bytes(b"none")
    read = read_sources([tmp_path])
    before = by_name(read)
    assert before["one.csv"].faults
    again = with_source(read, read_again(tmp_path / "one.csv", Choices(swap=True)))
    after = by_name(again)
    assert after["two.csv"] is before["two.csv"]
    assert after["one.csv"].choices.swap
    taken = after["one.csv"].read
    assert isinstance(taken, RoutesRead)
    assert [(point.place.latitude, point.place.longitude) for point in taken.points] == [(2.3, 154.7)]
    assert again.notes == read.notes
    assert len(again.notes) == 1


def test_that_the_endings_of_all_kinds_of_files_are_known() -> None:
    known = endings()
    assert {".gpx", ".kml", ".kmz", ".geojson", ".csv", ".tsv", ".txt", ".xlsx", ".osm", ".bz2", ".pbf"} <= set(known)
    assert len(set(known)) == len(known)


def test_that_a_column_taken_for_something_else_lets_go_of_what_it_held() -> None:
    northing = ColumnUse("Y", "latitude")
    moved = column_chosen(Choices(swap=True), northing, "northing")
    assert (moved.columns, moved.swap) == ({"northing": "Y"}, True)
    again = column_chosen(moved, ColumnUse("Y", "northing"), "note")
    assert again.columns == {"note": "Y"}
    unused = column_chosen(again, ColumnUse("Y", "note"), "")
    assert unused.columns == {"note": ""}
    assert column_chosen(Choices(), ColumnUse("Z", ""), "").columns == {}


def test_that_what_is_typed_is_trimmed() -> None:
    assert route_typed(Choices(stops=True), " R30 ") == Choices(stops=True, route="R30")
    assert zone_typed(Choices(), " 30 n") == Choices(utm_zone="30N")
