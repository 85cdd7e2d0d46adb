"""Frames of the board with a big season while it is scrolled, beside a plain table of Qt's; and verdicts on a drag."""

from __future__ import annotations

import argparse
import datetime as dt
import os
import time
from dataclasses import replace

import numpy as np
from PySide6.QtWidgets import QAbstractItemView, QApplication, QScrollBar, QTableView

from planner.desktop.board.grid import BoardGrid
from planner.desktop.board.lines import BoardSources, Fold
from planner.desktop.board.model import BoardModel
from planner.desktop.look.colours import LIGHT
from planner.desktop.look.style import apply_look
from planner.domain.calendar import DateRange
from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.domain.protocol import Gap
from planner.domain.season import Season
from planner.scheduling import SeasonProblem, audit
from planner.usecases.plan.proposing import propose
from planner.usecases.routes.areas import areas_of
from tests.bench.programmes import Programme, generate
from tests.unit.scheduling.seasons import FIRST, days, problem, protocol, route, setup_rule, volunteer

FRAME_MS = 16.7
"""Sixty frames a second."""

_WIDTH, _HEIGHT = 1280, 800
_DRAGS = 60


def run(arguments: list[str]) -> dict[str, object]:
    """Scroll the board of a big season both ways and measure every frame, then judge visits that are moved.

    A frame is the scroll bars' step and the painting that follows, at once, of the board and its frozen edges; its
    milliseconds are those of the processor, which another program on the machine does not change, and ``wall_p95_ms``
    those of the clock. ``ratio`` says how many times as long a plain QTableView of the same model takes.
    ``step_to_screen_ms`` is the time until a plan with one visit changed is painted. ``verdict_p95_ms`` is the time
    for the verdict on one visit hung over a date, set-up and reserve date looked for anew; ``audit_ms`` that of a
    whole audit.

    Args:
        arguments: ``--routes N``; ``--days N``; ``--frames N``; ``--verdict-routes N``; ``--seed N``.
    """
    parser = argparse.ArgumentParser(prog="board")
    parser.add_argument("--routes", type=int, default=1_000)
    parser.add_argument("--days", type=int, default=90)
    parser.add_argument("--frames", type=int, default=240)
    parser.add_argument("--verdict-routes", type=int, default=1_000)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args(arguments)
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    app = QApplication.instance() or QApplication([])
    assert isinstance(app, QApplication)
    apply_look(app, LIGHT)
    programme = generate(options.routes, 0.6, options.seed)
    season, plan = big_season(programme, options.days, options.seed)
    refresh_ms = _refreshed(season, plan)
    board = _board_frames(season, plan, options.frames)
    plain = _table_frames(season, plan, options.frames)
    frames, walls = (np.array(times) for times in zip(*board, strict=True))
    p95, plain_p95 = float(np.percentile(frames, 95)), float(np.percentile([one[0] for one in plain], 95))
    verdicts, whole_ms = _verdicts(generate(options.verdict_routes, 0.6, options.seed), options.seed)
    return {
        "routes": len(season.routes),
        "days": len(season.dates),
        "visits": len(plan),
        "frames": len(frames),
        "p95_ms": round(p95, 2),
        "median_ms": round(float(np.median(frames)), 2),
        "longest_ms": round(float(frames.max()), 2),
        "wall_p95_ms": round(float(np.percentile(walls, 95)), 2),
        "within_a_frame": p95 <= FRAME_MS,
        "plain_table_p95_ms": round(plain_p95, 2),
        "ratio": round(plain_p95 / p95, 1),
        "step_to_screen_ms": round(refresh_ms, 1),
        "verdict_p95_ms": round(float(np.percentile(verdicts, 95)), 1),
        "verdict_longest_ms": round(max(verdicts), 1),
        "audit_ms": round(whole_ms, 1),
    }


def big_season(programme: Programme, length: int, seed: int) -> tuple[Season, Plan]:
    """Return a programme as a season with names and dates, and a plan that fills most of it, rules unheeded."""
    dice = np.random.default_rng([seed, 3])
    people = [volunteer(f"V{number:04d}") for number in range(len(programme.limit))]
    routes, visits = [], []
    for number, line in enumerate(programme.routes):
        code = f"R{number:04d}"
        ranges = [days(min(first, length - 1), min(last, length - 1)) for first, last, _ in line.visits[:2]]
        routes.append(route(code, visit_dates=tuple(enumerate(ranges, start=1))))
        visits += [_visit(dice, VisitKey(code, k), one, line.leads[0]) for k, one in enumerate(ranges, start=1)]
    season = Season("Big", protocol(gap=Gap(10), setup=setup_rule(7)), "UTC", days(0, length - 1), (days(0, 30),) * 2)
    return (
        replace(season, routes=tuple(routes), volunteers=tuple(people)),
        Plan(tuple(visit for visit in visits if visit is not None)),
    )


