"""Habitat as tables without personal data, and points with their habitat for maps."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from statistics import fmean

from planner.domain.field.agreement import point_agreements
from planner.domain.field.habitat_sheet import HabitatSheet, SheetState, Side
from planner.domain.habitat import HabitatClass
from planner.domain.plan import VisitKey
from planner.domain.reports.progress import VisitState
from planner.domain.reports.season_report import SeasonReport
from planner.domain.reports.tables import Cell, Column, ColumnType, Table
from planner.usecases.reports import columns as col
from planner.usecases.season.snapshot import Snapshot

_SHEET_STATE = col.one_of("sheet_state", "whether the sheet is handed in", SheetState, col.SHEETS)


def habitat_table(found: Snapshot) -> Table:
    """Return the percentages in long form; a class left blank on a sheet that is handed in has 0.

    A draft may hold classes that the protocol does not know: they are told too.
    """
    known = [one.code for one in _classes(found)]
    written = {code for sheet in found.sheets for cover in sheet.covers for code, _ in cover.percents}
    codes = [*known, *sorted(written - set(known))]
    rows = [
        (*_key(sheet, estimate), cover.side.value, code, percent, sheet.date, sheet.state.value)
        for sheet, estimate in _numbered(found)
        for cover in sheet.covers
        for code in codes
        if (percent := dict(cover.percents).get(code, _blank(sheet, code in known))) is not None
    ]
    made = (
        *_KEY_COLUMNS,
        col.one_of("side", "the whole circle, or one side of the road", Side, col.SHEETS),
        col.one_of("class", "code of the habitat class", codes, "the protocol"),
        Column("percent", ColumnType.INTEGER, "cover of the class", col.SHEETS, "%", least=0, required=True),
        col.date("date", "when it was estimated", col.SHEETS),
        _SHEET_STATE,
    )
    return Table("habitat", "the cover of one class at one point on one visit", made, tuple(rows))


def _blank(sheet: HabitatSheet, known: bool) -> int | None:
    """Return what a class left blank stands for."""
    return 0 if known and sheet.state is SheetState.FINAL else None


def sheets_table(found: Snapshot) -> Table:
    """Return what stands on each sheet beside its percentages."""
    rows = [
        (
            *_key(sheet, estimate),
            sheet.state.value,
            sheet.date,
            sheet.grazed_percent,
            sheet.livestock,
            sheet.species or None,
            sheet.note or None,
            len(sheet.photos),
            sheet.is_confirmed,
        )
        for sheet, estimate in _numbered(found)
    ]
    made = (
        *_KEY_COLUMNS,
        _SHEET_STATE,
        col.date("date", "when it was estimated", col.SHEETS),
        col.count("grazed_percent", "share of the ground that was grazed", col.SHEETS, "%", required=False),
        col.count("livestock", "domestic animals in view", col.SHEETS, "animals", required=False),
        col.code("species", "other species of concern seen, free text", col.SHEETS, required=False),
        col.code("note", "note of the observer, free text as written", col.SHEETS, required=False),
        col.count("photos", "photos attached", col.SHEETS),
        _confirmed("figures that looked wrong were asked about, and are right"),
    )
    return Table("sheets", "one habitat sheet", made, tuple(rows))


def _confirmed(what: str) -> Column:
    return Column("confirmed", ColumnType.BOOLEAN, f"whether {what}", col.SHEETS, required=True)


def photos_table(found: Snapshot) -> Table:
    """Return the photos that are attached to sheets."""
    rows = [
        (*_key(sheet, estimate), photo.name, photo.taken or None, photo.content_hash, photo.belongs)
        for sheet, estimate in _numbered(found)
        for photo in sheet.photos
    ]
    made = (
        *_KEY_COLUMNS,
        col.code("name", "what the file was called", col.SHEETS),
        col.code("taken", "when it was taken, as the camera says it, without a zone", "the photo", required=False),
        col.code("sha256", "SHA-256 of the file, in hexadecimal", "the photo"),
        _confirmed("the photo was said to show the point, though taken far from it"),
    )
    return Table("photos", "one photo", made, tuple(rows))


def agreement_table(found: Snapshot) -> Table:
    """Return how far apart two people's sheets of one point are, class by class, of sheets that are handed in."""
    rule, numbers = found.season.protocol.habitat, {sheet.key: estimate for sheet, estimate in _numbered(found)}
    final = [sheet for sheet in found.sheets if sheet.state is SheetState.FINAL]
    rows = [
        (
            *(one.first.route, one.first.visit, one.first.point, numbers[one.first], numbers[one.second]),
            code,
            _rounded(difference),
            _rounded(one.overlap_percent),
        )
        for one in (point_agreements(final, rule) if rule is not None else ())
        for code, difference in one.differences
    ]
    source = "computed from the sheets handed in"
    made = (
        *_KEY_COLUMNS,
        col.count("other_estimate", "the estimate that it is held against", col.SHEETS, least=1.0),
        col.code("class", "code of the habitat class; those that neither has are left out", "the protocol"),
        col.number(
            "difference",
            "cover by the other less that by this one",
            source,
            "percentage points",
            least=-100.0,
            most=100.0,
        ),
        col.percent("overlap_percent", "what the two share: the sum over all classes of the smaller cover", source),
    )
    return Table("agreement", "one class in two estimates of one point on one visit", made, tuple(rows))


