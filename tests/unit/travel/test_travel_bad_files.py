import bz2
import gzip
import os
import random
from pathlib import Path

import numpy as np
import osmium
import pytest

from planner.domain.errors import InputError
from planner.travel import RoadNetwork
from planner.travel.osm.road_nodes import _read_by_table, _read_one_by_one
from tests.unit.travel.pbf_parts import pbf_frame
from tests.unit.travel.road_maps import RESIDENTIAL, Node, osm_text, row, write_osm

GOOD = osm_text(row(3), [([1, 2, 3], RESIDENTIAL)]).encode()


PBF_HEAD = pbf_frame(b"OSMHeader", b"\x22\x0eOsmSchema-V0.6\x22\x0aDenseNodes", 28)


def _refusal(path: Path, content: bytes | None) -> str:
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(InputError) as refused:
        RoadNetwork.read(path)
    (fault,) = refused.value.faults
    assert fault.source == str(path)
    assert fault.expected
    assert fault.found
    assert fault.todo
    return str(fault)


def _swapped(old: bytes, new: bytes) -> bytes:
    assert old in GOOD
    return GOOD.replace(old, new)


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("a.osm", None, "No such file"),
        ("a.osm", b"", "an empty file"),
        ("a.osm.pbf", b"", "an empty file"),
        ("a.osm.bz2", b"", "an empty file"),
        ("a.osm", b"  \n", "no element"),
        ("a.osm", b"\x00\xff\x01" * 50, "no element"),
        ("a.osm", b"\xff\xfe<\x00?\x00x\x00m\x00l\x00", "no element"),
        ("a.osm", b"<gpx></gpx>", "<gpx></gpx>"),
        ("a.osm", b"<osmChange></osmChange>", "<osmChange>"),
        ("a.osm", b"<!-- <osm> never ends", "no element"),
        ("a.osm", GOOD[:-30], "XML parsing error"),
        ("a.osm", _swapped(b'lat="50.0"', b'lat="nan"'), "wrong format"),
        ("a.osm", _swapped(b'<nd ref="1"/>', b'<nd ref="one"/>'), "illegal id"),
        ("a.osm", _swapped(b"<way ", b"<deep>" * 5000 + b"<way "), "nested too deep"),
        ("a.osm", GOOD + GOOD, "junk after document"),
        ("a.osm.pbf", GOOD, "other bytes"),
        ("a.osm.bz2", GOOD, "Invalid data stream"),
        ("a.osm.bz2", bz2.compress(GOOD)[:-10], "ended before"),
        ("a.osm.bz2", bz2.compress(b"<gpx/>"), "<gpx/>"),
        ("a.gpx", GOOD, "'.gpx'"),
        ("a.osm.gz", gzip.compress(GOOD), "packed with gzip"),
        ("a.osm", gzip.compress(GOOD), "packed with gzip"),
        ("a.osm.bz2", bz2.compress(GOOD[:200]) + bz2.compress(b" " * 8_000_000) * 9, "times as large as the file"),
        ("a.osm.pbf", PBF_HEAD + pbf_frame(b"OSMData", b"", 30_000_000) * 3, "times as large as the file"),
        (
            "a.osm.pbf",
            PBF_HEAD + pbf_frame(b"OSMData", b"", 30_000_000, size_last=True) * 3,
            "times as large as the file",
        ),
        ("a.osm.pbf", PBF_HEAD + b"\x00\x00\xff", "its end"),
        ("a.osm.pbf", PBF_HEAD + b"\xff\xff\xff\xff" + b"x" * 99, "other bytes"),
        ("a.osm.pbf", PBF_HEAD + pbf_frame(b"OSMData", b"x" * 999, 999)[:-5], "the end of the file after"),
        ("a.osm", b'<osm version="0.6"></osm>', "found none"),
        ("a.osm", _swapped(b'"residential"', b'"footway"'), "1 ways tagged highway, none of them open"),
        ("a.osm", _swapped(b'lat="50.0"', b'lat="95.0"'), "nodes have no position"),
    ],
)
def test_that_a_file_without_usable_roads_is_refused_with_the_reason(
    tmp_path: Path, name: str, content: bytes | None, said: str
) -> None:
    assert said in _refusal(tmp_path / name, content)


@pytest.mark.parametrize("name", ["a.osm", "a.osm.bz2", "a.osm.pbf"])
def test_that_a_pipe_is_refused_unopened(tmp_path: Path, name: str) -> None:
    os.mkfifo(tmp_path / name)
    assert "a device or a pipe" in _refusal(tmp_path / name, None)


def test_that_a_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a.osm").mkdir()
    _refusal(tmp_path / "a.osm", None)


