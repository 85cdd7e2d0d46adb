"""What files would bring, shown before anything changes; used by every room that takes files in."""

from planner.desktop.importing.preview import ImportPreview, choose_files

__all__ = ["ImportPreview", "choose_files"]
