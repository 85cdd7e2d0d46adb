"""All tables that a season is given away in."""

from __future__ import annotations

from planner.domain.reports.driving_saved import BY_HAND_WORDS, COMPARED_WORDS
from planner.domain.reports.hours import Basis
from planner.domain.reports.season_report import SeasonReport
from planner.domain.reports.tables import Cell, Column, ColumnType, Table
from planner.usecases.reports import columns as col
from planner.usecases.reports.habitat_tables import (
    agreement_table,
    habitat_table,
    photos_table,
    points_table,
    sheets_table,
    summary_table,
)
from planner.usecases.reports.people_tables import hours_table, months_table
from planner.usecases.reports.visit_tables import (
    counts_table,
    evenings_table,
    lost_table,
    progress_table,
    visits_table,
    weather_table,
)
from planner.usecases.season.snapshot import Snapshot


def report_tables(report: SeasonReport, found: Snapshot, *, names: bool = False) -> tuple[Table, ...]:
    """Return every table; those about people come last.

    Args:
        report: the figures.
        found: the season file that they are of.
        names: whether people are named in their tables.
    """
    return (
        visits_table(report, found),
        progress_table(report),
        evenings_table(found),
        counts_table(found),
        weather_table(found),
        lost_table(report),
        chances_table(report),
        driving_table(report),
        figures_table(report),
        habitat_table(found),
        summary_table(report),
        agreement_table(found),
        sheets_table(found),
        photos_table(found),
        points_table(report, found),
        hours_table(report, found.season, names=names),
        months_table(report, found.season, names=names),
    )


def chances_table(report: SeasonReport) -> Table:
    """Return how likely the weather lets each route be completed, the weakest first."""
    chances = report.chances
    rows = [
        (one.route, round(one.complete, 4), one.weakest_visit, round(one.weakest, 4), one.whole, one.past_words)
        for one in (chances.routes if chances is not None else ())
    ]
    source = "computed from the plan, the light and the expected weather"
    made = (
        col.ROUTE,
        col.number("chance_complete", "probability that all visits are done", source, "0 to 1", most=1.0),
        col.count("weakest_visit", "visit that is least likely done", source, least=1.0),
        col.number("chance_weakest", "probability that this visit is done", source, "0 to 1", most=1.0),
        Column("every_visit_filled", ColumnType.BOOLEAN, "whether the plan fills every visit", source, required=True),
        col.code("past", "visits past and not done, and what is left for them", source, required=False),
    )
    return Table("chances", "one route, the weakest first", made, tuple(rows))


def driving_table(report: SeasonReport) -> Table:
    """Return the driving of the plan beside that by hand, by route."""
    rows = [
        (one.route, one.visits, round(one.plan_minutes, 1), round(one.hand_minutes, 1), round(one.saved_minutes, 1))
        for one in report.saved.routes
    ]
    source = "expected drive minutes"
    made = (
        col.ROUTE,
        col.count("visits", "visits that the plan and the hand both fill", "counted"),
        col.number("plan_minutes", f"driving of the plan on these visits. {COMPARED_WORDS}", source, "min"),
        col.number("hand_minutes", f"driving by hand on the same visits. {BY_HAND_WORDS}", source, "min"),
        col.number("saved_minutes", "what the plan saves; below 0 where it drives more", source, "min", least=None),
    )
    return Table("driving", "the driving to one route", made, tuple(rows))


def figures_table(report: SeasonReport) -> Table:
    """Return the figures of the whole season."""
    hours, saved, lost = report.hours, report.saved, report.lost
    rows: list[tuple[Cell, ...]] = [
        ("routes", report.routes, "routes", None),
        ("people out", hours.people, "people", None),
        ("hours recorded", round(hours.hours(Basis.RECORDED), 2), "h", None),
        ("hours done as planned", round(hours.hours(Basis.AS_PLANNED), 2), "h", None),
        ("hours to come", round(hours.hours(Basis.PLANNED), 2), "h", None),
        ("kilometres driven", round(hours.km(past=True), 1), "km", None),
        ("kilometres to come", round(hours.km(past=False), 1), "km", None),
        ("visits left with nobody", saved.visits - saved.filled[0], "visits", saved.visits - saved.filled[1]),
        ("driving on all visits filled", *_beside(saved.whole_minutes)),
        ("visits that both fill", saved.compared, "visits", saved.compared),
        ("driving on visits that both fill", *_beside((saved.plan_minutes, saved.hand_minutes))),
        *((one.what, round(one.plan, 2), "visits or routes", round(one.hand, 2)) for one in saved.beside),
        ("evenings lost or cut short, team by team", len(lost), "evenings", None),
    ]
    made = (
        col.code("figure", "what it is", "computed"),
        Column("value", ColumnType.NUMBER, "the figure of the plan as it stands", "computed", required=True),
        col.code("unit", "unit of the figure", "computed"),
        Column("by_hand", ColumnType.NUMBER, "the same of a plan made by hand, where that is compared", "computed"),
    )
    return Table("figures", "one figure of the whole season", made, tuple(rows))


def _beside(minutes: tuple[float, float]) -> tuple[Cell, ...]:
    plan, hand = minutes
    return round(plan, 1), "min", round(hand, 1)
