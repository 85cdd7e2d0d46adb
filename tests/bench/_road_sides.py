"""The sides of the benchmark of roads, each a function that can run in a process of its own, for its memory's sake."""

from __future__ import annotations

import resource
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeAlias, TypeVar

import networkx as nx
import numpy as np
import numpy.typing as npt

from planner.travel import RoadNetwork
from tests.bench._grids import GridMap

Floats: TypeAlias = npt.NDArray[np.float64]
Figures: TypeAlias = dict[str, float]
_T = TypeVar("_T")

_SNAPPED = 3_000
_CACHE = "grid.npz"


def read(folder: Path, path: Path) -> Figures:
    """Read an extract, and keep the network in the folder for the other sides."""
    before_mb = peak_mb()
    network, clock, processor = timed(lambda: RoadNetwork.read(path))
    figures = {"read_seconds": clock, "read_cpu_seconds": processor, "read_mb": peak_mb() - before_mb}
    both_ways = np.stack([network.roads.forward_seconds, network.roads.backward_seconds])
    network.save(folder / _CACHE)
    return figures | {"directed_edges": int(np.isfinite(both_ways).sum()), "junctions": network.roads.node_count}


def load(folder: Path) -> Figures:
    """Take the network from where it is kept."""
    _, clock, processor = timed(lambda: RoadNetwork.load(folder / _CACHE))
    return {"cache_seconds": clock, "cache_cpu_seconds": processor}


def table(folder: Path, places: Floats, limit_minutes: float | None) -> tuple[Floats, Figures]:
    """Find the minutes between all pairs of places on the network kept: at first, and once more."""
    network = RoadNetwork.load(folder / _CACHE)
    _, snapper, snapper_cpu = timed(lambda: network.snap(places[:1]))
    strewn = np.resize(places, (_SNAPPED, 2)) + np.random.default_rng(5).uniform(-5e-4, 5e-4, (_SNAPPED, 2))
    _, snap_seconds, snap_cpu = timed(lambda: network.snap(strewn))
    first, first_cpu = timed(lambda: network.minutes(places, places, limit_minutes=limit_minutes))[1:]
    minutes, again, again_cpu = timed(lambda: network.minutes(places, places, limit_minutes=limit_minutes))
    return minutes, {
        "first_total_seconds": snapper + first,
        "first_total_cpu_seconds": snapper_cpu + first_cpu,
        "first_seconds": first,
        "first_cpu_seconds": first_cpu,
        "seconds": again,
        "cpu_seconds": again_cpu,
        "peak_mb": peak_mb(),
        "snapper_seconds": snapper,
        "snap_seconds": snap_seconds,
        "snap_cpu_seconds": snap_cpu,
    }


def reference(grid: GridMap, roads: npt.NDArray[np.int64], sources: int) -> tuple[Floats, Figures]:
    """Find some rows of the table of minutes by networkx, each terminal a node of its own."""
    graph, bends = grid.graph(roads), grid.bends[roads]
    lengths, clock, processor = timed(
        lambda: [
            nx.single_source_dijkstra_path_length(graph, source, weight="seconds")
            for source in bends[:sources].tolist()
        ]
    )
    minutes = np.array([[one[end] / 60 for end in bends.tolist()] for one in lengths])
    return minutes, {"reference_seconds": clock, "reference_cpu_seconds": processor, "reference_mb": peak_mb()}


def timed(work: Callable[[], _T]) -> tuple[_T, float, float]:
    """Return what work gives, with the clock's and the processor's seconds."""
    start, start_cpu = time.perf_counter(), time.process_time()
    done = work()
    return done, time.perf_counter() - start, time.process_time() - start_cpu


def peak_mb() -> float:
    """Return the most memory that this process has had, in millions of bytes."""
    status = Path("/proc/self/status")
    if status.exists():
        # What getrusage says of a new process counts the one that started it.
        return (
            next(int(line.split()[1]) for line in status.read_text().splitlines() if line.startswith("VmHWM")) * 1024e-6
        )
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * (1e-6 if sys.platform == "darwin" else 1024e-6)
