"""Pictures beside a season file that no sheet names any more: told, and cleared away when a person says so."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from planner.domain.errors import Fault, InputError, SeasonFileError
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.store import SeasonFile
from planner.usecases.sheets.photos import photo_folder

_BELONG = "belong to no sheet, nor could undoing bring them back"
_KEPT_NAME = re.compile(r"(?P<code>[0-9a-f]{64})\.(?:jpg|png|webp|tif)")
"""What pictures are called that were laid there; whatever else lies there is not ours."""


@dataclass(frozen=True, slots=True)
class SparePhotos:
    """Pictures that no sheet names, in no state of the season that undo or redo can bring back."""

    paths: tuple[Path, ...]
    size_bytes: int

    @property
    def words(self) -> str:
        """How many there are, and how large they are together."""
        count = len(self.paths)
        return f"{count} picture{'' if count == 1 else 's'} ({self.size_bytes / 1e6:.1f} MB)"


def spare_photos(file: SeasonFile) -> SparePhotos:
    """Return the pictures beside a season file that belong to no sheet of it and of no other season of the folder.

    What undoing or redoing could bring back is not among them, nor what a copy of the season file names.

    Raises:
        SeasonFileError: another season file of the folder, or a copy of one, cannot be read: it may name them.
    """
    folder = photo_folder(file.path)
    lying = {path: match["code"] for path in _files(folder) if (match := _KEPT_NAME.fullmatch(path.name))}
    if not lying:
        return SparePhotos((), 0)
    named = file.photo_hashes()
    spare = tuple(sorted(path for path, code in lying.items() if code not in named))
    return SparePhotos(spare, sum(path.stat().st_size for path in spare))


def clear_spare_photos(file: SeasonFile) -> SparePhotos:
    """Delete the pictures that belong to no sheet, and return which they were; they are gone for good.

    Raises:
        SeasonFileError: the season may not be changed, or :func:`spare_photos` cannot tell; nothing is deleted.
        InputError: some of them cannot be deleted; with each of those.
    """
    if file.read_only_reason:
        raise SeasonFileError(f"{file.path}: nothing was deleted. {file.read_only_reason}")
    spare = spare_photos(file)
    faults: list[Fault] = []
    for path in spare.paths:
        try:
            path.unlink(missing_ok=True)
        except OSError as error:
            todo = "Look who may write to the folder."
            faults.append(Fault(str(path), "", "a picture that can be deleted", error.strerror or str(error), todo))
    if faults:
        raise InputError(*faults)
    return spare


def spare_findings(file: SeasonFile) -> Iterator[Finding]:
    """Say that pictures lie beside the season that belong to no sheet, where that can be told."""
    try:
        spare = spare_photos(file)
    except SeasonFileError:
        return
    if spare.paths:
        one = len(spare.paths) == 1
        belongs = "belongs to no sheet, nor could undoing bring it back" if one else _BELONG
        what = f"{spare.words} beside the season {belongs}."
        todo = "Clear them away in the Sheets room, or by dimpsy record FILE --clear-photos."
        yield Finding(Rule.PHOTO_SPARE, Severity.NOTE, Subject(), what, todo)


def _files(folder: Path) -> Iterator[Path]:
    if folder.is_dir():
        yield from (path for path in folder.iterdir() if path.is_file())
