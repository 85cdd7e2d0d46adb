"""Damaged map files: whatever is done to them, they are read or refused, never anything else."""

from __future__ import annotations

import gc
import json
import random
import resource
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.errors import Fault, InputError
from planner.exchange import RouteFormat, read_tracks, route_files
from planner.exchange.importers import Choices
from planner.exchange.map_files.drawing import MOST_PLACES, PlaceCount
from planner.exchange.map_files.map_importers import MAP_IMPORTERS
from planner.exchange.recognise import recognise
from planner.exchange.safe_xml import LONGEST_TAG, LONGEST_TEXT
from tests.unit.exchange.map_samples import DIALECTS, GEOJSON, KML, kmz
from tests.unit.exchange.samples import GPX, route

_EXPORTED = [data for kind in RouteFormat for data in route_files(kind, "Heath", [route(), route("R02")]).values()]
SEEDS: Sequence[bytes] = (
    *DIALECTS.values(),
    GPX.encode(),
    KML.encode(),
    KML.encode("utf-16"),
    GEOJSON.encode(),
    kmz({"doc.kml": KML, "files/a.png": b"\x89PNG"}),
    *_EXPORTED,
)
TOKENS: Sequence[bytes] = (
    b"<!DOCTYPE a>",
    b"<![CDATA[",
    b"]]>",
    b"&#0;",
    b"&x;",
    b"\0",
    b"\xff\xfe",
    b"NaN",
    b"-1e999",
    b"9" * 400,
    b"[" * 200,
    b"{" * 200,
    b"<a>" * 70,
    b'"',
    b"\\ud800",
    b"<name>",
    b"</name>",
    b",",
    b"null",
    b"PK\x03\x04",
    b"PK\x01\x02",
    b"<coordinates>1,2 3,4</coordinates>",
    b"<time>9999-12-31T23:59:59-23:59</time>",
    b"<when>0001-01-01T00:00:00+23:59</when>",
)
CHOICES: Sequence[Choices] = (
    Choices(),
    Choices(route="R09", stops=True),
    Choices(swap=True, route="R09", number_by_order=True),
)


def _cut(dice: random.Random, data: bytes) -> bytes:
    return data[: dice.randrange(len(data) + 1)]


def _flip(dice: random.Random, data: bytes) -> bytes:
    changed = bytearray(data)
    for _ in range(dice.randint(1, 12)):
        if changed:
            changed[dice.randrange(len(changed))] = dice.randrange(256)
    return bytes(changed)


def _splice(dice: random.Random, data: bytes) -> bytes:
    other = dice.choice(SEEDS)
    start = dice.randrange(len(other))
    at = dice.randrange(len(data) + 1)
    return data[:at] + other[start : start + dice.randint(1, 400)] + data[at + dice.randint(0, 200) :]


def _put(dice: random.Random, data: bytes) -> bytes:
    at = dice.randrange(len(data) + 1)
    return data[:at] + dice.choice(TOKENS) + data[at:]


def _repeat(dice: random.Random, data: bytes) -> bytes:
    start = dice.randrange(len(data) + 1)
    piece = data[start : start + dice.randint(1, 60)]
    return data[:start] + piece * dice.randint(2, 60) + data[start:]


DAMAGES: Sequence[Callable[[random.Random, bytes], bytes]] = (_cut, _flip, _splice, _put, _repeat)


def damaged(seed: int) -> bytes:
    dice = random.Random(seed)
    data = dice.choice(SEEDS)
    for _ in range(dice.randint(1, 3)):
        data = dice.choice(DAMAGES)(dice, data)
    return data


def check(path: Path, data: bytes, choices: Choices) -> bool:
    """Read a file in every way there is; return whether anything of it could be read."""
    path.write_bytes(data)
    readers: list[Callable[[], object]] = [partial(recognise, path), partial(read_tracks, path)]
    readers += [partial(importer.read, path, choices) for importer in MAP_IMPORTERS]
    read = False
    for reader in readers:
        try:
            found = reader()
        except InputError as error:
            _complete(error.faults)
        else:
            faults = getattr(found, "faults", ())
            _complete(faults)
            read = read or not faults
    return read


def _complete(faults: Sequence[Fault]) -> None:
    for fault in faults:
        assert fault.source
        assert fault.expected
        assert fault.found
        assert fault.todo
        assert len(str(fault)) < 2000


