"""The item models of the Season room, held against Qt's own tester."""

from __future__ import annotations

from PySide6.QtTest import QAbstractItemModelTester

from planner.desktop.season.findings_model import FindingsFilter, FindingsModel
from planner.desktop.season.risk_model import Column, RiskModel
from planner.desktop.season.room import SeasonRoom
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.scheduling import RouteRisk

FATAL = QAbstractItemModelTester.FailureReportingMode.Fatal
FINDINGS = (
    Finding(Rule.VISIT_GAP, Severity.BROKEN, Subject(route="R1", visit=2), "The gap is too short.", "Choose a date."),
    Finding(Rule.ROUTE_TOO_LONG, Severity.TROUBLE, Subject(route="R2"), "It is too long.", "Drop a point."),
    Finding(Rule.SEASON_EMPTY, Severity.TROUBLE, Subject(), "There are no routes yet.", "dimpsy import FILE"),
)


def test_that_findings_are_filtered_by_severity_and_by_words() -> None:
    model = FindingsModel()
    shown = FindingsFilter(model)
    testers = [QAbstractItemModelTester(one, FATAL) for one in (model, shown)]
    model.show_findings(FINDINGS)
    assert [shown.index(row, 0).data() for row in range(3)] == [
        "broken: route R1, visit 2: The gap is too short. Choose a date.",
        "trouble: route R2: It is too long. Drop a point.",
        "trouble: the season: There are no routes yet. Drop their files on this window, or choose them.",
    ]
    shown.want(frozenset({Severity.TROUBLE}))
    assert shown.rowCount() == 2
    shown.setFilterFixedString("TOO LONG")
    assert shown.rowCount() == 1
    shown.want(frozenset(Severity))
    shown.setFilterFixedString("")
    assert shown.rowCount() == 3
    model.show_findings(())
    assert shown.rowCount() == 0
    del testers


def test_that_chances_are_said_in_percent_and_never_quite_sure_where_they_are_not(room: SeasonRoom) -> None:
    season = room.desk.session.snapshot.season
    model = RiskModel()
    tester = QAbstractItemModelTester(model, FATAL)
    chances = (0.0, 0.001, 0.5, 0.9999, 1.0)
    model.show_risk([RouteRisk(f"R0{n}", c, 2 * c, (c, c), 2, 1) for n, c in enumerate(chances, start=1)], season)
    said = [model.index(row, Column.CHANCE).data() for row in range(5)]
    assert said == ["0 %", "< 1 %", "50 %", "> 99 %", "100 %"]
    model.show_risk([RouteRisk("R01", 0.0, 0.9, (0.9, 0.0), 1, 2)], season)
    assert model.index(0, Column.CHANCE).data() == "unfilled"
    assert model.index(0, Column.ROUTE).data() == season.route("R01").title
    assert model.index(0, Column.WEAKEST).data() == "visit 2"
    del tester
