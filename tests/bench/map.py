"""Frames of the map with a big season, pushed and zoomed by a real mouse, beside a plain scene of Qt's."""

from __future__ import annotations

import argparse
import os
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QEvent, QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QMouseEvent, QPainter, QPen, QWheelEvent
from PySide6.QtWidgets import QApplication, QGraphicsItem, QGraphicsScene, QGraphicsView, QWidget

from planner.desktop.look.colours import LIGHT
from planner.desktop.map import MapView
from planner.desktop.map.drawing import lines_path
from planner.domain.geo import Place
from planner.domain.route import Point, Route
from planner.travel import RoadNetwork
from planner.travel.road_arrays import RoadArrays
from tests.bench._grids import GridMap, grid_map

POINTS = 11
STEP_DEG = 0.012
FRAME_MS = 16.7
"""Sixty frames a second."""
KINDS = ("primary", "secondary", "tertiary", "unclassified", "residential", "track")


def big_network(edges: int, seed: int) -> RoadNetwork:
    """Return a network with so many edges (both directions are one), each with a bend."""
    grid = grid_map(2 * edges, seed)
    count = min(edges, len(grid.starts))
    return RoadNetwork(_arrays(grid, count), attribution="Invented map, no real place", content_hash="0" * 64)


def _arrays(grid: GridMap, count: int) -> RoadArrays:
    corners = np.column_stack([grid.starts, grid.bends, grid.ends])[:count]
    geometry = grid.places[corners.ravel()]
    metres = np.full(count, 500.0)
    return RoadArrays(
        node_latitudes=grid.places[: grid.junctions, 0].copy(),
        node_longitudes=grid.places[: grid.junctions, 1].copy(),
        tails=grid.starts[:count].copy(),
        heads=grid.ends[:count].copy(),
        metres=metres,
        forward_seconds=metres / 10.0,
        backward_seconds=metres / 10.0,
        geometry_starts=np.arange(count + 1, dtype=np.int64) * 3,
        geometry_latitudes=geometry[:, 0].copy(),
        geometry_longitudes=geometry[:, 1].copy(),
        kind_numbers=grid.kinds[:count].copy(),
        name_numbers=np.arange(count, dtype=np.int64) // 5,
        kinds=KINDS,
        names=tuple(f"Lane {number}" for number in range(count // 5 + 1)),
    )


def big_routes(count: int, network: RoadNetwork, seed: int) -> list[Route]:
    """Return routes of eleven points each, strewn over the roads."""
    dice = np.random.default_rng([seed, 2])
    roads = network.roads
    starts = dice.choice(roads.node_count, count)
    turns = dice.uniform(0, 2 * np.pi, (count, 1)) + np.cumsum(dice.normal(0, 0.5, (count, POINTS)), axis=1)
    north = np.cumsum(np.sin(turns) * STEP_DEG * 0.6, axis=1) + roads.node_latitudes[starts][:, None]
    east = np.cumsum(np.cos(turns) * STEP_DEG, axis=1) + roads.node_longitudes[starts][:, None]
    return [_route(number, north[number], east[number]) for number in range(count)]


def _route(number: int, north: npt.NDArray[np.float64], east: npt.NDArray[np.float64]) -> Route:
    places = zip(north.tolist(), east.tolist(), strict=True)
    points = tuple(Point(place, Place(*where)) for place, where in enumerate(places, start=1))
    return Route(f"R{number:04d}", "Heath and common", points)


@dataclass(frozen=True, slots=True)
class Journey:
    """Milliseconds that the interface was busy at a stretch."""

    frames: list[float]
    """From an event of the mouse until the window is painted and the program waits again."""
    worked: list[float]
    """Of that, what the processor worked for it: the same on a machine that is busy otherwise."""
    pauses: list[float]
    """At a time, between them."""


def run(arguments: list[str]) -> dict[str, object]:
    """Push and zoom the map of a big season and measure every frame, from the mouse's event to the painted window.

    A frame is the event and the painting, with what the map does at once after it; ``p95_ms`` is over all frames of a
    journey that zooms from the whole season into single points, pushes about at six sizes, and back. ``ratio`` says
    how many times as long a plain QGraphicsView with the same roads and points takes for a frame, on ``scene_edges``
    roads only.

    Args:
        arguments: ``--edges N``; ``--routes N``; ``--scene-edges N``; ``--seed N``; ``--pause-ms N``, from one event to
            the next at most.
    """
    parser = argparse.ArgumentParser(prog="map")
    parser.add_argument("--edges", type=int, default=500_000)
    parser.add_argument("--routes", type=int, default=1_000)
    parser.add_argument("--scene-edges", type=int, default=50_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--pause-ms", type=float, default=FRAME_MS)
    options = parser.parse_args(arguments)
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    app = QApplication.instance() or QApplication([])
    network = big_network(options.edges, options.seed)
    routes = big_routes(options.routes, network, options.seed)
    view, ready_seconds, longest_ms = _big_map(network, routes)
    journey = _journey(view, lambda: view.is_settled, options.pause_ms)
    view.close()
    scene = _PlainScene(big_network(options.scene_edges, options.seed), routes)
    plain = _journey(scene, lambda: True, options.pause_ms, few=True)
    scene.close()
    frames = journey.frames
    p95, plain_p95 = (float(np.percentile(times, 95)) for times in (frames, plain.frames))
    del app
    return {
        "edges": network.roads.edge_count,
        "points": sum(len(route.points) for route in routes),
        "ready_seconds": round(ready_seconds, 2),
        "longest_wait_while_preparing_ms": round(longest_ms, 1),
        "frames": len(frames),
        "median_ms": round(float(np.median(frames)), 2),
        "p95_ms": round(p95, 2),
        "p95_worked_ms": round(float(np.percentile(journey.worked, 95)), 2),
        "worst_ms": round(max(frames), 2),
        "worst_worked_ms": round(max(journey.worked), 2),
        "worst_pause_ms": round(max(journey.pauses, default=0.0), 2),
        "within_60_a_second": p95 <= FRAME_MS,
        "scene_p95_ms": round(plain_p95, 2),
        "ratio": round(plain_p95 / p95, 1),
    }


def _big_map(network: RoadNetwork, routes: Sequence[Route]) -> tuple[MapView, float, float]:
    """Return the map once all is prepared, the seconds that took, and the longest the interface waited meanwhile."""
    view = MapView(LIGHT)
    view.resize(1280, 800)
    view.show()
    begun = time.perf_counter()
    longest = 0.0
    view.show_routes(routes, 400.0)
    view.show_roads(network)
    while True:
        turn = time.perf_counter()
        QApplication.processEvents()
        longest = max(longest, (time.perf_counter() - turn) * 1000.0)
        if view.is_settled:
            return view, time.perf_counter() - begun, longest


class _PlainScene(QGraphicsView):
    """The same things as one would hang them into Qt's scene: a path a kind of road, a disc a point."""

    def __init__(self, network: RoadNetwork, routes: Sequence[Route]) -> None:
        super().__init__()
        self.things = QGraphicsScene(self)
        self._hang_roads(network)
        self._hang_points(routes)
        self.setScene(self.things)
        self.setRenderHint(QPainter.RenderHint.Antialiasing)
        self.setDragMode(QGraphicsView.DragMode.ScrollHandDrag)
        self.setTransformationAnchor(QGraphicsView.ViewportAnchor.AnchorUnderMouse)
        self.resize(1280, 800)
        self.show()
        self.fitInView(self.things.sceneRect(), Qt.AspectRatioMode.KeepAspectRatio)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom as the map does."""
        size = 2.0 ** (event.angleDelta().y() / 120 / 4)
        self.scale(size, size)

    def _hang_roads(self, network: RoadNetwork) -> None:
        roads = network.roads
        for kind in range(len(KINDS)):
            chosen = np.flatnonzero(roads.kind_numbers == kind)
            corners = (roads.geometry_starts[chosen][:, None] + np.arange(3)).ravel()
            counts = np.full(len(chosen), 3, dtype=np.int64)
            pen = QPen(QColor("gray"), 1.0)
            pen.setCosmetic(True)
            path = lines_path(roads.geometry_longitudes[corners], -roads.geometry_latitudes[corners], counts)
            self.things.addPath(path, pen)

    def _hang_points(self, routes: Sequence[Route]) -> None:
        for point in (point for route in routes for point in route.points):
            disc = self.things.addEllipse(QRectF(-9, -9, 18, 18), QPen(QColor("purple")), QBrush(QColor("white")))
            disc.setFlag(QGraphicsItem.GraphicsItemFlag.ItemIgnoresTransformations)
            disc.setPos(point.place.longitude, -point.place.latitude)


def _journey(widget: QWidget, settled: Callable[[], bool], pause_ms: float, *, few: bool = False) -> Journey:
    """Take the widget through a journey with the mouse."""
    target = widget.viewport() if isinstance(widget, QGraphicsView) else widget
    journey = Journey([], [], [])
    for event in _events(target, pushes=3 if few else 40, notches=1 if few else 10):
        begun, worked = time.perf_counter(), time.thread_time()
        QApplication.sendEvent(target, event)
        target.repaint()
        QApplication.processEvents()
        journey.frames.append((time.perf_counter() - begun) * 1000.0)
        journey.worked.append((time.thread_time() - worked) * 1000.0)
        # As long as a person takes to the next event, the map may go on with what it does in the pauses.
        while not settled() and time.perf_counter() - begun < pause_ms / 1000.0:
            turn = time.perf_counter()
            QApplication.processEvents()
            journey.pauses.append((time.perf_counter() - turn) * 1000.0)
    return journey


def _events(target: QWidget, pushes: int, notches: int) -> Iterator[QEvent]:
    middle = QPointF(target.width() * 0.55, target.height() * 0.45)
    for direction in (1, 1, 1, 1, -1, -1):
        for _ in range(notches):
            yield _wheel(target, middle, direction)
        yield from _push(target, middle, pushes)


def _push(target: QWidget, middle: QPointF, pushes: int) -> Iterator[QEvent]:
    yield _mouse(target, QEvent.Type.MouseButtonPress, middle)
    for place in range(pushes):
        turn = 2 * np.pi * place / pushes
        yield _mouse(target, QEvent.Type.MouseMove, middle + QPointF(320 * np.sin(turn), 200 * np.sin(2 * turn)))
    yield _mouse(target, QEvent.Type.MouseButtonRelease, middle)


def _mouse(target: QWidget, kind: QEvent.Type, spot: QPointF) -> QMouseEvent:
    button = Qt.MouseButton.NoButton if kind is QEvent.Type.MouseMove else Qt.MouseButton.LeftButton
    held = Qt.MouseButton.NoButton if kind is QEvent.Type.MouseButtonRelease else Qt.MouseButton.LeftButton
    return QMouseEvent(kind, spot, target.mapToGlobal(spot), button, held, Qt.KeyboardModifier.NoModifier)


def _wheel(target: QWidget, spot: QPointF, direction: int) -> QWheelEvent:
    return QWheelEvent(
        spot,
        target.mapToGlobal(spot),
        QPoint(),
        QPoint(0, 120 * direction),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,  # turned the usual way; Qt knows no keyword for it here
    )
