"""Which pictures the sheets of a season file name: as it stands, and in all states that undo or redo can bring back."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import apsw

from planner.domain.errors import SeasonFileError
from planner.store.tables import HABITAT_SHEET_TABLE

_HASH = re.compile(r'"([0-9a-f]{64})"')
"""SHA-256 as JSON has it. Sought in every word of a sheet: one too many keeps a picture, one too few would lose it."""


def photo_hashes(connection: apsw.Connection) -> frozenset[str]:
    """Return the hashes of all pictures that a sheet names, or named before or after a step that is in the history."""
    texts = (*_standing(connection), *_in_history(connection))
    return frozenset(code for text in texts for code in _HASH.findall(text))


def photo_hashes_beside(path: Path) -> frozenset[str]:
    """Return the same of all other season files of a folder, and of their copies, whatever they are called.

    Args:
        path: the season file that is left out.

    Raises:
        SeasonFileError: a season file or a copy of one, by its name, cannot be read: nobody knows what it names.
    """
    found: set[str] = set()
    for other in sorted(path.parent.iterdir()):
        if other != path and other.suffix != ".lock" and other.is_file():
            found |= _hashes_of(other, is_season=".dimpsy" in other.name or other.name.startswith(f"{path.name}."))
    return frozenset(found)


def _hashes_of(path: Path, *, is_season: bool) -> frozenset[str]:
    """Return what a file names; nothing where it is no database, or one that has no sheets."""
    try:
        with closing(apsw.Connection(str(path), flags=apsw.SQLITE_OPEN_READONLY)) as connection:
            return photo_hashes(connection)
    except (apsw.NotADBError, apsw.SQLError):
        return frozenset()
    except apsw.Error as error:
        if not is_season:
            return frozenset()
        raise SeasonFileError(
            f"{path}: expected a season file or a copy of one that can be read, found {error}, so that nobody knows"
            " which pictures it names. Mend it, or move it to another folder."
        ) from error


def _standing(connection: apsw.Connection) -> Iterator[str]:
    for (photos,) in connection.execute(f"SELECT photos FROM {HABITAT_SHEET_TABLE.name}"):
        yield str(photos)


def _in_history(connection: apsw.Connection) -> Iterator[str]:
    wanted = f"% {HABITAT_SHEET_TABLE.name} %"
    rows = connection.execute("SELECT changeset FROM step WHERE ' ' || tables || ' ' LIKE ?", (wanted,))
    for (changeset,) in rows:
        for change in apsw.Changeset.iter(changeset):
            if change.name == HABITAT_SHEET_TABLE.name:
                values = (*(change.old or ()), *(change.new or ()))
                yield from (value for value in values if isinstance(value, str))
