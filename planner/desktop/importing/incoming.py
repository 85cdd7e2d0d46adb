"""What is brought in: files, or text from the clipboard."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QMimeData
from PySide6.QtWidgets import QFileDialog, QWidget

from planner.desktop.importing.words import tr
from planner.exchange import Choices
from planner.usecases.importing.choices import read_again
from planner.usecases.importing.reading_sources import (
    PASTED,
    SourceRead,
    SourcesRead,
    endings,
    read_pasted,
    read_sources,
)


@dataclass(frozen=True, slots=True)
class Incoming:
    """Files, and text that was pasted or dropped."""

    paths: tuple[Path, ...] = ()
    text: str = ""

    @classmethod
    def of(cls, data: QMimeData) -> Incoming:
        """Return what was dropped or lies on the clipboard: files and folders, else text; nothing is neither."""
        paths = tuple(Path(url.toLocalFile()) for url in data.urls() if url.isLocalFile())
        return cls(paths, "" if paths or not data.hasText() else data.text())

    def __bool__(self) -> bool:
        """Whether there is anything in it."""
        return bool(self.paths or self.text.strip())

    def read(self, beside: Path | None) -> SourcesRead:
        """Read it for a season file; a large road map takes a while, unless it was read before and lies beside it."""
        return read_sources(self.paths, pasted=self.text, beside=beside)

    def read_again(self, path: Path, choices: Choices) -> SourceRead:
        """Read one file of it, or its text, as a person chose."""
        return read_pasted(self.text, choices) if path == PASTED else read_again(path, choices)


def choose_files(parent: QWidget) -> list[Path]:
    """Ask which files to bring in; empty where none is chosen."""
    patterns = " ".join(f"*{ending}" for ending in endings())
    kinds = tr("Files to bring in (%1);;All files (*)", patterns)
    names, _ = QFileDialog.getOpenFileNames(parent, tr("Bring files in"), str(Path.home()), kinds)
    return [Path(name) for name in names]
