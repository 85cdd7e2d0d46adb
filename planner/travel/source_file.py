"""A first look at a road file: what kind it is, and whether it may be handed to the reader at all."""

from __future__ import annotations

import bz2
import hashlib
from pathlib import Path

from planner.domain.errors import Fault, InputError

_HEAD_BYTES = 65_536
_WANTED = "an OpenStreetMap file (.osm, .osm.bz2 or .osm.pbf)"
_TODO = "Get the extract again from where it came from, or choose another file."


def check_source(path: Path) -> None:
    """Refuse what cannot be an OpenStreetMap file, before any parser sees it.

    Raises:
        InputError: the file is missing, empty, unreadable, of another kind, or XML that declares a DOCTYPE
            (entities could blow it up to any size, and OpenStreetMap files have none).
    """
    suffixes = "".join(path.suffixes[-2:]).lower()
    head = _first_bytes(path)
    if not head:
        raise fault(path, "", _WANTED, "an empty file", _TODO)
    if suffixes.endswith(".pbf"):
        _check_pbf(path, head)
    elif suffixes.endswith(".osm.bz2"):
        _check_xml(path, _unpacked_head(path))
    elif suffixes.endswith(".osm"):
        _check_xml(path, head)
    else:
        raise fault(path, "", _WANTED, f"a file name that ends in '{path.suffix}'", _TODO)


def content_hash(path: Path) -> str:
    """Return the SHA-256 of a file as 64 hexadecimal digits."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def fault(path: Path, where: str, expected: str, found: str, todo: str = _TODO) -> InputError:
    """Return the error for a road file."""
    return InputError(Fault(str(path), where, expected, found, todo))


def _first_bytes(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            return file.read(_HEAD_BYTES)
    except OSError as error:
        raise fault(
            path, "", _WANTED, error.strerror or str(error), "Check the name and that you may read the file."
        ) from error


def _unpacked_head(path: Path) -> bytes:
    try:
        with bz2.open(path) as file:
            return file.read(_HEAD_BYTES)
    except (OSError, EOFError) as error:
        raise fault(path, "", "a bzip2 file holding OpenStreetMap XML", str(error)) from error


def _check_pbf(path: Path, head: bytes) -> None:
    # A 4-byte length, then a header whose first field is its type: 0x0A, 9, "OSMHeader".
    if head[4:15] != b"\x0a\x09OSMHeader":
        raise fault(path, "byte 0", "the header of an OpenStreetMap PBF file", "other bytes")


def _check_xml(path: Path, head: bytes) -> None:
    """Walk the prolog (declaration, comments, instructions) to the root element."""
    rest = head.removeprefix(b"\xef\xbb\xbf").lstrip()
    while rest.startswith((b"<?", b"<!--")):
        end = b"?>" if rest.startswith(b"<?") else b"-->"
        rest = rest.partition(end)[2].lstrip()
    line = head[: len(head) - len(rest)].count(b"\n") + 1
    where = f"line {line}" if rest else ""
    if rest[:9].upper() == b"<!DOCTYPE":
        raise fault(path, where, "XML without a DOCTYPE", "a DOCTYPE", "Do not trust this file; get the extract again.")
    if rest[:4] != b"<osm" or rest[4:5] not in {b" ", b">", b"\t", b"\r", b"\n", b"/"}:
        found = "no element" if not rest.startswith(b"<") else f"'{rest[:20].decode('ascii', 'replace')}'"
        raise fault(path, where, "the root element <osm>", found)
