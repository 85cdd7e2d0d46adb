"""What the page of habitat shows: mean cover of classes by route and visit, all routes together first."""

from __future__ import annotations

from planner.desktop.reports import fills
from planner.desktop.reports.bars import Bar, Part, Plot, Row
from planner.desktop.reports.figures_model import Figure
from planner.desktop.reports.figures_page import Content
from planner.desktop.reports.words import tr
from planner.domain.reports.habitat_summary import ClassCover, HabitatReport, RouteHabitat
from planner.domain.reports.season_report import SeasonReport

_LEAST_CHANGE = 0.05
"""A mean that moved by less did not change, to one digit."""


def habitat_content(report: SeasonReport, titles: dict[str, str]) -> Content:
    """Return the mean cover of classes by route and visit.

    Args:
        report: the figures.
        titles: of routes, by code.
    """
    habitat = report.habitat
    if habitat is None:
        return Content(tr("The protocol estimates no habitat."))
    if not habitat.routes:
        return Content(tr("No habitat sheet is handed in yet."))
    points = sum(one.points for one in habitat.whole)
    said = tr("Mean cover over %1 estimates at points, of sheets handed in, by route and visit.", points)
    about = tr("Bars end with the class that covers most. Change is that of the mean since the visit before.")
    every = (*habitat.whole, *habitat.routes)
    seen = {cover.code for one in every for cover in one.covers if cover.mean > 0.0}
    between = tr("%1 to %2")
    rows = [
        _figures(_title(one, titles), one, cover, between)
        for one in every
        for cover in one.covers
        if cover.code in seen
    ]
    return Content(said, about, _plot(habitat, titles, seen), rows)


def _title(one: RouteHabitat, titles: dict[str, str]) -> str:
    return titles.get(one.route, one.route) or tr("All routes")


def _plot(habitat: HabitatReport, titles: dict[str, str], seen: set[str]) -> Plot:
    places = {code: place for place, (code, _) in enumerate(habitat.classes)}
    legend = [(f"{code} {name}", fills.class_fill(places[code])) for code, name in habitat.classes if code in seen]
    groups: dict[str, list[Bar]] = {}
    for one in (*habitat.whole, *habitat.routes):
        parts = (Part(cover.mean / 100.0, fills.class_fill(places[cover.code]), cover.code) for cover in one.covers)
        groups.setdefault(_title(one, titles), []).append(Bar(tuple(parts), one.dominant, str(one.visit)))
    return Plot(tuple(Row(title, tuple(bars)) for title, bars in groups.items()), tuple(legend))


def _figures(title: str, one: RouteHabitat, cover: ClassCover, between: str) -> tuple[Figure, ...]:
    return (
        Figure(title),
        Figure(str(one.visit), float(one.visit)),
        Figure(cover.code),
        Figure(f"{cover.mean:.1f}", cover.mean),
        Figure(between.replace("%1", f"{cover.least:.0f}").replace("%2", f"{cover.most:.0f}"), cover.least),
        _maybe(cover.change, "+.1f" if abs(cover.change or 0.0) >= _LEAST_CHANGE else "z.0f"),
        Figure(str(one.points), float(one.points)),
        _maybe(one.grazed_mean, ".0f"),
        _maybe(one.livestock, ".0f"),
    )


def _maybe(value: float | None, form: str) -> Figure:
    return Figure("", 0.0) if value is None else Figure(format(value, form), value)
