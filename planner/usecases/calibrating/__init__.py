"""Recorded drives: what they came to, used by the next plan, and handed on to the next season."""

from planner.usecases.calibrating.calibration import Calibrated, FactorChange, calibration
from planner.usecases.calibrating.changes import RouteChange, VisitChange
from planner.usecases.calibrating.findings import broken_to_come, drive_findings
from planner.usecases.calibrating.next_season import read_figure, speeds_differ, write_figure
from planner.usecases.calibrating.recorded import LeftOut, LegKind, LegName, RecordedLeg
from planner.usecases.calibrating.taking_over import TakenOver, take_over_figure
from planner.usecases.calibrating.using import FactorsChanged, forget_calibration, use_calibration

__all__ = [
    "Calibrated",
    "FactorChange",
    "FactorsChanged",
    "LeftOut",
    "LegKind",
    "LegName",
    "RecordedLeg",
    "RouteChange",
    "TakenOver",
    "VisitChange",
    "broken_to_come",
    "calibration",
    "drive_findings",
    "forget_calibration",
    "read_figure",
    "speeds_differ",
    "take_over_figure",
    "use_calibration",
    "write_figure",
]
