"""Reading a road network and the drive minutes between many places on it, beside networkx's Dijkstra."""

from __future__ import annotations

import argparse
import multiprocessing
import tempfile
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import ParamSpec, TypeVar

import numpy as np
import numpy.typing as npt

from tests.bench import _road_sides as sides
from tests.bench._grids import grid_map, inner_roads

_T = TypeVar("_T")
_P = ParamSpec("_P")

_APART_FROM = 20_000
"""Directed edges from which each side has a process of its own: below, memory is that of the libraries anyhow."""


def run(arguments: list[str]) -> dict[str, object]:
    """Read a generated network and find the minutes between all pairs of terminals, then some rows by networkx.

    Each side runs in a process of its own. ``first_total_seconds`` is the table of minutes from a network that was just
    loaded, with all that is made when first asked for; ``first_seconds`` leaves out the steps between junctions and the
    search for roads near places; ``seconds`` is the same table again; ``limited_…`` with a drive limit. ``cpu`` marks
    seconds of the processor.
    Ratios say how many times as long networkx takes for as many rows, in seconds of the processor.

    Args:
        arguments: ``--edges N``, directed edges; ``--terminals N``; ``--sources N``, terminals from which networkx
            searches too; ``--limit MINUTES``; ``--seed N``.
    """
    options = _parser().parse_args(arguments)
    grid = grid_map(options.edges, options.seed)
    roads = _terminal_roads(inner_roads(grid), options.terminals, options.seed)
    places = grid.places[grid.bends[roads]]
    side = _in_a_process if options.edges >= _APART_FROM else _here
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        path = grid.write(folder)
        file_mb = path.stat().st_size / 1e6
        figures = side(sides.read, folder, path) | side(sides.load, folder)
        minutes, whole = side(sides.table, folder, places, None)
        limited_minutes, limited = side(sides.table, folder, places, options.limit)
    expected, reference = side(sides.reference, grid, roads, options.sources)
    row = reference["reference_cpu_seconds"] / options.sources * len(places)
    return {
        **_shown(figures),
        "file_mb": round(file_mb, 1),
        "read_edges_per_second": round(figures["directed_edges"] / figures["read_cpu_seconds"]),
        "read_bytes_per_edge": round(figures["read_mb"] * 1e6 / figures["directed_edges"]),
        "cache_ratio": round(figures["read_cpu_seconds"] / figures["cache_cpu_seconds"], 1),
        "terminals": len(places),
        **_shown(whole),
        "limit_minutes": options.limit,
        **_shown({f"limited_{key}": value for key, value in limited.items() if "snap" not in key}),
        "reference_sources": options.sources,
        **_shown(reference),
        "first_ratio": round(row / whole["first_cpu_seconds"], 1),
        "ratio": round(row / whole["cpu_seconds"], 1),
        "largest_difference_minutes": _largest(minutes, expected),
        "limited_largest_difference_minutes": _largest(
            limited_minutes, np.where(expected <= options.limit, expected, np.inf)
        ),
    }


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="roads")
    parser.add_argument("--edges", type=int, default=200_000)
    parser.add_argument("--terminals", type=int, default=2_450, help="200 routes of 11 points and 250 homes")
    parser.add_argument("--sources", type=int, default=4)
    parser.add_argument("--limit", type=float, default=45.0, help="the usual drive limit of a volunteer")
    parser.add_argument("--seed", type=int, default=1)
    return parser


def _in_a_process(work: Callable[_P, _T], *arguments: _P.args, **named: _P.kwargs) -> _T:
    with ProcessPoolExecutor(1, mp_context=multiprocessing.get_context("spawn")) as pool:
        return pool.submit(work, *arguments, **named).result()


def _here(work: Callable[_P, _T], *arguments: _P.args, **named: _P.kwargs) -> _T:
    return work(*arguments, **named)


def _terminal_roads(roads: npt.NDArray[np.int64], count: int, seed: int) -> npt.NDArray[np.int64]:
    """Return random ones of the roads, each once; fewer on a small map."""
    chosen = np.random.default_rng([seed, 1]).choice(roads, min(count, len(roads)), replace=False)
    return np.asarray(chosen, dtype=np.int64)


def _largest(minutes: npt.NDArray[np.float64], expected: npt.NDArray[np.float64]) -> float:
    """Return the largest difference in the rows that were both found; inf where one side alone finds a way."""
    found = minutes[: len(expected)]
    same = found == expected
    return float(np.where(same, 0.0, np.abs(np.where(same, 0.0, found) - np.where(same, 0.0, expected))).max())


def _shown(figures: sides.Figures) -> dict[str, float]:
    return {key: round(value) if key.endswith("mb") else round(value, 3) for key, value in figures.items()}
