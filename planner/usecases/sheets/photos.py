"""Photos of the ground round a point: attached to its sheet by file, and kept beside the season file."""

from __future__ import annotations

import shutil
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from planner.domain.errors import Fault, InputError, RuleError
from planner.domain.field.habitat_sheet import HabitatSheet, Photo, SheetKey
from planner.domain.season import Season
from planner.exchange import photo_ending, read_photo, write_whole
from planner.store import Changed, SeasonFile
from planner.usecases.season.opening import make_folder
from planner.usecases.sheets.photo_places import photo_metres
from planner.usecases.wording import metres_words

MOST_PHOTOS = 24
"""On one sheet; our own bound."""
FOLDER_ENDING = ".photos"


@dataclass(frozen=True, slots=True)
class Attached:
    """What attaching photos came to."""

    changed: Changed
    photos: tuple[Photo, ...]
    """Those that are new on the sheet, in the order given."""
    notes: tuple[str, ...] = ()
    """What a person should know of them, in words: taken far from the point, on the sheet already, no position read."""


@dataclass(frozen=True, slots=True)
class PhotoAway:
    """A photo that was taken farther from its point than the protocol's radius."""

    photo: Photo
    metres: float


def attach_photos(file: SeasonFile, key: SheetKey, paths: Sequence[Path]) -> Attached:
    """Attach pictures to a sheet, as one step; a sheet that there is not is begun with them, as a draft.

    Each is copied beside the season file under the hash of its content, so that the same picture is there once,
    whoever attaches it, and what becomes of the file it came from does not matter.

    Args:
        file: the season file.
        key: of the sheet.
        paths: the pictures.

    Raises:
        InputError: one of them cannot be taken (too large, damaged, of another kind), with every one that cannot; or
            they cannot be written beside the season file. Nothing is attached then.
        RuleError: there would be more than 24 on the sheet, the protocol asks for no habitat, or nothing is given.
    """
    season, sheets = file.season(), file.sheets()
    before = next((sheet for sheet in sheets if sheet.key == key), HabitatSheet(key))
    _refuse_strange(season, paths, room=MOST_PHOTOS - len(before.photos))
    _refuse_unreadable(paths)
    others = [sheet for sheet in sheets if sheet.key != key]
    with file.step(f"Attach {_counted(len(paths))} to {key}") as step:
        new, notes = _written(file.path, season, before, paths)
        file.save_sheets([*others, replace(before, photos=(*before.photos, *new))] if new else sheets)
    return Attached(step.changed, new, notes)


def lay_beside(file: SeasonFile, key: SheetKey, paths: Sequence[Path]) -> None:
    """Copy pictures beside the season file before anything in it is changed: attaching them cannot fail any more.

    Raises:
        InputError: as :func:`attach_photos` does.
        RuleError: as :func:`attach_photos` does.
    """
    before = next((sheet for sheet in file.sheets() if sheet.key == key), HabitatSheet(key))
    _refuse_strange(file.season(), paths, room=MOST_PHOTOS - len(before.photos))
    make_photo_folder(file.path)
    for path in paths:
        found = read_photo(path)
        keep_picture(file.path, Photo(found.content_hash, found.name, found.place, found.taken), found.data)


def detach_photo(file: SeasonFile, key: SheetKey, content_hash: str) -> Changed:
    """Take a photo off a sheet, as one step. The picture stays on the disk, so that undoing brings it back.

    Raises:
        RuleError: there is no such sheet, or no such photo on it.
    """
    sheets = file.sheets()
    sheet = next((one for one in sheets if one.key == key), None)
    if sheet is None or all(photo.content_hash != content_hash for photo in sheet.photos):
        raise RuleError(f"there is no such photo on the habitat sheet of {key}")
    left = replace(sheet, photos=tuple(photo for photo in sheet.photos if photo.content_hash != content_hash))
    kept = [left if one is sheet else one for one in sheets]
    with file.step(f"Take a photo off {key}") as step:
        file.save_sheets([one for one in kept if not one.empty])
    return step.changed


def photo_folder(season_path: Path) -> Path:
    """Return the folder beside a season file that holds its photos; it need not be there."""
    return season_path.with_name(f"{season_path.stem}{FOLDER_ENDING}")


def photo_path(season_path: Path, photo: Photo) -> Path:
    """Return where the picture of a photo lies; where it is gone, where it should lie.

    A picture is known by its content, so a season file that was renamed finds it still, in the folder of its old name.
    """
    name = photo_name(photo)
    usual = photo_folder(season_path) / name
    if usual.is_file():
        return usual
    others = sorted(season_path.parent.glob(f"*{FOLDER_ENDING}/{name}"))
    return next((path for path in others if path.is_file()), usual)


