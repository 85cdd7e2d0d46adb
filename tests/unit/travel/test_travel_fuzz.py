"""Real road files damaged at random are read or refused, and never break the program; seeds are fixed."""

from __future__ import annotations

import bz2
import random
import zlib
from collections.abc import Callable, Iterable
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import cast

import osmium
import pytest

from planner.domain.errors import InputError
from planner.travel import RoadNetwork
from tests.unit.travel.pbf_parts import pbf_frame
from tests.unit.travel.real_extracts import Extract, real_extract
from tests.unit.travel.road_maps import RESIDENTIAL, osm_text, row

_ENDINGS = (".osm", ".osm.bz2", ".osm.pbf")


def _town(folder: Path, ending: str) -> bytes:
    """Return part of a real town, in one of the three kinds of file: its main roads and their restrictions."""
    path = folder / f"town{ending}"
    needed: set[int] = set()
    kept = []
    ways = osmium.FileProcessor(str(real_extract(Extract.TOWN)), osmium.osm.WAY)
    for way in cast("Iterable[osmium.osm.Way]", ways):
        if way.tags.get("highway") in {"motorway", "primary", "secondary"}:
            refs = [node.ref for node in way.nodes]
            needed.update(refs)
            kept.append((way.id, refs, [(tag.k, tag.v) for tag in way.tags]))
    with osmium.SimpleWriter(str(path), overwrite=True) as writer:
        for node in osmium.FileProcessor(str(real_extract(Extract.TOWN)), osmium.osm.NODE):
            if node.id in needed:
                writer.add_node(node)
        for number, refs, tags in kept:
            writer.add_way(osmium.osm.mutable.Way(id=number, nodes=refs, tags=tags))
        for number, (one, other) in enumerate(pairwise(kept), start=1):
            members = [("w", one[0], "from"), ("n", one[1][-1], "via"), ("w", other[0], "to")]
            tags = [("type", "restriction"), ("restriction", "no_left_turn")]
            writer.add_relation(osmium.osm.mutable.Relation(id=number, members=members, tags=tags))
    return path.read_bytes()


def _invented(folder: Path, ending: str) -> bytes:
    text = osm_text(row(6), [([1, 2, 3], RESIDENTIAL), ([3, 4, 5, 6], {"highway": "primary", "maxspeed": "40 mph"})])
    path = folder / f"invented{ending}"
    plain = text.encode()
    if ending == ".osm.pbf":
        with osmium.SimpleWriter(str(path), overwrite=True) as writer:
            for entity in osmium.FileProcessor(osmium.io.FileBuffer(plain, "osm")):
                writer.add(entity)
        return path.read_bytes()
    return bz2.compress(plain) if ending == ".osm.bz2" else plain


def _damaged(whole: bytes, dice: random.Random) -> bytes:
    """Cut, change, leave out, double and swap bytes."""
    content = bytearray(whole)
    for _ in range(dice.choice((1, 1, 2, 4, 16))):
        at, length = dice.randrange(len(content)), dice.randrange(1, 40)
        kind = dice.randrange(5)
        if kind == 0:
            content[at] = dice.randrange(256)
        elif kind == 1:
            content[at] ^= 1 << dice.randrange(8)
        elif kind == 2:
            del content[at : at + length]
        elif kind == 3:
            content[at:at] = content[at : at + length]
        else:
            content[at : at + 8] = dice.choice((b"\xff", b"\x00", b"9", b"<")) * 8
        content = content or bytearray(b"x")
    return bytes(content[: dice.randrange(len(content))] if dice.random() < 0.1 else content)


def _read_all(damaged: Callable[[random.Random], bytes], path: Path, cases: int, seed: int) -> tuple[int, int]:
    """Read so many damaged files and return how many were read and how many refused."""
    dice = random.Random(seed)
    read = refused = 0
    for _ in range(cases):
        path.write_bytes(damaged(dice))
        try:
            edges = RoadNetwork.read(path).roads.edge_count
        except InputError:
            refused += 1
        else:
            read += edges > 0
    return read, refused


def _parts(whole: bytes) -> list[tuple[bytes, bytes]]:
    """Return the parts of a PBF file that osmium wrote: the kind of each, and what it holds once unpacked."""
    parts = []
    while whole:
        length = int.from_bytes(whole[:4], "big")
        header, rest = whole[4 : 4 + length], whole[4 + length :]
        kind = header[2 : 2 + header[1]]
        size = _number(header[2 + len(kind) + 1 :])
        parts.append((kind, zlib.decompress(rest[rest.index(b"\x78", 3) : size])))
        whole = rest[size:]
    return parts


def _number(varint: bytes) -> int:
    value = 0
    for place, byte in enumerate(varint):
        value |= (byte & 0x7F) << 7 * place
        if byte < 0x80:
            break
    return value


def _damaged_inside(parts: list[tuple[bytes, bytes]], dice: random.Random) -> bytes:
    """Return a PBF file whose frames are whole and of which one part is damaged before it is packed."""
    chosen = dice.randrange(len(parts))
    return b"".join(
        pbf_frame(kind, held := _damaged(content, dice) if number == chosen else content, len(held))
        for number, (kind, content) in enumerate(parts)
    )


@pytest.mark.parametrize("ending", _ENDINGS)
def test_that_an_invented_map_damaged_at_random_is_read_or_refused(tmp_path: Path, ending: str) -> None:
    whole = _invented(tmp_path, ending)
    read, refused = _read_all(partial(_damaged, whole), tmp_path / f"damaged{ending}", 120, seed=1)
    assert refused > 20
    assert read + refused == 120


def test_that_a_pbf_damaged_before_it_was_packed_is_read_or_refused(tmp_path: Path) -> None:
    parts = _parts(_invented(tmp_path, ".osm.pbf"))
    read, refused = _read_all(partial(_damaged_inside, parts), tmp_path / "damaged.osm.pbf", 200, seed=3)
    assert read > 10
    assert refused > 50
    assert read + refused == 200


@pytest.mark.fuzz
@pytest.mark.timeout(1800)
@pytest.mark.parametrize("ending", _ENDINGS)
def test_that_thousands_of_damaged_real_maps_are_read_or_refused(tmp_path: Path, ending: str) -> None:
    whole = _town(tmp_path, ending)
    read, refused = _read_all(partial(_damaged, whole), tmp_path / f"damaged{ending}", 4000, seed=2)
    assert refused > 400
    assert read + refused == 4000


@pytest.mark.fuzz
@pytest.mark.timeout(1800)
def test_that_thousands_of_real_maps_damaged_before_they_were_packed_are_read_or_refused(tmp_path: Path) -> None:
    parts = _parts(_town(tmp_path, ".osm.pbf"))
    read, refused = _read_all(partial(_damaged_inside, parts), tmp_path / "damaged.osm.pbf", 4000, seed=4)
    assert read > 400
    assert refused > 400
    assert read + refused == 4000
