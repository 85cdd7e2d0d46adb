import random
import zipfile
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from planner.domain.errors import InputError
from planner.travel import RoadNetwork
from tests.unit.travel.planar_maps import planar_map
from tests.unit.travel.road_maps import RESIDENTIAL, row, write_osm


@pytest.fixture
def saved(tmp_path: Path) -> Path:
    ways = [([1, 2], {**RESIDENTIAL, "name": "Snäll väg"}), ([2, 3], {"highway": "track"})]
    network = RoadNetwork.read(write_osm(tmp_path / "map.osm", row(3), ways), attribution="Invented © map")
    network.save(tmp_path / "roads.npz")
    return tmp_path / "roads.npz"


def test_that_a_saved_network_comes_back_the_same(tmp_path: Path) -> None:
    planar = planar_map(2, junctions=30, oneway_share=0.2)
    network = planar.network(tmp_path)
    network.save(tmp_path / "roads.npz")
    again = RoadNetwork.load(str(tmp_path / "roads.npz"))
    places = [planar.place(road, 0.5) for road in range(8)]
    assert (again.minutes(places, places) == network.minutes(places, places)).all()
    assert again.roads_within(49, 9, 51, 11) == network.roads_within(49, 9, 51, 11)
    assert again.content_hash == network.content_hash
    assert again.snap(places) == network.snap(places)


def test_that_names_and_attribution_come_back_in_their_letters(saved: Path) -> None:
    again = RoadNetwork.load(saved)
    assert [road.name for road in again.roads_within(49, 9, 51, 11)] == ["Snäll väg", ""]
    assert again.attribution == "Invented © map"


def test_that_a_name_with_a_line_break_does_not_shift_the_others(tmp_path: Path) -> None:
    path = write_osm(
        tmp_path / "map.osm",
        row(3),
        [([1, 2], {**RESIDENTIAL, "name": "A\nB"}), ([2, 3], {**RESIDENTIAL, "name": "C"})],
    )
    network = RoadNetwork.read(path)
    network.save(tmp_path / "roads.npz")
    names = [road.name for road in RoadNetwork.load(tmp_path / "roads.npz").roads_within(49, 9, 51, 11)]
    assert names == ["A B", "C"]


def test_that_saving_replaces_the_file_and_leaves_nothing_beside_it(saved: Path) -> None:
    network = RoadNetwork.load(saved)
    network.save(saved)
    assert sorted(path.name for path in saved.parent.iterdir()) == ["map.osm", "roads.npz"]


def test_that_a_save_that_fails_leaves_the_old_file_and_nothing_beside_it(saved: Path) -> None:
    network = RoadNetwork.load(saved)
    target = saved.parent / "taken"
    target.mkdir()
    with pytest.raises(OSError):  # noqa: PT011  # the message is the system's
        network.save(target)
    assert sorted(path.name for path in saved.parent.iterdir()) == ["map.osm", "roads.npz", "taken"]
    with pytest.raises(FileNotFoundError):
        network.save(saved.parent / "nowhere" / "roads.npz")


def _rewritten(saved: Path, **changes: Any) -> Path:  # noqa: ANN401  # arrays and None alike
    with np.load(saved) as file:
        arrays = {name: file[name] for name in file.files}
    arrays.update(changes)
    np.savez(saved, **{name: array for name, array in arrays.items() if array is not None})
    return saved


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"layout": None}, "found none"),
        ({"layout": np.array(99)}, "layout 99"),
        ({"layout": np.array([1])}, "layout"),
        ({"tails": None}, "no 'tails'"),
        ({"names": None}, "no 'names'"),
        ({"tails": np.zeros(2)}, "'tails' of another type"),
        ({"tails": np.zeros((2, 1), dtype=np.int64)}, "'tails' of another type"),
        ({"tails": np.array([0, 77])}, "out of range in 'tails'"),
        ({"heads": np.array([0, -1])}, "out of range in 'heads'"),
        ({"kind_numbers": np.array([0, 2])}, "out of range in 'kind_numbers'"),
        ({"name_numbers": np.array([0, 9])}, "out of range in 'name_numbers'"),
        ({"metres": np.zeros(5)}, "do not belong together"),
        ({"geometry_starts": np.array([0, 3, 4])}, "do not belong together"),
        ({"geometry_starts": np.array([0, 2, 99])}, "do not belong together"),
        ({"node_longitudes": np.zeros(9)}, "do not belong together"),
        ({"flags": np.zeros(1, dtype=np.uint8)}, "do not belong together"),
        ({"cap_kmh": np.zeros(3)}, "do not belong together"),
        ({"banned_starts": np.zeros(0, dtype=np.int64)}, "do not belong together"),
        ({"banned_starts": np.array([0, 1]), "banned_arcs": np.array([0])}, "do not belong together"),
        ({"banned_starts": np.array([0, 2]), "banned_arcs": np.array([0, 4])}, "out of range in 'banned_arcs'"),
        ({"closed_starts": np.array([0, 2])}, "do not belong together"),
        ({"attribution": np.array([0xFF, 0xFE], dtype=np.uint8)}, "utf-8"),
        ({"tails": np.array([{}, {}])}, "allow_pickle"),
    ],
)
def test_that_a_file_whose_arrays_do_not_fit_is_refused(saved: Path, changes: dict[str, Any], said: str) -> None:
    with pytest.raises(InputError, match=said):
        RoadNetwork.load(_rewritten(saved, **changes))


