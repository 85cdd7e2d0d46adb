"""Photos that came back, in lines for a person and as data for a program."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from planner.usecases.sheets.photo_batch import FoundPhoto, LeftPhoto, PhotosFound
from planner.usecases.sheets.spare_photos import SparePhotos

_MOST_PHOTOS = 60
"""Of a kind that are listed; the others are counted, and --json has them all."""


def photo_lines(found: PhotosFound) -> Iterator[str]:
    """Yield what became of photos: in a sentence, then one by one, those that are left with what to do."""
    yield f"Photos: {found.words}."
    yield from _listed(f"  {one.path.name}: {one.key}, {one.why}" for one in found.found)
    yield from _listed(f"  there already: {one.path.name}, {one.why}" for one in found.there)
    yield from _listed(f"  LEFT OUT: {one.path.name}, {one.why}. {one.todo}" for one in found.left)
    if found.left:
        yield "By hand: --photo ROUTE/VISIT/POINT=FILE; where all are of one visit: --visit NUMBER."
    if found.other_files:
        yield f"Other files in the folder, which are no photos: {found.other_files}."


def photo_data(found: PhotosFound) -> Mapping[str, object]:
    """Return the same for a program."""
    return {
        "found": [_found(one) for one in found.found],
        "left": [_left(one) for one in found.left],
        "there": [_left(one) for one in found.there],
        "other_files": found.other_files,
    }


def spare_lines(spare: SparePhotos, *, deleted: bool) -> Iterator[str]:
    """Yield which pictures belong to no sheet, and whether they were deleted."""
    if not spare.paths:
        yield "Every picture beside the season is on a sheet, undoing could bring it back, or a backup copy names it."
        return
    yield from _listed(str(path) for path in spare.paths)
    kept = "Add no --look, and they are deleted for good: nothing brings them back."
    yield f"Deleted for good: {spare.words}." if deleted else f"{spare.words} of no sheet. {kept}"


def _listed(lines: Iterable[str]) -> Iterator[str]:
    every = list(lines)
    yield from every[:_MOST_PHOTOS]
    if len(every) > _MOST_PHOTOS:
        yield f"  and {len(every) - _MOST_PHOTOS} more: --json lists them all."


def _found(one: FoundPhoto) -> Mapping[str, object]:
    return {"path": one.path, "sheet": one.key, "why": one.why, "content_hash": one.photo.content_hash}


def _left(one: LeftPhoto) -> Mapping[str, object]:
    return {"path": one.path, "why": one.why, "todo": one.todo}
