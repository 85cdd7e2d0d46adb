"""Copy a season: the file with its history, and the road map and the photos that belong to it."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path

from planner.domain.errors import Fault, InputError
from planner.domain.field.habitat_sheet import Photo
from planner.store import SeasonFile
from planner.usecases.season.opening import roads_path
from planner.usecases.sheets.photos import copy_photos


@dataclass(frozen=True, slots=True)
class Copied:
    """What a copy came to."""

    lost: tuple[Photo, ...] = ()
    """Photos that could not go along: their pictures are no longer beside the season file."""

    @property
    def words(self) -> str:
        """What could not go along, in a sentence; empty where all did."""
        if not self.lost:
            return ""
        some = "1 photo is" if len(self.lost) == 1 else f"{len(self.lost)} photos are"
        return f"{some} not in it: no longer beside the season file, {self.lost[0].name} first."


def copy_season(file: SeasonFile, target: Path) -> Copied:
    """Copy the season as it stands to another name or folder, its road map and its photos beside it.

    Photos that an undone step would bring back do not go along.

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
        return Copied(copy_photos(file.path, target, file.sheets()))
    except OSError as error:
        expected, found = "a folder that may be written", error.strerror or str(error)
        raise InputError(Fault(str(target), "", expected, found, "Choose another folder.")) from error