BOMB = b'<!DOCTYPE osm [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]>\n'


@pytest.mark.parametrize(
    "prolog", [b"", b"\xef\xbb\xbf", b"<?xml version='1.0'?>\n", b"<!-- <osm> -->\n<?x y?>\n", b"\n"]
)
@pytest.mark.parametrize("doctype", [BOMB, BOMB.replace(b"DOCTYPE", b"doctype")])
def test_that_xml_with_a_doctype_never_reaches_the_parser(tmp_path: Path, prolog: bytes, doctype: bytes) -> None:
    body = GOOD.partition(b"\n")[2]
    assert "a DOCTYPE" in _refusal(tmp_path / "a.osm", prolog + doctype + body)
    assert "a DOCTYPE" in _refusal(tmp_path / "a.osm.bz2", bz2.compress(prolog + doctype + body))


def test_that_the_line_of_the_doctype_is_named(tmp_path: Path) -> None:
    content = b"<?xml version='1.0'?>\n<!-- two\nlines -->\n" + BOMB + GOOD.partition(b"\n")[2]
    assert ", line 4:" in _refusal(tmp_path / "a.osm", content)


def test_that_a_byte_order_mark_and_comments_before_the_root_do_no_harm(tmp_path: Path) -> None:
    path = tmp_path / "a.osm"
    path.write_bytes(b"\xef\xbb\xbf" + GOOD.replace(b"<osm ", b"<!-- made by hand --><osm "))
    assert RoadNetwork.read(path).roads.edge_count == 1


def _pbf(folder: Path) -> bytes:
    plain, binary = folder / "whole.osm", folder / "whole.osm.pbf"
    plain.write_bytes(GOOD)
    with osmium.SimpleWriter(str(binary)) as writer:
        for entity in osmium.FileProcessor(str(plain)):
            writer.add(entity)
    return binary.read_bytes()


def test_that_a_pbf_cut_anywhere_but_between_its_parts_says_where_it_ends(tmp_path: Path) -> None:
    whole = _pbf(tmp_path)
    path = tmp_path / "cut.osm.pbf"
    ends = {0}
    said = 0
    while (begin := max(ends)) < len(whole):
        length = int.from_bytes(whole[begin : begin + 4], "big")
        size = whole.index(b"\x18", begin + 4, begin + 4 + length)
        blob = whole[size + 1] if whole[size + 1] < 0x80 else whole[size + 1] - 0x80 + whole[size + 2] * 0x80
        ends.add(begin + 4 + length + blob)
    for cut in range(20, len(whole)):
        said += "end" in _refusal(path, whole[:cut]) if cut not in ends else 0
    assert said == len([cut for cut in range(20, len(whole)) if cut not in ends])


def test_that_both_ways_to_find_nodes_find_the_same(tmp_path: Path) -> None:
    nodes: dict[int, Node] = {**row(6), 3: (50.0, 10.02, {"barrier": "bollard"}), 5: (95.0, 10.0), 6: (50.1, 10.0)}
    nodes = dict(sorted(nodes.items(), reverse=True))
    path = write_osm(tmp_path / "nodes.osm", nodes, [([1, 2, 3], RESIDENTIAL)])
    ids = np.array([1, 3, 5, 6, 99])
    one, other = (read(path, ids, fords_open=False) for read in (_read_by_table, _read_one_by_one))
    np.testing.assert_array_equal(one.latitudes, other.latitudes)
    np.testing.assert_array_equal(one.longitudes, other.longitudes)
    assert one.located.tolist() == [True, True, False, True, False]
    assert one.shut.tolist() == other.shut.tolist() == [False, True, False, False, False]


@pytest.mark.parametrize("ending", [".osm", ".osm.bz2", ".osm.pbf"])
def test_that_a_file_cut_off_or_damaged_anywhere_is_read_or_refused_but_never_breaks(
    tmp_path: Path, ending: str
) -> None:
    whole = {".osm": GOOD, ".osm.bz2": bz2.compress(GOOD), ".osm.pbf": _pbf(tmp_path)}[ending]
    dice = random.Random(7)
    path = tmp_path / f"damaged{ending}"
    refused = 0
    for _ in range(100):
        content = bytearray(whole[: dice.randrange(len(whole))] if dice.random() < 0.5 else whole)
        for _ in range(dice.randrange(3) if content else 0):
            content[dice.randrange(len(content))] = dice.randrange(256)
        path.write_bytes(content)
        try:
            network = RoadNetwork.read(path)
        except InputError:
            refused += 1
        else:
            assert network.roads.edge_count >= 1
    assert refused > 50
