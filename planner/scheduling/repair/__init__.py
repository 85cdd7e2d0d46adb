"""Ways on when something breaks: as little as can be is moved, and all of it is said."""

from planner.scheduling.repair.repairing import repair
from planner.scheduling.repair.way import Move, TightGap, WayOn

__all__ = ["Move", "TightGap", "WayOn", "repair"]
