"""Routes and points written as files for other programs."""

from planner.desktop.exporting.dialog import WriteFiles

__all__ = ["WriteFiles"]
