"""Reads files out of a zip archive that may be hostile; nothing of it ever reaches the disk."""

from __future__ import annotations

import io
import zipfile
import zlib
from pathlib import Path, PurePosixPath

from planner.domain.errors import InputError
from planner.exchange.faults import refused
from planner.exchange.source_text import MOST_BYTES

MOST_ENTRIES = 10_000
"""More files in an archive are refused: the list of a few hundred thousand alone would fill the memory."""

_ENCRYPTED = 0x1
_DRIVE = ":"
_AGAIN = "Export it again, or choose another file."
_MARK = b"PK\x01\x02"
"""Begins each entry of an archive's list: APPNOTE.TXT 4.3.12, published by PKWARE."""
_BROKEN = (
    zipfile.BadZipFile,
    zlib.error,
    EOFError,
    NotImplementedError,
    ValueError,
    OSError,
    RuntimeError,
    OverflowError,
)


def open_archive(data: bytes, path: Path, wanted: str) -> zipfile.ZipFile:
    """Return an archive whose list was looked through, and in which no name leads out of its folder.

    Args:
        data: the archive.
        path: the file it came from, for what is said of it.
        wanted: what it should be, in words.

    Raises:
        InputError: it is no archive, is broken, lists too many files, or has names that lead elsewhere.
    """
    entries = data.count(_MARK)
    if entries > MOST_ENTRIES:
        raise refused(path, "", f"{wanted} of at most {MOST_ENTRIES} files", f"{entries}", _AGAIN)
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
    except _BROKEN as error:
        raise refused(path, "", wanted, f"a broken archive ({error})", "Get the file again.") from error
    for name in archive.namelist():
        if _leads_out(name):
            todo = "Do not trust this file; export it again."
            raise refused(path, "", "files inside the archive's own folder", f"the name {name[:80]!r}", todo)
    return archive


def read_entry(archive: zipfile.ZipFile, name: str, path: Path, most_bytes: int = MOST_BYTES) -> bytes:
    """Return one file of an archive, unpacked in memory.

    Args:
        archive: from :func:`open_archive`.
        name: the file's name in it.
        path: the file the archive came from, for what is said of it.
        most_bytes: more is refused, whatever the archive declares.

    Raises:
        InputError: it is encrypted, too large, packed in an unknown way, or broken.
    """
    entry = archive.getinfo(name)
    if entry.flag_bits & _ENCRYPTED:
        raise refused(path, name, "a file without a password", "an encrypted one", "Save it without a password.")
    try:
        with archive.open(entry) as file:
            data = file.read(most_bytes + 1) if entry.file_size <= most_bytes else b""
    except _BROKEN as error:
        raise refused(path, name, "a file that can be unpacked", str(error) or "a broken one", _AGAIN) from error
    if entry.file_size > most_bytes or len(data) > most_bytes:
        raise _too_large(path, name, max(entry.file_size, len(data)), most_bytes)
    return data


def _too_large(path: Path, name: str, size: int, most_bytes: int) -> InputError:
    expected = f"at most {most_bytes / 2**20:g} MB when unpacked"
    return refused(path, name, expected, f"{size / 2**20:.1f} MB", "Cut it down to the routes of this season.")


def _leads_out(name: str) -> bool:
    """Whether a name is absolute, or climbs above the folder it would be unpacked in, on whatever system."""
    plain = name.replace("\\", "/")
    return plain.startswith("/") or _DRIVE in plain.partition("/")[0] or ".." in PurePosixPath(plain).parts