def summary_table(report: SeasonReport) -> Table:
    """Return means, ranges and changes by route, visit and class, and of all routes together."""
    habitat = report.habitat
    names = dict(habitat.classes) if habitat is not None else {}
    rows = [
        (
            one.route or None,
            one.visit,
            cover.code,
            names[cover.code],
            one.points,
            _rounded(cover.mean),
            _rounded(cover.least),
            _rounded(cover.most),
            cover.code == one.dominant,
            None if cover.change is None else _rounded(cover.change),
            one.compared,
        )
        for one in ((*habitat.routes, *habitat.whole) if habitat is not None else ())
        for cover in one.covers
    ]
    return Table("habitat_summary", "one class on one route on one visit", _summary_columns(tuple(names)), tuple(rows))


def _summary_columns(codes: tuple[str, ...]) -> tuple[Column, ...]:
    source = "computed from the sheets handed in"
    return (
        col.code("route", "code of the route; empty: all routes together", required=False),
        col.VISIT,
        col.one_of("class", "code of the habitat class", codes, "the protocol"),
        col.code("class_name", "name of the habitat class", "the protocol"),
        col.count("points", "points with a sheet handed in", source, "points"),
        col.percent("mean_percent", "mean cover over these points", source),
        col.percent("least_percent", "least cover of a point", source),
        col.percent("most_percent", "largest cover of a point", source),
        Column("dominant", ColumnType.BOOLEAN, "whether its mean is the largest", source, required=True),
        col.number(
            "change_percent",
            "change of the mean since the visit before, over points that have sheets of both",
            source,
            "percentage points",
            least=-100.0,
            most=100.0,
        ),
        col.count("points_compared", "points that have sheets of this visit and the one before", source, "points"),
    )


def points_table(report: SeasonReport, found: Snapshot) -> Table:
    """Return points with where their visits stand and the habitat found there; for a map."""
    numbers = range(1, len(found.season.visits) + 1)
    states = {one.key: one.state for one in report.progress.standings}
    areas = {one.key.route: one.area for one in report.progress.standings}
    means = _means(found)
    classes = _classes(found)
    rows = [
        (
            route.code,
            route.name or None,
            areas[route.code],
            point.number,
            point.place.latitude,
            point.place.longitude,
            *(
                cell
                for number in numbers
                for cell in (
                    states[VisitKey(route.code, number)].value,
                    *(means.get((route.code, number, point.number, one.code)) for one in classes),
                )
            ),
        )
        for route in found.season.routes
        for point in route.points
    ]
    made = tuple(_point_columns(numbers, classes))
    return Table("points", "one point of one route", made, tuple(rows), ending="geojson")


def _point_columns(numbers: range, classes: tuple[HabitatClass, ...]) -> Iterator[Column]:
    yield col.ROUTE
    yield col.code("name", "name of the route", required=False)
    yield col.AREA
    yield col.POINT
    degrees = "degrees, WGS 84"
    yield Column("latitude", ColumnType.NUMBER, "in the geometry", col.SEASON, degrees, (), -90, 90, required=True)
    yield Column("longitude", ColumnType.NUMBER, "in the geometry", col.SEASON, degrees, (), -180, 180, required=True)
    for number in numbers:
        yield col.one_of(
            f"visit_{number}_state",
            f"where visit {number} of the route stands",
            VisitState,
            "the plan and visit records",
        )
        for one in classes:
            yield col.percent(f"visit_{number}_{one.code}", f"cover of {one.name} on visit {number}", col.SHEETS)


def _means(found: Snapshot) -> dict[tuple[str, int, int, str], float]:
    """Return the mean cover by route, visit, point and class, of the sheets that are handed in."""
    covers: defaultdict[tuple[str, int, int, str], list[int]] = defaultdict(list)
    for sheet in found.sheets:
        if sheet.state is SheetState.FINAL:
            for cover in sheet.covers:
                for one in _classes(found):
                    key = sheet.key.route, sheet.key.visit, sheet.key.point, one.code
                    covers[key].append(cover.percent(one.code))
    return {key: _rounded(fmean(percents)) for key, percents in covers.items()}


def _classes(found: Snapshot) -> tuple[HabitatClass, ...]:
    habitat = found.season.protocol.habitat
    return habitat.classes if habitat is not None else ()


_KEY_COLUMNS = (col.ROUTE, col.VISIT, col.POINT, col.ESTIMATE)


def _numbered(found: Snapshot) -> Iterator[tuple[HabitatSheet, int]]:
    """Yield sheets with their number among those of the same point and visit, in place of the observer's name."""
    seen: defaultdict[tuple[str, int, int], int] = defaultdict(int)
    for sheet in found.sheets:
        key = sheet.key.route, sheet.key.visit, sheet.key.point
        seen[key] += 1
        yield sheet, seen[key]


def _key(sheet: HabitatSheet, estimate: int) -> tuple[Cell, ...]:
    return sheet.key.route, sheet.key.visit, sheet.key.point, estimate


def _rounded(value: float) -> float:
    return round(value, 2)
