"""A road map is parsed once: the same content again, or for another season in the folder, comes from what was kept."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from planner.domain.errors import ImpossibleError, InputError
from planner.store import SeasonFile
from planner.travel import RoadNetwork
from planner.usecases.importing.preview import accept, preview
from planner.usecases.season.kept_roads import roads_of_file
from planner.usecases.season.opening import road_network, whole_road_network
from tests.unit.store.season_strategies import SMALL_SEASON
from tests.unit.travel.road_maps import RESIDENTIAL, row, write_osm


@pytest.fixture
def source(tmp_path: Path) -> Path:
    (tmp_path / "downloads").mkdir()
    return write_osm(tmp_path / "downloads" / "lanes.osm", row(4), [([1, 2, 3], RESIDENTIAL), ([3, 4], RESIDENTIAL)])


@pytest.fixture
def season(tmp_path: Path, source: Path) -> Path:
    return _with_roads(tmp_path / "moths.dimpsy", source)


def _with_roads(path: Path, source: Path) -> Path:
    with SeasonFile.create(path, SMALL_SEASON) as file:
        accept(file, preview(file, [source]))
    return path


def _kept(folder: Path) -> list[str]:
    return sorted(path.name.partition(".")[0] for path in folder.glob("*.npz"))


def test_that_the_same_content_under_another_name_is_not_parsed_again(season: Path, source: Path) -> None:
    other = source.with_name("same.osm")
    other.write_bytes(source.read_bytes())
    network, said = roads_of_file(other, folder=season.parent)
    assert network.loaded_from is not None
    assert network.loaded_from.parent == season.parent
    assert said.startswith("it was read before, and is taken from moths.roads-")
    fresh = RoadNetwork.read(source)
    np.testing.assert_array_equal(network.roads.forward_seconds, fresh.roads.forward_seconds)
    assert network.roads.notes == fresh.roads.notes


def test_that_importing_the_same_map_again_changes_nothing_and_says_why(season: Path, source: Path) -> None:
    with SeasonFile.open(season) as file:
        understood = preview(file, [source])
        assert not understood.changes
        (said,) = understood.sources
        assert "it was read before, and is taken from moths.roads-" in said.reason
        assert not said.understood.doubts


def test_that_another_season_in_the_folder_gets_a_copy_of_its_own(season: Path, source: Path) -> None:
    other = _with_roads(season.with_name("owls.dimpsy"), source)
    assert _kept(season.parent) == ["moths", "owls"]
    with SeasonFile.open(other) as file:
        network = road_network(file.path, file.season().roads)
    assert network is not None
    assert network.loaded_from is not None
    assert network.loaded_from.name.startswith("owls.")


def test_that_roads_are_loaded_once_for_all_that_ask_until_their_file_is_another(season: Path) -> None:
    with SeasonFile.open(season) as file:
        roads = file.season().roads
    network = road_network(season, roads)
    assert network is not None
    assert road_network(season, roads) is network
    (kept,) = season.parent.glob("*.npz")
    network.save(kept)
    anew = road_network(season, roads)
    assert anew is not None
    assert anew is not network
    kept.unlink()
    assert road_network(season, roads) is None


def test_that_changed_content_is_parsed(season: Path, source: Path) -> None:
    write_osm(source, row(3), [([1, 2, 3], RESIDENTIAL)])
    network, said = roads_of_file(source, folder=season.parent)
    assert (network.loaded_from, said) == (None, "")


def test_that_whom_the_map_is_owed_to_is_not_taken_from_before(season: Path, source: Path) -> None:
    network, _ = roads_of_file(source, attribution="An invented map", folder=season.parent)
    assert (network.loaded_from, network.attribution) == (None, "An invented map")


def test_that_a_damaged_file_is_said_read_anew_and_mended_by_importing_again(season: Path, source: Path) -> None:
    (kept,) = season.parent.glob("*.npz")
    whole = kept.read_bytes()
    kept.write_bytes(whole[: len(whole) // 2])
    with SeasonFile.open(season) as file:
        assert road_network(file.path, file.season().roads) is None
        understood = preview(file, [source])
        (said,) = understood.sources
        assert "is damaged" in said.understood.doubts[0].what
        assert accept(file, understood)
        assert [step.label for step in file.history()] == ["Import lanes.osm"]
        assert road_network(file.path, file.season().roads) is not None


def test_that_a_map_kept_by_an_older_version_is_not_called_gone(season: Path, source: Path) -> None:
    (kept,) = season.parent.glob("*.npz")
    with np.load(kept) as file:
        arrays = {**file, "layout": np.array(1)}
    np.savez(kept, **arrays)
    with SeasonFile.open(season) as file:
        with pytest.raises(ImpossibleError, match="kept by another version of the program"):
            whole_road_network(file.path, file.season().roads)
        assert accept(file, preview(file, [source]))
        assert whole_road_network(file.path, file.season().roads) is not None


def test_that_a_file_that_is_not_there_is_refused_as_ever(season: Path) -> None:
    with pytest.raises(InputError, match="No such file"):
        roads_of_file(season.with_name("nowhere.osm"), folder=season.parent)
