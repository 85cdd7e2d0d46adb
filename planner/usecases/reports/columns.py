"""Columns that several tables of a report share."""

from __future__ import annotations

from collections.abc import Iterable

from planner.domain.reports.tables import Column, ColumnType

PLAN = "the plan"
RECORDS = "visit records"
SHEETS = "habitat sheets"
SEASON = "the season file"


def code(name: str, words: str, source: str = SEASON, *, required: bool = True) -> Column:
    """Return a column of codes or names."""
    return Column(name, ColumnType.STRING, words, source, required=required)


def one_of(name: str, words: str, allowed: Iterable[str], source: str, *, required: bool = True) -> Column:
    """Return a column that holds one of some words."""
    return Column(name, ColumnType.STRING, words, source, allowed=tuple(allowed), required=required)


def count(name: str, words: str, source: str, unit: str = "", *, least: float = 0.0, required: bool = True) -> Column:
    """Return a column of whole numbers."""
    return Column(name, ColumnType.INTEGER, words, source, unit=unit, least=least, required=required)


def number(
    name: str, words: str, source: str, unit: str, *, least: float | None = 0.0, most: float | None = None
) -> Column:
    """Return a column of figures, of which some may be empty."""
    return Column(name, ColumnType.NUMBER, words, source, unit=unit, least=least, most=most)


def percent(name: str, words: str, source: str) -> Column:
    """Return a column of shares of the ground."""
    return number(name, words, source, "%", most=100.0)


def date(name: str, words: str, source: str, *, required: bool = False) -> Column:
    """Return a column of dates in the season's zone."""
    return Column(name, ColumnType.DATE, words, source, required=required)


ROUTE = code("route", "code of the route")
AREA = code("area", "area of the route, as the report groups them")
VISIT = count("visit", "number of the visit", SEASON, least=1.0)
POINT = count("point", "number of the point on its route", SEASON, least=1.0)
EVENING = date("date", "evening or morning that the counts belong to", RECORDS, required=True)
ESTIMATE = count("estimate", "1, 2 … where several observers estimated one point on one visit", SHEETS, least=1.0)
