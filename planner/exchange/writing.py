"""Writes a file whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

from planner.exchange.faults import refused


def write_whole(path: Path, data: bytes) -> None:
    """Write under a temporary name beside the file, then rename: a reader sees the old file or the new one.

    Raises:
        InputError: the folder is missing, full, or may not be written to; the old file is then untouched.
    """
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        try:
            with part.open("wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            part.replace(path)
        except BaseException:
            part.unlink(missing_ok=True)
            raise
    except OSError as error:
        todo = "Choose another folder, or make room in this one."
        raise refused(path, "", "a file that can be written", error.strerror or str(error), todo) from error


def holds(path: Path, data: bytes) -> bool:
    """Whether a file stands there already, to the last byte."""
    try:
        return path.stat().st_size == len(data) and path.read_bytes() == data
    except OSError:
        return False
