"""Knows what recorded drives came to as things stand; computed when somebody looks, off the screen's thread."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QObject, Signal

from planner.desktop.desk import Desk
from planner.domain.errors import DimpsyError
from planner.domain.field.visit_record import VisitRecord
from planner.domain.plan import Plan
from planner.scheduling import SeasonProblem
from planner.travel import RoadNetwork
from planner.usecases.calibrating import Calibrated, calibration
from planner.usecases.paper.print_facts import is_of
from planner.usecases.season.opening import roads_gone
from planner.usecases.season.snapshot import Snapshot


@dataclass(frozen=True, slots=True, eq=False)
class _Ground:
    """What the figures rest on; the same objects give the same figures."""

    problem: SeasonProblem
    plan: Plan
    records: tuple[VisitRecord, ...]

    def same(self, other: _Ground | None) -> bool:
        return other is not None and all(
            getattr(self, name) is getattr(other, name) for name in ("problem", "plan", "records")
        )


class DrivesWatch(QObject):
    """The newest figures, and whether they are those of the season as it stands."""

    changed = Signal()

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._wanted: _Ground | None = None
        self._of: _Ground | None = None
        self.found: Calibrated | None = None
        """None: not known yet, or it cannot be told."""
        self.obstacle = ""
        """Why it cannot be told; empty where it can."""

    @property
    def fresh(self) -> bool:
        """Whether the figures are those of the season as it stands."""
        ground = self._ground()
        return self.found is not None and ground is not None and ground.same(self._of)

    def want(self) -> None:
        """Compute the figures unless that is done, or under way."""
        ground = self._ground()
        if ground is None or ground.same(self._wanted):
            return
        self._wanted = ground
        session = self._desk.session
        snapshot, network = session.snapshot, session.network

        def done(found: Calibrated) -> None:
            self.found, self._of, self.obstacle = found, ground, ""
            self.changed.emit()

        def failed(error: DimpsyError) -> None:
            self.found, self._of, self.obstacle = None, None, str(error)
            self.changed.emit()

        session.think(lambda: _calibrated(ground, snapshot, network), done, topic="drives", owner=self, failed=failed)

    def _ground(self) -> _Ground | None:
        """Return what figures are to rest on; None while light and drives of the season are being computed."""
        session = self._desk.session
        snapshot, problem = session.snapshot, session.problem
        if problem is None or not is_of(problem, snapshot.season):
            return None
        return _Ground(problem, snapshot.plan, snapshot.records)


def _calibrated(ground: _Ground, snapshot: Snapshot, network: RoadNetwork | None) -> Calibrated:
    """Return the figures; estimates in place of roads that have gone would be taken for what was recorded."""
    roads = snapshot.season.roads
    if roads is not None and (network is None or network.content_hash != roads.content_hash):
        raise roads_gone(snapshot.path, roads)
    return calibration(ground.problem, ground.plan, network, ground.records)
