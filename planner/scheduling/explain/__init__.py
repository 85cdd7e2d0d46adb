"""Why a visit is unfilled or has no reserve date, and the smallest changes that would mend it."""

from planner.scheduling.explain.explaining import explain

__all__ = ["explain"]
