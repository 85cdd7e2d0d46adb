"""Why visits are unfilled or have no reserve date, what would mend them with least change, where people are short."""

from planner.scheduling.explain.explaining import explain
from planner.scheduling.explain.shortages import shortages

__all__ = ["explain", "shortages"]
