"""Files and folders that were dropped together, parted into photos and filled-in tables."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from planner.usecases.field_files.files_meant import may_be_filled_in
from planner.usecases.sheets.photo_batch import has_pictures


@dataclass(frozen=True, slots=True)
class Parted:
    """What is to be brought in as what; a folder with both is in both."""

    photos: tuple[Path, ...]
    tables: tuple[Path, ...]
    """Everything else, too: it is said there that it is none."""


def parted(paths: Sequence[Path]) -> Parted:
    """Return which of several files and folders are photos, and which are looked at as tables.

    Raises:
        InputError: a folder has more files than are gone through.
    """
    photos = tuple(path for path in paths if has_pictures(path))
    return Parted(photos, tuple(path for path in paths if path not in photos or _has_tables(path)))


def _has_tables(path: Path) -> bool:
    return path.is_dir() and any(may_be_filled_in(one) and one.is_file() for one in path.iterdir())
