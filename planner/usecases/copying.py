"""Copy a season: the file with its history, and the road map that belongs to it."""

from __future__ import annotations

import shutil
from pathlib import Path

from planner.domain.errors import Fault, InputError
from planner.store import SeasonFile
from planner.usecases.opening import roads_path


def copy_season(file: SeasonFile, target: Path) -> None:
    """Copy the season as it stands to another name or folder, its road map beside it.

    Raises:
        InputError: something lies there already, or the folder cannot be written.
        SeasonFileError: the copy cannot be written.
    """
    if target.exists():
        fault = Fault(str(target), "", "a name that is free", "a file of that name", "Choose another name.")
        raise InputError(fault)
    if not target.parent.is_dir():
        fault = Fault(str(target.parent), "", "a folder", "none", "Choose a folder that is there.")
        raise InputError(fault)
    roads = file.season().roads
    try:
        file.copy_to(target)
        if roads is not None and roads_path(file.path, roads).is_file():
            beside = roads_path(target, roads)
            if not beside.exists():
                shutil.copyfile(roads_path(file.path, roads), beside)
    except OSError as error:
        expected, found = "a folder that may be written", error.strerror or str(error)
        raise InputError(Fault(str(target), "", expected, found, "Choose another folder.")) from error