def _visit(dice: np.random.Generator, key: VisitKey, dates: DateRange, leads: np.ndarray) -> PlannedVisit | None:
    if not len(leads) or dice.random() < 0.05:
        return None
    date = dates.first + dt.timedelta(days=int(dice.integers(0, max(len(dates) - 5, 1))))
    return PlannedVisit(
        key,
        f"V{int(dice.choice(leads)):04d}",
        date,
        "dusk",
        reserve=date + dt.timedelta(days=int(dice.integers(1, 5))) if dice.random() < 0.9 else None,
        setup=date - dt.timedelta(days=int(dice.integers(0, 3))) if key.number == 1 else None,
        pinned=bool(dice.random() < 0.1),
    )


def _sources(season: Season, plan: Plan) -> BoardSources:
    """Return what the board shows: some dates without a window, a date of today."""
    without = {one.code: frozenset({FIRST + dt.timedelta(days=40 + n % 5)}) for n, one in enumerate(season.routes)}
    return BoardSources(
        season,
        plan,
        without=without,
        today=FIRST + dt.timedelta(days=20),
        fold=Fold.AREA,
        areas=areas_of(season.routes),
    )


def _board_frames(season: Season, plan: Plan, count: int) -> list[tuple[float, float]]:
    model = BoardModel()
    view = BoardGrid(model, LIGHT)
    model.show(_sources(season, plan))
    return _scrolled(view, count)


def _refreshed(season: Season, plan: Plan) -> float:
    """Return the milliseconds until the model shows a plan in which one visit is otherwise, painting included."""
    model = BoardModel()
    view = BoardGrid(model, LIGHT)
    model.show(_sources(season, plan))
    view.resize(_WIDTH, _HEIGHT)
    view.show()
    QApplication.processEvents()
    times = []
    for visit in plan.visits[:20]:
        began = time.thread_time()
        model.show(_sources(season, plan.with_visit(replace(visit, pinned=not visit.pinned))))
        QApplication.processEvents()
        times.append((time.thread_time() - began) * 1000)
    view.close()
    return float(np.percentile(times, 95))


def _table_frames(season: Season, plan: Plan, count: int) -> list[tuple[float, float]]:
    model = BoardModel()
    view = QTableView()
    view.setModel(model)
    model.show(_sources(season, plan))
    view.horizontalHeader().setDefaultSectionSize(32)
    return _scrolled(view, count)


def _scrolled(view: QAbstractItemView, count: int) -> list[tuple[float, float]]:
    """Scroll a view down, across, and both ways, and return the milliseconds of each frame."""
    view.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
    view.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
    view.resize(_WIDTH, _HEIGHT)
    view.show()
    QApplication.processEvents()
    down, across = view.verticalScrollBar(), view.horizontalScrollBar()
    third = count // 3
    places = [(n * 37 % max(down.maximum(), 1), 0) for n in range(third)]
    places += [(0, n * 23 % max(across.maximum(), 1)) for n in range(third)]
    places += [(down.maximum() - n * 61, n * 11) for n in range(third)]
    frames = [_frame(down, across, place) for place in places]
    view.close()
    return frames


def _frame(down: QScrollBar, across: QScrollBar, place: tuple[int, int]) -> tuple[float, float]:
    """Return the milliseconds of one frame, of the processor and of the clock."""
    busy, began = time.thread_time(), time.perf_counter()
    down.setValue(place[0])
    across.setValue(place[1])
    QApplication.processEvents()
    return (time.thread_time() - busy) * 1000, (time.perf_counter() - began) * 1000


def _verdicts(programme: Programme, seed: int) -> tuple[list[float], float]:
    """Return the milliseconds of verdicts on visits hung over other dates, and those of one whole audit."""
    season, plan = big_season(programme, 56, seed)
    whole = _with_light_and_drives(programme, season)
    began = time.thread_time()
    audit(whole, plan)
    audit_ms = (time.thread_time() - began) * 1000
    dice, times = np.random.default_rng([seed, 4]), []
    for visit in dice.choice(np.array(plan.visits, dtype=object), _DRAGS):
        date = FIRST + dt.timedelta(days=int(dice.integers(0, 55)))
        began = time.thread_time()
        propose(whole, plan, visit.key, date)
        times.append((time.thread_time() - began) * 1000)
    return times, audit_ms


def _with_light_and_drives(programme: Programme, season: Season) -> SeasonProblem:
    minutes = np.full(len(season.volunteers), 120.0)
    homes = {}
    for one, line in zip(season.routes, programme.routes, strict=True):
        own = minutes.copy()
        own[line.leads[0]] = line.leads[1]
        homes[one.code] = own.tolist()
    return problem(
        rules=season.protocol,
        visits=season.visits,
        length=len(season.dates),
        routes=season.routes,
        volunteers=season.volunteers,
        homes=homes,
    )
