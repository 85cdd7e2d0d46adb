"""Many photos at once: looked at, each found its sheet or left with the reason, and attached in one step."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from planner.domain.errors import Fault, ImpossibleError, InputError, RuleError
from planner.domain.field.habitat_sheet import HabitatSheet, Photo, SheetKey
from planner.exchange import PhotoFile, read_photo
from planner.store import Changed, SeasonFile
from planner.usecases.sheets.photo_finding import NotFound, PhotoFinder
from planner.usecases.sheets.photo_ground import PhotoGround
from planner.usecases.sheets.photos import FOLDER_ENDING, MOST_PHOTOS, keep_picture, make_photo_folder

PICTURE_ENDINGS = frozenset({".jpg", ".jpeg", ".jpe", ".png", ".webp", ".tif", ".tiff", ".heic", ".heif", ".avif"})
_NOT_READ = frozenset({".gif", ".bmp", ".dng", ".cr2", ".cr3", ".nef", ".arw", ".orf", ".rw2", ".raf"})
"""Pictures of other kinds: each is said not to be read."""
MOST_PICTURES = 2_000
"""Looked at in one go: three for every point of a season of 60 routes; our own bound."""
_MOST_FILES = 50_000
"""Names gone through in folders."""


@dataclass(frozen=True, slots=True)
class FoundPhoto:
    """A photo whose sheet was found."""

    path: Path
    key: SheetKey
    photo: Photo
    why: str
    """What tells."""


@dataclass(frozen=True, slots=True)
class LeftPhoto:
    """A photo that is not attached."""

    path: Path
    why: str
    todo: str = ""
    """Empty: nothing is to be done, for it is there already."""


@dataclass(frozen=True, slots=True)
class PhotosFound:
    """What became of photos that were looked at; nothing is attached yet."""

    found: tuple[FoundPhoto, ...]
    left: tuple[LeftPhoto, ...] = ()
    """Those that need a person."""
    there: tuple[LeftPhoto, ...] = ()
    """Those that are attached already, or came twice."""
    other_files: int = 0
    """Files in the folders that are no pictures by their names."""
    before: tuple[HabitatSheet, ...] = field(default=(), repr=False)
    """The sheets that they were held against."""

    @property
    def sheets(self) -> int:
        """How many sheets get a photo."""
        return len({one.key for one in self.found})

    @property
    def words(self) -> str:
        """What it comes to, in a sentence."""
        parts = [f"{_counted(len(self.found), 'photo')} for {_counted(self.sheets, 'sheet')}"]
        parts += [f"{len(self.there)} there already"] if self.there else []
        parts += [f"{len(self.left)} left out"] if self.left else []
        return ", ".join(parts)


@dataclass(frozen=True, slots=True)
class PicturesIn:
    """The pictures of some folders and files."""

    paths: tuple[Path, ...]
    other_files: int = 0


def pictures_in(paths: Sequence[Path]) -> PicturesIn:
    """Return the pictures that are meant, by their names: files that are named, and those of folders and below them.

    Raises:
        InputError: a folder has none, or there are more than are looked at in one go.
    """
    found, others, faults = dict[Path, None](), 0, list[Fault]()
    for path in paths:
        if path.is_file():
            found[path] = None
            continue
        inside = list(_files_below(path))
        pictures = [one for one in inside if one.suffix.casefold() in PICTURE_ENDINGS | _NOT_READ]
        others += len(inside) - len(pictures)
        found |= dict.fromkeys(pictures)
        if not pictures:
            todo = "Name another folder, or the pictures themselves."
            none = "none" if path.is_dir() else "nothing of that name"
            faults.append(Fault(str(path), "", "a folder with pictures", none, todo))
    if len(found) > MOST_PICTURES:
        expected, todo = f"at most {MOST_PICTURES:,} pictures", "Bring them in folder by folder."
        faults.append(Fault(str(paths[0]), "", expected, f"{len(found):,}", todo))
    if faults:
        raise InputError(*faults)
    return PicturesIn(tuple(found), others)


def has_pictures(path: Path) -> bool:
    """Whether a file is a picture, or a folder has one in it, by their names."""
    if not path.is_dir():
        return path.suffix.casefold() in PICTURE_ENDINGS
    return any(one.suffix.casefold() in PICTURE_ENDINGS for one in _files_below(path))


def _files_below(folder: Path) -> Iterator[Path]:
    """Yield the files of a folder and of those in it, in order; neither hidden ones nor those kept beside a season."""
    count = 0
    for parent, folders, names in os.walk(folder):
        folders[:] = sorted(one for one in folders if not one.startswith(".") and not one.endswith(FOLDER_ENDING))
        for name in sorted(names, key=lambda one: Path(one).stem):
            count += 1
            if count > _MOST_FILES:
                todo = "Name a folder with pictures alone."
                raise InputError(Fault(str(folder), "", f"at most {_MOST_FILES:,} files", "more", todo))
            if not name.startswith("."):
                yield Path(parent, name)


def find_photos(
    ground: PhotoGround,
    pictures: PicturesIn,
    visit: int | None = None,
    on_photo: Callable[[int, int], bool] = lambda _done, _all: True,
) -> PhotosFound:
    """Look at pictures, and find the sheet that each belongs to; changes nothing.

    A name that says route and point is believed unless the position speaks against it; else the position is, where one
    point alone is near enough; else the records are, where one alone has somebody at a point at that time. The visit
    is that of its date.

    Args:
        ground: the season, as :meth:`PhotoGround.of` reads it.
        pictures: as :func:`pictures_in` returns them.
        visit: the visit that all of them are of, where somebody says so.
        on_photo: told how many were looked at, of how many; returns whether to go on. What was not looked at is left.

    Raises:
        RuleError: the protocol asks for no habitat, or for none on that visit.
    """
    finder = PhotoFinder(ground, visit)
    batch = _Batch(ground.sheets)
    for number, path in enumerate(pictures.paths):
        if not on_photo(number, len(pictures.paths)):
            batch.left += [LeftPhoto(one, "not looked at", "Bring it in again.") for one in pictures.paths[number:]]
            break
        try:
            looked = replace(read_photo(path), data=b"")
        except InputError as error:
            fault = error.faults[0]
            batch.left.append(LeftPhoto(path, f"expected {fault.expected}, found {fault.found}", fault.todo))
        else:
            batch.add(path, looked, finder)
    return PhotosFound(
        tuple(batch.found), tuple(batch.left), tuple(batch.there), pictures.other_files, before=ground.sheets
    )


class _Batch:
    """Gathers what becomes of each photo."""

    def __init__(self, sheets: Sequence[HabitatSheet]) -> None:
        self.found: list[FoundPhoto] = []
        self.left: list[LeftPhoto] = []
        self.there: list[LeftPhoto] = []
        self._known = {photo.content_hash: f"on the sheet of {one.key}" for one in sheets for photo in one.photos}
        self._counts = Counter({sheet.key: len(sheet.photos) for sheet in sheets})

    def add(self, path: Path, looked: PhotoFile, finder: PhotoFinder) -> None:
        """Take in one that was looked at."""
        code = looked.content_hash
        if code in self._known:
            self.there.append(LeftPhoto(path, f"{self._known[code]} already"))
            return
        try:
            spot = finder.spot(path, looked)
        except NotFound as error:
            self.left.append(LeftPhoto(path, error.why, error.todo))
            return
        if self._counts[spot.key] >= MOST_PHOTOS:
            self.left.append(
                LeftPhoto(path, f"{spot.key} has {MOST_PHOTOS} photos, and takes no more", "Leave some out.")
            )
            return
        self._counts[spot.key] += 1
        self._known[code] = f"the same picture as {path.name}, which is taken"
        photo = Photo(code, looked.name, looked.place, looked.taken)
        self.found.append(FoundPhoto(path, spot.key, photo, spot.why))


def attach_found(file: SeasonFile, found: PhotosFound) -> Changed:
    """Attach the photos whose sheets were found, as one step; a sheet that there is not is begun, as a draft.

    Raises:
        ImpossibleError: sheets have changed since the photos were looked at; nothing is attached then.
        InputError: a picture is not there any more or is another one, or cannot be written beside the season file;
            with every one. Nothing is attached then.
        RuleError: there is nothing to attach.
    """
    if not found.found:
        raise RuleError("there is nothing to attach: no photo has found its sheet")
    if file.sheets() != found.before:
        raise ImpossibleError("Sheets have changed since the photos were looked at.", "Look at them again.")
    sheets = {sheet.key: sheet for sheet in found.before}
    label = f"Attach {_counted(len(found.found), 'photo')} to {_counted(found.sheets, 'sheet')}"
    with file.step(label) as step:
        _keep_pictures(file.path, found.found)
        for key, photos in _by_sheet(found.found).items():
            before = sheets.get(key, HabitatSheet(key))
            sheets[key] = replace(before, photos=(*before.photos, *photos))
        file.save_sheets(sheets[key] for key in sorted(sheets))
    return step.changed


def lay_found_beside(file: SeasonFile, found: PhotosFound) -> None:
    """Copy pictures that found their sheets beside the season file before anything in it is changed.

    Raises:
        InputError: as :func:`attach_found` does.
    """
    if found.found:
        _keep_pictures(file.path, found.found)


def _keep_pictures(season_path: Path, found: Sequence[FoundPhoto]) -> None:
    make_photo_folder(season_path)
    faults: list[Fault] = []
    for one in found:
        try:
            read = read_photo(one.path)
        except InputError as error:
            faults += error.faults
            continue
        if read.content_hash != one.photo.content_hash:
            todo = "Look at them again."
            faults.append(Fault(str(one.path), "", "the picture that was looked at", "another one", todo))
        else:
            keep_picture(season_path, one.photo, read.data)
    if faults:
        raise InputError(*faults)


def _by_sheet(found: Sequence[FoundPhoto]) -> Mapping[SheetKey, Sequence[Photo]]:
    photos: dict[SheetKey, list[Photo]] = {}
    for one in found:
        photos.setdefault(one.key, []).append(one.photo)
    return photos


def _counted(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"
