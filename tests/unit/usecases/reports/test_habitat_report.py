"""Habitat added up: by hand on few sheets, and by another library on the demo's."""

from __future__ import annotations

from dataclasses import replace

import pandas as pd
import pytest

from planner.domain.field.habitat_sheet import Cover, HabitatSheet, SheetKey, SheetState, Side
from planner.domain.season import Season
from planner.usecases.reports.habitat import habitat_report
from planner.usecases.reports.habitat_tables import agreement_table
from tests.unit.scheduling import seasons as small
from tests.unit.usecases.reports.conftest import Reported

pytestmark = pytest.mark.xdist_group("returned")


def _season() -> Season:
    rules = small.protocol(visits=2, habitat=replace(small.habitat_rule(), grazed_share=True, livestock=True))
    return small.problem(rules=rules, routes=[small.route("R1"), small.route("R2")]).season


def _sheet(visit: int, point: int, wood: int, observer: str = "", *, route: str = "R1", **more: object) -> HabitatSheet:
    key = SheetKey(route, visit, point, observer)
    cover = Cover.of(Side.CIRCLE, [("W", wood), ("O", 100 - wood)] if wood else [("O", 100)])
    sheet = HabitatSheet(key, (cover,), state=SheetState.FINAL)
    return replace(sheet, **more)  # type: ignore[arg-type]  # fields by name


def test_that_a_route_has_the_mean_of_its_points_and_a_point_that_of_its_sheets() -> None:
    sheets = [
        _sheet(1, 1, 20, "A", grazed_percent=10, livestock=4),
        _sheet(1, 1, 40, "B", livestock=8),
        _sheet(1, 2, 80, grazed_percent=30),
        _sheet(1, 3, 90, state=SheetState.DRAFT),
        _sheet(2, 1, 60),
        _sheet(2, 3, 0),
        _sheet(1, 1, 50, route="R9"),
    ]
    report = habitat_report(_season(), sheets)
    assert report is not None
    first, second = report.routes
    wood, open_ground = first.covers
    assert (first.route, first.visit, first.points, first.compared) == ("R1", 1, 2, 0)
    assert (wood.code, wood.mean, wood.least, wood.most, wood.change) == ("W", 55.0, 30.0, 80.0, None)
    assert (open_ground.code, open_ground.mean, first.dominant) == ("O", 45.0, "W")
    assert (first.grazed_mean, first.livestock) == (20.0, 6.0)
    # Of visit 2 only point 1 has a sheet of visit 1 too: 60 after a mean of 30.
    assert (second.points, second.compared, second.covers[0].change) == (2, 1, 30.0)
    assert (second.covers[0].mean, second.dominant, second.grazed_mean) == (30.0, "O", None)
    assert [(one.visit, one.points) for one in report.whole] == [(1, 2), (2, 2)]


def test_that_a_sheet_by_sides_counts_with_their_mean() -> None:
    both = (Cover(Side.LEFT, (("W", 100),)), Cover(Side.RIGHT, (("O", 60), ("W", 40))))
    report = habitat_report(_season(), [_sheet(1, 1, 0, covers=both)])
    assert report is not None
    assert [cover.mean for cover in report.routes[0].covers] == [70.0, 30.0]


def test_that_there_is_no_habitat_without_a_rule_and_nothing_in_it_without_sheets() -> None:
    assert habitat_report(small.problem().season, ()) is None
    empty = habitat_report(_season(), [_sheet(1, 1, 10, state=SheetState.DRAFT)])
    assert empty is not None
    assert (empty.routes, empty.whole) == ((), ())


def test_that_means_ranges_and_changes_are_those_that_another_library_finds(reported: Reported) -> None:
    report, found = reported
    codes = [one.code for one in found.season.protocol.habitat.classes] if found.season.protocol.habitat else []
    frame = pd.DataFrame(
        [
            (sheet.key.route, sheet.key.visit, sheet.key.point, code, sheet.covers[0].percent(code))
            for sheet in found.sheets
            if sheet.state is SheetState.FINAL
            for code in codes
        ],
        columns=["route", "visit", "point", "class", "percent"],
    )
    stats = frame.groupby(["route", "visit", "class"])["percent"].agg(["mean", "min", "max", "count"])
    wide = frame.pivot_table(index=["route", "point", "class"], columns="visit", values="percent")
    changes = (wide[2] - wide[1]).dropna().groupby(["route", "class"]).mean()
    assert report.habitat is not None
    assert len(report.habitat.routes) * len(codes) == len(stats)
    for one in report.habitat.routes:
        for cover in one.covers:
            expected = stats.xs((one.route, one.visit, cover.code))
            assert (cover.mean, cover.least, cover.most) == pytest.approx(tuple(expected[["mean", "min", "max"]]))
            assert one.points == expected["count"]
            if one.visit == 2:
                assert cover.change == pytest.approx(changes[one.route, cover.code])
        assert one.covers[[cover.code for cover in one.covers].index(one.dominant)].mean == max(
            cover.mean for cover in one.covers
        )


def test_that_two_estimates_of_a_point_are_told_class_by_class_with_what_they_share(reported: Reported) -> None:
    """Worked by hand: of 60 + 40 and 30 + 70 the one class that both have is shared by the smaller, 30."""

    def final(who: str, ground: dict[str, int], point: int = 1) -> HabitatSheet:
        cover = Cover.of(Side.CIRCLE, ground.items())
        return HabitatSheet(SheetKey("R01", 1, point, who), (cover,), state=SheetState.FINAL)

    one, other = final("V01", {"TH": 60, "SH": 40}), final("V02", {"TH": 30, "GR": 70})
    draft = replace(final("V03", {"TH": 100}), state=SheetState.DRAFT)
    table = agreement_table(replace(reported[1], sheets=(one, other, draft, final("V01", {"TH": 100}, point=2))))
    assert [column.name for column in table.columns[3:]] == [
        "estimate",
        "other_estimate",
        "class",
        "difference",
        "overlap_percent",
    ]
    assert [row[3:] for row in table.rows] == [
        (1, 2, "TH", -30.0, 30.0),
        (1, 2, "SH", -40.0, 30.0),
        (1, 2, "GR", 70.0, 30.0),
    ]