def photo_name(photo: Photo) -> str:
    """Return the name that a picture is kept under: the hash of its content, and the ending of its kind."""
    return f"{photo.content_hash}{photo_ending(photo.name)}"


def lost_photos(season_path: Path, sheets: Iterable[HabitatSheet]) -> frozenset[str]:
    """Return the hashes of the photos whose pictures are no longer beside the season file."""
    photos = {photo.content_hash: photo for sheet in sheets for photo in sheet.photos}
    return frozenset(code for code, photo in photos.items() if not photo_path(season_path, photo).is_file())


def copy_photos(season_path: Path, target: Path, sheets: Iterable[HabitatSheet]) -> tuple[Photo, ...]:
    """Copy the photos of sheets beside another season file; return those whose pictures are gone.

    Raises:
        OSError: they cannot be written there.
    """
    lost = []
    for photo in {photo.content_hash: photo for sheet in sheets for photo in sheet.photos}.values():
        source, to = photo_path(season_path, photo), photo_folder(target) / photo_name(photo)
        if not source.is_file():
            lost.append(photo)
        elif not to.exists():
            to.parent.mkdir(exist_ok=True)
            part = to.with_name(f".{to.name}.part")
            shutil.copyfile(source, part)
            part.replace(to)
    return tuple(lost)


def photos_away(season: Season, sheet: HabitatSheet) -> Iterator[PhotoAway]:
    """Yield the photos of a sheet that were taken outside the circle that is estimated (geodesic, WGS84)."""
    rule = season.protocol.habitat
    if rule is None:
        return
    for photo in sheet.photos:
        metres = photo_metres(season, sheet.key, photo)
        if metres is not None and metres > rule.radius.metres:
            yield PhotoAway(photo, metres)


def _refuse_strange(season: Season, paths: Sequence[Path], room: int) -> None:
    if not paths:
        raise RuleError("there is nothing to attach: give at least one picture")
    if season.protocol.habitat is None:
        raise RuleError(f"'{season.protocol.name}' asks for no habitat: there are no sheets to attach photos to")
    if len(paths) > room:
        raise RuleError(f"a sheet takes {MOST_PHOTOS} photos, and there is room for {room} more; found {len(paths)}")


def _refuse_unreadable(paths: Iterable[Path]) -> None:
    """Look at every picture before the first is written, one at a time in memory."""
    faults: list[Fault] = []
    for path in paths:
        try:
            read_photo(path)
        except InputError as error:
            faults += error.faults
    if faults:
        raise InputError(*faults)


def _written(
    season_path: Path, season: Season, sheet: HabitatSheet, paths: Iterable[Path]
) -> tuple[tuple[Photo, ...], tuple[str, ...]]:
    """Write pictures beside the season file; return those that are new to the sheet, and what is to be said of them."""
    had = {photo.content_hash for photo in sheet.photos}
    new: dict[str, Photo] = {}
    notes: list[str] = []
    make_photo_folder(season_path)
    for path in paths:
        found = read_photo(path)
        if found.content_hash in had or found.content_hash in new:
            notes.append(f"{found.name} is on the sheet already")
            continue
        photo = Photo(found.content_hash, found.name, found.place, found.taken)
        keep_picture(season_path, photo, found.data)
        new[photo.content_hash] = photo
        notes += [f"{found.name}: {words}" for words in (found.said, _away_words(season, sheet.key, photo)) if words]
    return tuple(new.values()), tuple(notes)


def make_photo_folder(season_path: Path) -> None:
    """Make the folder beside a season file that holds its photos; raises InputError where something is in the way."""
    make_folder(photo_folder(season_path), "Pictures lie there: move what is in the way, then attach them again.")


def keep_picture(season_path: Path, photo: Photo, data: bytes) -> None:
    """Write a picture beside the season file, unless it lies there; raises InputError where that fails."""
    kept = photo_folder(season_path) / photo_name(photo)
    if not kept.is_file():
        write_whole(kept, data)


def _away_words(season: Season, key: SheetKey, photo: Photo) -> str:
    away = next(photos_away(season, HabitatSheet(key, photos=(photo,))), None)
    return f"taken {metres_words(away.metres)} from the point" if away is not None else ""


def _counted(count: int) -> str:
    return f"{count} photo{'' if count == 1 else 's'}"
