"""What a coordinator answers for: the figures of a season, and the files that they go out in."""

from planner.usecases.reports.season_report import season_report
from planner.usecases.reports.writing import ReportWish, ReportWritten, report_of, write_report

__all__ = ["ReportWish", "ReportWritten", "report_of", "season_report", "write_report"]
