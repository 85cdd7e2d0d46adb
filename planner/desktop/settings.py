"""What the window remembers from one day to the next: its place, the room, recent seasons, units, the palette."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TypeVar

from PySide6.QtCore import QSettings

_T = TypeVar("_T", bool, int, float, str, list[str])
MOST_RECENT = 8


class Settings:
    """Remembered values, kept as JSON; each is found again only if it has the type that is asked for."""

    def __init__(self, path: Path | None = None) -> None:
        """Remember in that file; None: where the system keeps such things."""
        if path is None:
            self._kept = QSettings(QSettings.Format.IniFormat, QSettings.Scope.UserScope, "Dimpsy", "dimpsy")
        else:
            self._kept = QSettings(str(path), QSettings.Format.IniFormat)

    def value(self, key: str, default: _T) -> _T:
        """Return what was kept under that key; the default where nothing was, or something of another kind."""
        try:
            found = json.loads(str(self._kept.value(key, "")))
        except ValueError:
            return default
        if isinstance(default, list) and isinstance(found, list):
            return [one for one in found if isinstance(one, str)]
        return found if type(found) is type(default) else default

    def keep(self, key: str, value: _T) -> None:
        """Remember a value."""
        self._kept.setValue(key, json.dumps(value))

    def write(self) -> None:
        """Write out what is remembered, now."""
        self._kept.sync()

    def recent(self) -> tuple[Path, ...]:
        """Return the seasons opened lately that are still there, the newest first."""
        return tuple(path for path in map(Path, self.value("recent", list[str]())) if path.is_file())

    def opened(self, path: Path) -> None:
        """Put a season at the head of the recent ones."""
        others = [text for text in self.value("recent", list[str]()) if Path(text) != path]
        self.keep("recent", [str(path), *others][:MOST_RECENT])
