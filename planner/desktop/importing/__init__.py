"""What files and pasted text would bring, shown before anything changes; used by every room that takes them in."""

from planner.desktop.importing.incoming import Incoming, choose_files
from planner.desktop.importing.preview import ImportPreview

__all__ = ["ImportPreview", "Incoming", "choose_files"]
