"""What a coordinator answers for: the figures of a season, and the files that they go out in."""

from planner.usecases.reports.season_report import season_report

__all__ = ["season_report"]
