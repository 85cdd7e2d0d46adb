"""The first look at a file."""

from __future__ import annotations

import os
from pathlib import Path

from planner.exchange.faults import refused
from planner.exchange.importers import HEAD_BYTES, WANTED, Choices, Head
from planner.exchange.source_text import opened


def head_of(path: Path, choices: Choices | None = None) -> Head:
    """Return the beginning of a file; raises InputError where it is missing, empty or unreadable."""
    with opened(path, WANTED) as file:
        head = Head(path, file.read(HEAD_BYTES), os.fstat(file.fileno()).st_size, choices or Choices())
    if not head.data:
        raise refused(path, "", WANTED, "an empty file", "Export it again, or choose another file.")
    return head
