"""Routes written as files: which, where, and what is refused."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from planner.domain.errors import ImpossibleError, InputError
from planner.domain.geo import Place
from planner.domain.route import Point, Route
from planner.store import SeasonFile
from planner.usecases.exporting import ALL_FORMATS, RouteFormat, export_routes
from tests.unit.exchange.samples import route, season


@pytest.fixture
def file(tmp_path: Path) -> Iterator[SeasonFile]:
    """Make a season of two routes with points and one without."""
    whole = season(routes=(route("R01"), route("R02", 50.8), Route("R 03/x", "Later", ())))
    with SeasonFile.create(tmp_path / "test heath.dimpsy", whole) as made:
        yield made


def _names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_that_a_route_without_points_is_said_not_to_be_in_gpx(file: SeasonFile, tmp_path: Path) -> None:
    exported = export_routes(file, tmp_path / "out")
    assert exported.notes[0] == "Not in the GPX file, because they have no points yet: route R 03/x."
    assert (exported.routes, exported.points) == (3, 16)
    assert [one.format for one in exported.files] == ["gpx", "geojson", "csv", "csv", "kml"]
    assert len(export_routes(file, tmp_path / "kml", [RouteFormat.KML]).notes) == 1


def test_that_files_of_chosen_routes_have_names_that_a_file_system_takes(file: SeasonFile, tmp_path: Path) -> None:
    export_routes(file, tmp_path / "out", [RouteFormat.GPX], ["R 03/x", "R01"])
    assert _names(tmp_path / "out") == ["test heath-R01-R 03x.gpx"]


def test_that_the_order_and_repeats_of_what_is_chosen_do_not_matter(file: SeasonFile, tmp_path: Path) -> None:
    one = export_routes(file, tmp_path / "a", [RouteFormat.GPX, RouteFormat.GPX], ["R02", "R01"])
    two = export_routes(file, tmp_path / "b", [RouteFormat.GPX], ["R02", "R01"])
    assert len(one.files) == len(two.files) == 1
    assert one.files[0].path.read_bytes() == two.files[0].path.read_bytes()


def test_that_the_season_file_stays_as_it_is(file: SeasonFile, tmp_path: Path) -> None:
    before = (file.season(), file.revision)
    export_routes(file, tmp_path / "out")
    assert (file.season(), file.revision) == before


def test_that_a_name_that_no_format_carries_is_refused_before_anything_is_written(
    file: SeasonFile, tmp_path: Path
) -> None:
    bad = Route("R04", "bell\x07", (Point(1, Place(50, -2)),))
    with file.step("Add a route"):
        file.save_season(replace(file.season(), routes=(*file.season().routes, bad)))
    with pytest.raises(InputError, match="U\\+0007"):
        export_routes(file, tmp_path / "out")
    assert not (tmp_path / "out").exists()
    assert len(export_routes(file, tmp_path / "out", ALL_FORMATS, ["R01"]).files) == 5


def test_that_a_folder_in_the_place_of_a_file_is_never_taken_for_one(file: SeasonFile, tmp_path: Path) -> None:
    taken = tmp_path / "out" / "test heath.gpx"
    taken.mkdir(parents=True)
    with pytest.raises(ImpossibleError, match="other content"):
        export_routes(file, tmp_path / "out")
    with pytest.raises(InputError, match="a file that can be written"):
        export_routes(file, tmp_path / "out", [RouteFormat.GPX], force=True)
    assert _names(tmp_path / "out") == ["test heath.gpx"]


def test_that_a_season_that_is_open_elsewhere_is_exported_too(file: SeasonFile, tmp_path: Path) -> None:
    with SeasonFile.open(file.path) as other:
        assert other.read_only_reason
        assert len(export_routes(other, tmp_path / "out").files) == 5