def test_that_damaged_files_are_read_or_refused(tmp_path: Path) -> None:
    outcomes = {check(tmp_path / "x.kmz", damaged(seed), CHOICES[seed % 3]) for seed in range(150)}
    assert outcomes == {True, False}


@pytest.mark.fuzz
@pytest.mark.timeout(600)
def test_that_very_many_damaged_files_are_read_or_refused_in_bounded_memory(tmp_path: Path) -> None:
    check(tmp_path / "x.kmz", damaged(0), CHOICES[0])
    before_kb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    for seed in range(12_000):
        check(tmp_path / "x.kmz", damaged(seed), CHOICES[seed % 3])
        if seed % 100 == 0:
            gc.collect()  # Nothing else does while tests run.
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before_kb < 200_000


@settings(max_examples=20)
@given(st.data())
def test_that_whatever_stands_between_the_marks_is_read_or_refused(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    texts = st.text(st.characters(codec="utf-8"), max_size=30)
    name, figure, note = data.draw(texts), data.draw(texts | st.floats().map(str)), data.draw(texts)
    folder = tmp_path_factory.getbasetemp()
    body = f'<wpt lat="{figure}" lon="2"><name>{name}</name><desc><![CDATA[{note}]]></desc></wpt>'
    check(folder / "a.gpx", f'<gpx version="1.1">{body}</gpx>'.encode(), CHOICES[0])
    inside = f"<Placemark><name>{name}</name><description>{note}</description><Point><coordinates>{figure},1"
    check(folder / "a.kml", f"<kml>{inside}</coordinates></Point></Placemark></kml>".encode(), CHOICES[0])


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(
            st.sampled_from(
                ["type", "features", "geometry", "properties", "coordinates", "geometries", "crs", "route"]
            ),
            inner | st.sampled_from(["Feature", "FeatureCollection", "Point", "MultiPoint", "LineString", "R01-1"]),
            max_size=5,
        )
    ),
    max_leaves=12,
)


@settings(max_examples=20)
@given(JSON)
def test_that_any_json_is_read_or_refused(tmp_path_factory: pytest.TempPathFactory, value: object) -> None:

    whole = {"type": "FeatureCollection", "features": [{"type": "Feature", "geometry": value}, value]}
    for one in (value, whole):
        check(tmp_path_factory.getbasetemp() / "a.geojson", json.dumps(one).encode(), CHOICES[2])


WPT = '<gpx version="1.1">%s</gpx>'
TOO_MANY = "at most 400,000 points and lines in one file"
LINE = "<kml><Placemark><LineString><coordinates>%s</coordinates></LineString></Placemark></kml>"


@pytest.mark.parametrize(
    ("name", "text", "expected"),
    [
        ("a.gpx", WPT % f"<wpt><name>{'a ' * LONGEST_TEXT}</name></wpt>", "names and notes of a few words"),
        ("a.gpx", WPT % f"<wpt {' '.join(f'a{i}=' for i in range(LONGEST_TAG // 4))}/>", "marks of at most 1 MB each"),
        pytest.param("a.kml", LINE % ("1,2 " * (MOST_PLACES + 1)), TOO_MANY, marks=pytest.mark.fuzz),
        pytest.param("a.gpx", WPT % ("<wpt/>" * (MOST_PLACES + 1)), TOO_MANY, marks=pytest.mark.fuzz),
        pytest.param("a.gpx", WPT % ("<rte/>" * (MOST_PLACES + 1)), TOO_MANY, marks=pytest.mark.fuzz),
        pytest.param("a.kml", "<kml>" + "<Placemark/>" * (MOST_PLACES + 1), TOO_MANY, marks=pytest.mark.fuzz),
    ],
    ids=["a name", "attributes", "a line", "waypoints", "routes", "placemarks"],
)
def test_that_a_file_made_to_fill_the_memory_is_left_in_time(
    tmp_path: Path, name: str, text: str, expected: str
) -> None:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    importer = next(one for one in MAP_IMPORTERS if path.suffix in one.endings)
    with pytest.raises(InputError, match=expected):
        importer.read(path, CHOICES[0])


def test_that_one_point_more_than_the_most_is_refused(tmp_path: Path) -> None:
    count = PlaceCount(tmp_path / "a.gpx", MOST_PLACES - 1)
    count.add("line 7")
    with pytest.raises(InputError, match="line 8: expected at most 400,000 points"):
        count.add("line 8")
