"""What files would bring is said file by file and by name before anything changes; taking it is one step."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from planner.domain.errors import ImpossibleError, InputError, SeasonFileError
from planner.domain.geo import Place
from planner.exchange import Choices
from planner.shipped import demo_routes
from planner.store import SeasonFile
from planner.usecases.importing.differences import Change, Item, route_items, volunteer_items
from planner.usecases.importing.import_files import import_sources
from planner.usecases.importing.preview import (
    Held,
    SourceUnderstood,
    Understood,
    accept,
    preview,
    understand,
)
from planner.usecases.importing.reading_sources import read_sources
from planner.usecases.routes.editing import add_route
from planner.usecases.season.opening import road_network, roads_path
from tests.unit.usecases.checked_seasons import free
from tests.unit.usecases.edited_seasons import SEASON, season_file

HEATH = demo_routes() / "heath"

POINTS = """route,point,latitude,longitude,note
R1,1,50.5,-3.99,by the gate
R3,1,50.51,-3.9,
R3,2,50.51,-3.88,
"""
SAME = "route,name\nR2,R2 Lane\n"
VOLUNTEERS = "code,name,latitude,longitude,telephone\nV1,V1 Example,50.5,-4.1,07700 900111\nV9,Nora Quill,50.5,-4.0,\n"
BAD = "route,point,latitude,longitude\nR1,1,95.0,-3.99\nR1,x,50.5,-3.99\n"


@pytest.fixture
def file(tmp_path: Path) -> Iterator[SeasonFile]:
    """A season file that a test may change, in a folder of its own."""
    with season_file(tmp_path) as opened:
        yield opened


@pytest.fixture
def inbox(tmp_path: Path) -> Path:
    """A folder for files to import."""
    folder = tmp_path / "inbox"
    folder.mkdir()
    return folder


def write(folder: Path, **texts: str) -> list[Path]:
    paths = []
    for name, text in texts.items():
        paths.append(folder / f"{name}.csv")
        paths[-1].write_text(text, encoding="utf-8")
    return paths


def named(understood: Understood, name: str) -> SourceUnderstood:
    return next(source for source in understood.sources if source.path.name == name)


def said(items: tuple[Item, ...]) -> list[tuple[str, str, str]]:
    return [(item.title, item.change.value, item.what) for item in items]


def test_that_each_file_says_by_name_what_is_new_changed_and_as_before(file: SeasonFile, inbox: Path) -> None:
    before = file.season(), file.plan(), file.history()
    understood = preview(file, write(inbox, points=POINTS, same=SAME, people=VOLUNTEERS))
    assert (file.season(), file.plan(), file.history()) == before
    points = named(understood, "points.csv")
    assert points.kind == "points of routes"
    assert "route, point, latitude, longitude, note" in points.reason
    assert said(points.items) == [
        ("R1 R1 Lane", "changed", "number of points, places of points and notes on points"),
        ("R3", "new", "2 points"),
    ]
    assert said(named(understood, "same.csv").items) == [("R2 R2 Lane", "as before", "")]
    assert said(named(understood, "people.csv").items) == [
        ("V1 V1 Example", "changed", "telephone"),
        ("V9 Nora Quill", "new", "no dates yet"),
    ]
    assert understood.faults == ()
    assert understood.changes


def test_that_taking_what_was_understood_is_what_importing_does_in_one_step(
    file: SeasonFile, inbox: Path, tmp_path: Path
) -> None:
    sources = write(inbox, points=POINTS, people=VOLUNTEERS)
    shutil.copy(file.path, tmp_path / "other.dimpsy")
    steps = len(file.history())
    assert accept(file, preview(file, sources))
    assert [step.label for step in file.history()[steps:]] == ["Import points.csv, people.csv"]
    with SeasonFile.open(tmp_path / "other.dimpsy") as other:
        imported = import_sources(other, sources)
        assert imported.changed
        assert other.season() == file.season()
    file.undo()
    assert file.season() == SEASON


def test_that_files_that_hold_what_stands_already_are_no_step(file: SeasonFile, inbox: Path) -> None:
    understood = preview(file, write(inbox, same=SAME))
    steps = file.history()
    assert not understood.changes
    assert not accept(file, understood)
    assert file.history() == steps


def test_that_faults_are_told_with_line_and_field_beside_what_is_sound(file: SeasonFile, inbox: Path) -> None:
    understood = preview(file, write(inbox, bad=BAD, people=VOLUNTEERS))
    faults = named(understood, "bad.csv").faults
    assert [fault.where for fault in faults] == ["line 2, column latitude", "line 3, column point"]
    assert understood.faults == faults
    assert said(named(understood, "people.csv").items)[1] == ("V9 Nora Quill", "new", "no dates yet")
    with pytest.raises(InputError, match="line 2, column latitude"):
        accept(file, understood)
    assert file.season() == SEASON


def test_that_a_faulty_file_can_be_left_out_and_the_rest_taken(file: SeasonFile, inbox: Path) -> None:
    bad, people = write(inbox, bad=BAD, people=VOLUNTEERS)
    read = read_sources([bad, people])
    understood = understand(Held.of(file), read, leave_out={bad})
    assert [source.path for source in understood.sources] == [people]
    assert accept(file, understood)
    assert file.season().volunteer("V9").name == "Nora Quill"


def test_that_faults_between_files_stand_with_the_file_and_nothing_of_them_is_taken(
    file: SeasonFile, inbox: Path
) -> None:
    dates = "volunteer,from,to,parts\nV7,2027-06-01,2027-06-02,dusk\n"
    understood = preview(file, write(inbox, dates=dates, people=VOLUNTEERS))
    (fault,) = named(understood, "dates.csv").faults
    assert fault.where == "line 2, column volunteer"
    assert named(understood, "people.csv").faults == ()
    assert {item.change for source in understood.sources for item in source.items} == {Change.REFUSED}


def test_that_what_a_faulty_file_lacks_is_not_missed_in_the_others(file: SeasonFile, inbox: Path) -> None:
    people = "code,name,latitude,longitude\nV9,Nora Quill,95,-4.0\n"
    dates = "volunteer,from,to,parts\nV9,2027-06-01,2027-06-02,dusk\n"
    understood = preview(file, write(inbox, people=people, dates=dates))
    assert [fault.source for fault in understood.faults] == [str(inbox / "people.csv")]
    left = understand(Held.of(file), read_sources([inbox]), leave_out={inbox / "people.csv"})
    assert [fault.source for fault in left.faults] == [str(inbox / "dates.csv")]


def test_that_swapped_axes_are_told_beside_a_faulty_file(file: SeasonFile, inbox: Path) -> None:
    swapped = "route,point,latitude,longitude\nR8,1,-3.99,50.5\nR8,2,-3.98,50.5\n"
    understood = preview(file, write(inbox, faulty=BAD, swapped=swapped))
    assert [fault.where for fault in named(understood, "swapped.csv").faults] == ["line 2", "line 3"]
    assert len(understood.faults) == 4
    (offer,) = named(understood, "swapped.csv").understood.offers
    assert offer.choices.swap


def test_that_of_the_first_files_the_time_zone_says_which_is_swapped_not_the_most_rows(inbox: Path) -> None:
    empty = Held(replace(SEASON, routes=(), volunteers=()))
    rows = [f"R8,{number},-3.9,50.{number}" for number in range(1, 9)]
    swapped = "\n".join(("route,point,latitude,longitude", *rows))
    paths = write(inbox, right="route,point,latitude,longitude\nR9,1,50.5,-3.9\nR9,2,50.6,-3.9\n", swapped=swapped)
    understood = understand(empty, read_sources(paths))
    assert [(fault.source, fault.found) for fault in understood.faults] == [
        (str(inbox / "swapped.csv"), "none: latitude and longitude look swapped")
    ]
    assert named(understood, "right.csv").understood.offers == ()
    assert said(named(understood, "right.csv").items) == [("R9", "new", "2 points")]
    (offer,) = named(understood, "swapped.csv").understood.offers
    mended = understand(empty, read_sources(paths, {inbox / "swapped.csv": offer.choices}))
    assert mended.faults == ()


def test_that_a_route_that_was_given_in_vain_is_told(file: SeasonFile, inbox: Path) -> None:
    (path,) = write(inbox, points=POINTS)
    (said,) = preview(file, [path], {path: Choices(route="R8")}).sources
    assert [doubt.what for doubt in said.understood.doubts][:1] == [
        "nothing was taken for route R8: every point in it names its own route"
    ]
    (fits,) = preview(file, [path], {path: Choices(route="R3")}).sources
    assert not any("nothing was taken" in doubt.what for doubt in fits.understood.doubts)


def test_that_a_code_with_a_letter_that_is_not_seen_is_pointed_out(file: SeasonFile, inbox: Path) -> None:
    path = inbox / "unseen.csv"
    path.write_text("route,point,latitude,longitude\nR01\u200b,1,54.74,2.21\n", encoding="utf-8")
    (source,) = preview(file, [path]).sources
    assert any("'R01\\u200b' holds the letter U+200B" in doubt.what for doubt in source.understood.doubts)


def test_that_a_season_that_changed_since_is_not_overwritten(file: SeasonFile, inbox: Path) -> None:
    understood = preview(file, write(inbox, points=POINTS))
    add_route(file, "R8")
    with pytest.raises(ImpossibleError, match="has changed since the files were read"):
        accept(file, understood)
    assert "R3" not in {route.code for route in file.season().routes}


def test_that_a_file_of_no_known_kind_and_an_empty_folder_are_faults(file: SeasonFile, inbox: Path) -> None:
    letter = inbox / "letter.txt"
    letter.write_text("Dear all,\n", encoding="utf-8")
    empty = inbox / "empty"
    empty.mkdir()
    understood = preview(file, [letter, empty])
    assert [(source.kind, len(source.faults)) for source in understood.sources] == [("", 1), ("", 1)]


def test_that_a_folder_says_what_was_left_out(file: SeasonFile, inbox: Path) -> None:
    write(inbox, points=POINTS)
    (inbox / "photo.jpg").write_bytes(b"no table")
    understood = preview(file, [inbox])
    assert [source.path.name for source in understood.sources] == ["points.csv"]
    assert understood.notes[0] == "photo.jpg was left out: nothing to import by its name."


def test_that_a_protocol_is_known_and_refused_with_the_way_out(file: SeasonFile, inbox: Path) -> None:
    toml = inbox / "mine.toml"
    shutil.copy(demo_routes().parent / "resources" / "protocols" / "heath_nightjars.toml", toml)
    (source,) = preview(file, [toml]).sources
    assert source.kind == "a survey protocol"
    assert "File, New season, or by dimpsy new FILE --protocol mine.toml" in source.faults[0].todo


def test_that_a_road_map_is_kept_beside_the_season_only_once_it_is_taken(file: SeasonFile) -> None:
    understood = preview(file, [HEATH / "roads.osm"])
    assert not list(file.path.parent.glob("*.npz"))
    assert understood.notes[0] == "Roads of roads.osm will be used for every drive."
    assert understood.notes[1].startswith("436 stretches of road")
    assert named(understood, "roads.osm").kind == "a road map (OpenStreetMap)"
    accept(file, understood)
    assert road_network(file.path, file.season().roads) is not None


def test_that_a_road_map_that_cannot_be_kept_changes_nothing(file: SeasonFile) -> None:
    understood = preview(file, [HEATH / "roads.osm"])
    roads = understood.after.season.roads
    assert roads is not None
    (roads_path(file.path, roads) / "in the way").mkdir(parents=True)
    with pytest.raises(SeasonFileError, match="make room, and import again"):
        accept(file, understood)
    assert file.season() == SEASON


def test_that_two_road_maps_are_one_too_many(file: SeasonFile, inbox: Path) -> None:
    for name in ("north.osm", "south.osm"):
        shutil.copy(HEATH / "roads.osm", inbox / name)
    understood = preview(file, [inbox])
    assert [(fault.source, fault.expected) for fault in understood.faults] == [("north.osm, south.osm", "one road map")]


def test_that_conditions_of_evenings_are_taken_too(file: SeasonFile, inbox: Path) -> None:
    (path,) = write(inbox, weather="date,wind\n2027-06-02,12 km/h\n")
    understood = preview(file, [path])
    assert understood.faults == ()
    assert accept(file, understood)
    assert [one.date.day for one in file.conditions()] == [2]


def test_that_a_route_of_a_table_without_points_says_so(file: SeasonFile, inbox: Path) -> None:
    dates = "volunteer,from,to,parts\nV1,2027-06-01,2027-06-02,dusk\nV9,2027-06-01,2027-06-02,dusk\n"
    understood = preview(file, write(inbox, routes="route,name\nR4,Far Lane\n", people=VOLUNTEERS, dates=dates))
    assert said(named(understood, "routes.csv").items) == [("R4 Far Lane", "new", "no points yet")]
    assert said(named(understood, "dates.csv").items)[1] == ("V9 Nora Quill", "new", "")


def test_that_what_differs_of_a_volunteer_is_named() -> None:
    one = SEASON.volunteers[0]
    other = replace(one, home=Place(50.0, -4.0), drive_limit_minutes=30.0, availability=free(3))
    after = replace(SEASON, volunteers=(other, *SEASON.volunteers[1:]))
    item, same = volunteer_items(SEASON, after, ["V1", "V2"])
    assert (same.change, same.what) == (Change.SAME, "")
    assert (item.change, item.what) == (Change.CHANGED, "home, drive limit and dates")
    assert [item.change for item in volunteer_items(SEASON, None, ["V1", "V2"])] == [Change.REFUSED] * 2
    assert [item.change for item in route_items(SEASON, SEASON, ["R1", "R9"])] == [Change.SAME, Change.REFUSED]
