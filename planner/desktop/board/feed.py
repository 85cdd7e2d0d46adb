"""Keeps the board's model in step with the open season."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from planner.desktop.board.lines import BoardSources, Fold, lines_of
from planner.desktop.board.model import BoardModel
from planner.desktop.desk import Desk
from planner.domain.finding import Finding
from planner.domain.plan import Plan
from planner.usecases.plan.board_light import DatesWithout, MoonNight, dates_without, moon_nights
from planner.usecases.routes.areas import areas_of

if TYPE_CHECKING:
    import datetime as dt


@dataclass(frozen=True, slots=True)
class _Sky:
    moon: Mapping[dt.date, MoonNight]
    without: DatesWithout


class BoardFeed(QObject):
    """Hands the model what the session holds, as soon as it is there: the plan at once, light and findings after."""

    def __init__(self, desk: Desk, model: BoardModel) -> None:
        super().__init__(model)
        self._desk = desk
        self._model = model
        self._sources = BoardSources(desk.session.snapshot.season, desk.session.snapshot.plan)
        desk.session.snapshot_changed.connect(self._plan)
        desk.session.problem_changed.connect(self._light)
        desk.session.checked_changed.connect(self._check)
        self._check()
        if desk.session.problem is not None:
            self._light()

    @property
    def sources(self) -> BoardSources:
        """What the model is shown."""
        return self._sources

    def gather(self, fold: Fold) -> None:
        """Gather the routes in groups, all of them open."""
        if fold is self._sources.fold and not self._sources.folded:
            return
        self._show(replace(self._sources, fold=fold, folded=frozenset()))

    def toggle(self, group: str) -> None:
        """Fold a group away, or open it again."""
        self._show(replace(self._sources, folded=self._sources.folded ^ {group}))

    def preview(self, after: Plan | None) -> None:
        """Show how visits would stand in another plan; None: no more."""
        self._show(replace(self._sources, after=after))

    def unfold(self, route: str) -> None:
        """Open the group that hides a route."""
        lines = lines_of(replace(self._sources, folded=frozenset()))
        groups = {line.group for line in lines if line.route is not None and line.route.code == route}
        self._show(replace(self._sources, folded=self._sources.folded - groups))

    def _show(self, sources: BoardSources) -> None:
        same = sources.season.routes is self._sources.season.routes and self._sources.areas
        if sources.fold is Fold.AREA and not same:
            sources = replace(sources, areas=areas_of(sources.season.routes))
        self._sources = replace(sources, today=self._desk.today())
        self._model.show(self._sources)

    def _plan(self) -> None:
        snapshot = self._desk.session.snapshot
        self._show(replace(self._sources, season=snapshot.season, plan=snapshot.plan))

    def _check(self) -> None:
        self._show(replace(self._sources, findings=self._findings()))

    def _findings(self) -> tuple[Finding, ...]:
        checked = self._desk.session.checked
        return checked.findings if checked is not None else ()

    def _light(self) -> None:
        problem = self._desk.session.problem
        if problem is None:
            return

        def look() -> _Sky:
            return _Sky(moon_nights(problem.season), dates_without(problem))

        self._desk.session.think(look, self._sky, topic="board sky", owner=self)

    def _sky(self, sky: _Sky) -> None:
        self._show(replace(self._sources, without=sky.without.by_route))
        self._model.show_sky(sky.moon, sky.without.nowhere, sky.without.why)