def test_that_a_file_of_no_edges_is_refused(saved: Path) -> None:
    nothing = np.zeros(0)
    none = np.zeros(0, dtype=np.int64)
    changes = {
        **dict.fromkeys(("tails", "heads", "kind_numbers", "name_numbers"), none),
        **dict.fromkeys(("metres", "forward_seconds", "backward_seconds"), nothing),
        **dict.fromkeys(("forward_limit_kmh", "backward_limit_kmh", "cap_kmh"), nothing),
        "flags": np.zeros(0, dtype=np.uint8),
        **dict.fromkeys(("geometry_latitudes", "geometry_longitudes"), nothing),
        "geometry_starts": np.array([0]),
    }
    with pytest.raises(InputError, match="do not belong together"):
        RoadNetwork.load(_rewritten(saved, **changes))


@pytest.mark.parametrize("content", [b"", b"PK\x03\x04", b"not an archive", b"\x93NUMPY"])
def test_that_another_file_is_refused(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "roads.npz"
    path.write_bytes(content)
    with pytest.raises(InputError, match="Read the roads again"):
        RoadNetwork.load(path)


def test_that_a_bare_array_is_refused(tmp_path: Path) -> None:
    with (tmp_path / "roads.npz").open("wb") as file:
        np.save(file, np.zeros(3))
    with pytest.raises(InputError, match="Read the roads again"):
        RoadNetwork.load(tmp_path / "roads.npz")


def test_that_a_missing_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="No such file"):
        RoadNetwork.load(tmp_path / "roads.npz")


def test_that_a_damaged_file_is_read_or_refused_but_never_breaks(saved: Path) -> None:
    whole = saved.read_bytes()
    dice = random.Random(5)
    refused = 0
    for _ in range(300):
        content = bytearray(whole[: dice.randrange(len(whole))] if dice.random() < 0.3 else whole)
        for _ in range(dice.randrange(1, 4) if content else 0):
            content[dice.randrange(len(content))] = dice.randrange(256)
        saved.write_bytes(content)
        try:
            RoadNetwork.load(saved)
        except InputError:
            refused += 1
    assert refused > 150


@pytest.mark.parametrize(
    ("name", "figure"),
    [
        *(("forward_seconds", figure) for figure in (np.nan, -1.0)),
        *(("metres", figure) for figure in (np.nan, -1.0, np.inf)),
        *(("node_latitudes", figure) for figure in (np.nan, 90.1)),
        *(("geometry_longitudes", figure) for figure in (np.nan, 1e12)),
        ("cap_kmh", -1.0),
        ("forward_limit_kmh", -1.0),
    ],
)
def test_that_figures_that_no_road_has_are_refused(saved: Path, name: str, figure: float) -> None:
    with np.load(saved) as file:
        arrays = dict(file)
    np.savez(saved, **{**arrays, name: np.full(len(arrays[name]), figure)})
    with pytest.raises(InputError) as caught:
        RoadNetwork.load(saved)
    assert caught.value.faults[0].found == f"figures out of range in '{name}'"


def test_that_a_file_packed_to_swell_is_refused_unread(saved: Path) -> None:
    with zipfile.ZipFile(saved, "a", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("more.npy", bytes(50_000_000))
    with pytest.raises(InputError) as caught:
        RoadNetwork.load(saved)
    assert "arrays of 50," in caught.value.faults[0].found
