"""Importers of other distributions: a real one is laid on the path, as an installer would."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from planner.domain.geo import Place
from planner.exchange import Choices, RoutesRead, SourceKind, importers, recognise
from planner.usecases.importing.reading_sources import read_sources
from tests.unit.exchange.samples import faults_of, write

PLUG_IN = """
from planner.domain.geo import Place
from planner.exchange import Origin, PointRow, Reading, RoutesRead, SourceKind

class Importer:
    kind, words, endings = SourceKind.OTHER, "points of a marker wheel", (".wheel",)
    def recognises(self, head):
        return "it begins with WHEEL" if head.data.startswith(b"WHEEL") else ""
    def read(self, path, choices):
        rows = [line.split() for line in path.read_text().splitlines()[1:]]
        points = (PointRow(Origin(str(path), f"line {n + 1}"), row[0], n, Place(float(row[1]), float(row[2])))
                  for n, row in enumerate(rows, start=1))
        return Reading(RoutesRead(str(path), tuple(points)))
"""
WHEEL = "WHEEL 1\nR01 50.1 -1.9\nR01 50.2 -1.8\n"


def install(folder: Path, module: str, text: str, points: str) -> None:
    """Lay a distribution into a folder: its module, and the metadata an installer writes."""
    (folder / f"{module}.py").write_text(text, encoding="utf-8")
    metadata = folder / f"{module}-1.0.dist-info"
    metadata.mkdir()
    (metadata / "METADATA").write_text(f"Metadata-Version: 2.1\nName: {module}\nVersion: 1.0\n", encoding="utf-8")
    (metadata / "entry_points.txt").write_text(f"[dimpsy.importers]\n{points}\n", encoding="utf-8")


@pytest.fixture
def site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """Return a folder on the path, whose modules are forgotten afterwards."""
    folder = tmp_path / "site"
    folder.mkdir()
    monkeypatch.syspath_prepend(str(folder))
    before = set(sys.modules)
    yield folder
    for name in set(sys.modules) - before:
        del sys.modules[name]


def test_that_a_plug_in_of_ten_lines_reads_its_files(site: Path, tmp_path: Path) -> None:
    install(site, "marker_wheel", PLUG_IN, "wheel = marker_wheel:Importer")
    inbox = tmp_path / "inbox"
    inbox.mkdir()
    path = write(inbox / "a.wheel", WHEEL)
    found = recognise(path)
    assert (found.kind, found.words, found.reason) == (
        SourceKind.OTHER,
        "points of a marker wheel",
        "it begins with WHEEL",
    )
    assert found.importer is not None
    read = found.importer.read(path, Choices()).read
    assert isinstance(read, RoutesRead)
    assert [(row.route, row.number, row.place) for row in read.points] == [
        ("R01", 1, Place(50.1, -1.9)),
        ("R01", 2, Place(50.2, -1.8)),
    ]
    write(inbox / "unknown.bin", "x")
    (source,) = read_sources([inbox]).sources
    assert source.path == path


def test_that_a_plug_in_is_asked_before_our_own_importers(site: Path, tmp_path: Path) -> None:
    eager = PLUG_IN.replace('return "it begins with WHEEL" if head.data.startswith(b"WHEEL") else ""', 'return "mine"')
    install(site, "eager", eager, "eager = eager:Importer")
    assert recognise(write(tmp_path / "p.csv", "route,point,latitude,longitude\n")).kind is SourceKind.OTHER


@pytest.mark.parametrize(
    ("text", "point"),
    [
        (PLUG_IN, "broken = broken:Missing"),
        ("1 / 0", "broken = broken:Importer"),
        (PLUG_IN.replace("return Reading", "1 / 0 #"), "broken = broken:Importer"),
        (
            PLUG_IN.replace('return "it', 'raise KeyError("it').replace('WHEEL" if', 'WHEEL") if'),
            "broken = broken:Importer",
        ),
    ],
)
def test_that_a_plug_in_that_fails_is_named_and_nothing_else_fails(
    site: Path, tmp_path: Path, text: str, point: str
) -> None:
    install(site, "broken", text, point)
    path = write(tmp_path / "a.wheel", WHEEL)
    (source,) = read_sources([path]).sources
    (fault,) = source.faults
    assert fault.expected == "the plug-in 'broken' to do its work"
    assert "Mend or remove" in fault.todo
    if point.endswith("Missing"):
        assert recognise(write(tmp_path / "p.csv", "route,point,latitude,longitude\n")).kind is SourceKind.POINTS


def test_that_without_plug_ins_nothing_is_plugged_in(tmp_path: Path) -> None:
    assert SourceKind.OTHER not in {importer.kind for importer in importers()}
    faults_of(recognise, write(tmp_path / "a.wheel", WHEEL))


@pytest.mark.parametrize(
    ("method", "wrong"),
    [
        ("read", "return None"),
        ("read", 'return "rows"'),
        ("read", "return Reading(None)"),
        ("read", 'return Reading("rows")'),
        ("read", "return Reading(None, None)"),
        ("read", 'return Reading(None, faults=("bad",))'),
        ("read", "raise SystemExit(3)"),
        ("recognises", "return 7"),
        ("recognises", "raise SystemExit(3)"),
    ],
)
def test_that_what_a_plug_in_returns_or_does_wrong_is_told_as_its_own(
    site: Path, tmp_path: Path, method: str, wrong: str
) -> None:
    text = PLUG_IN.replace(f"    def {method}(", f"    def {method}(self, *_):\n        {wrong}\n    def other(")
    install(site, "wrong_one", text, "wrong = wrong_one:Importer")
    (source,) = read_sources([write(tmp_path / "a.wheel", WHEEL)]).sources
    assert [(fault.expected, source.read) for fault in source.faults] == [("the plug-in 'wrong' to do its work", None)]


@pytest.mark.parametrize("said", ['7, "words", (".w",)', "SourceKind.OTHER, None, ()", 'SourceKind.OTHER, "w", (1,)'])
def test_that_a_plug_in_that_says_nonsense_of_itself_stands_in_nobody_s_way(
    site: Path, tmp_path: Path, said: str
) -> None:
    text = PLUG_IN.replace('SourceKind.OTHER, "points of a marker wheel", (".wheel",)', said)
    install(site, "nonsense", text, "nonsense = nonsense:Importer")
    write(tmp_path / "p.csv", "route,point,latitude,longitude\nR01,1,50.1,-1.9\n")
    (source,) = read_sources([tmp_path / "p.csv"]).sources
    assert not source.faults
    assert any(one.words == "a file for a plug-in that cannot be loaded" for one in importers())
