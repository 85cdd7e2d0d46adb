"""A first look at a road file: what kind it is, and whether it may be handed to the reader at all."""

from __future__ import annotations

import bz2
import hashlib
import stat
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from planner.domain.errors import Fault, InputError
from planner.travel.osm.pbf_frames import PbfError, unpacked_bytes

_HEAD_BYTES = 65_536
_WANTED = "an OpenStreetMap file (.osm, .osm.bz2 or .osm.pbf)"
_TODO = "Get the extract again from where it came from, or choose another file."
_DISTRUST = "Do not trust this file; get the extract again."
_MOST_TIMES = 100
"""How often the size of the file its content may be; bzip2 makes a tenth of a map, the parts of a PBF a third."""
_FREE_BYTES = 64_000_000
"""A content this large is never too large."""
_CHUNK_BYTES = 1_000_000
_GZIP = b"\x1f\x8b"


def check_source(path: Path) -> None:
    """Refuse what cannot be an OpenStreetMap file, before any parser sees it.

    Raises:
        InputError: the file is missing, empty, unreadable, cut off (PBF), of another kind, packed to unpack to far
            more than a map does, or XML that declares a DOCTYPE (entities could blow it up to any size, and
            OpenStreetMap files have none).
    """
    name = path.name.lower()
    head = _first_bytes(path)
    if not head:
        raise fault(path, "", _WANTED, "an empty file")
    if name.endswith(".gz") or head.startswith(_GZIP):
        raise fault(path, "", _WANTED, "a file packed with gzip", "Unpack it (gunzip), and choose what comes out.")
    if name.endswith(".pbf"):
        _check_pbf(path, head)
    elif name.endswith(".osm.bz2"):
        _check_xml(path, _unpacked_head(path))
    elif name.endswith(".osm"):
        _check_xml(path, head)
    else:
        todo = "Give it the ending of what it holds: .osm where it is XML, .osm.bz2 where that is packed, or .osm.pbf."
        raise fault(path, "", _WANTED, f"a file name that ends in '{path.suffix}'", todo)


@contextmanager
def readable(path: Path) -> Iterator[Path]:
    """Give a checked road file as one that can be read more than once at no great cost.

    A .osm.bz2 file is unpacked into the system's folder for temporary files while this lasts: to unpack it once takes
    longer than to read it twice. So it can also be stopped when it turns out to be a bomb.

    Raises:
        InputError: it cannot be unpacked, unpacks to far more than a map does, or there is no room for it.
    """
    if not path.name.lower().endswith(".bz2"):
        yield path
        return
    with tempfile.TemporaryDirectory(prefix="dimpsy-roads-") as folder:
        plain = Path(folder) / "roads.osm"
        _unpack(path, plain)
        yield plain


def content_bound(path: Path) -> int:
    """Return how many bytes a checked file holds once it is unpacked."""
    with path.open("rb") as file:
        return unpacked_bytes(file) if path.name.lower().endswith(".pbf") else path.stat().st_size


def content_hash(path: Path) -> str:
    """Return the SHA-256 of a file as 64 hexadecimal digits."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def fault(path: Path, where: str, expected: str, found: str, todo: str = _TODO) -> InputError:
    """Return the error for a road file."""
    return InputError(Fault(str(path), where, expected, found, todo))


def _first_bytes(path: Path) -> bytes:
    """What is no file is not opened: a pipe may never be written to, and a device may never end."""
    try:
        mode = path.stat().st_mode
        if not (stat.S_ISREG(mode) or stat.S_ISDIR(mode)):
            raise fault(path, "", _WANTED, "a device or a pipe", "Keep what comes out of it as a file; choose that.")
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
        raise _no_bzip2(path, error) from error


def _unpack(path: Path, plain: Path) -> None:
    most = max(_FREE_BYTES, _MOST_TIMES * path.stat().st_size)
    try:
        packed = bz2.open(path)  # noqa: SIM115  # closed by the next line; its errors are not those of writing
        with packed, plain.open("wb") as out:
            while chunk := _next_chunk(path, packed):
                _write(path, out, chunk)
                if out.tell() > most:
                    raise _bomb(path, out.tell())
    except OSError as error:
        raise _no_bzip2(path, error) from error


def _next_chunk(path: Path, packed: bz2.BZ2File) -> bytes:
    try:
        return packed.read(_CHUNK_BYTES)
    except (OSError, EOFError) as error:
        raise _no_bzip2(path, error) from error


def _write(path: Path, out: BinaryIO, chunk: bytes) -> None:
    try:
        out.write(chunk)
    except OSError as error:
        expected = f"room to unpack it in {tempfile.gettempdir()}"
        todo = "Make room there, or choose a .osm.pbf file of the same roads."
        raise fault(path, "", expected, error.strerror or str(error), todo) from error


def _no_bzip2(path: Path, error: Exception) -> InputError:
    return fault(path, "", "a bzip2 file holding OpenStreetMap XML", str(error))


def _bomb(path: Path, size: int) -> InputError:
    times = size // max(path.stat().st_size, 1)
    return fault(path, "", "a map", f"content {times} times as large as the file", _DISTRUST)


def _check_pbf(path: Path, head: bytes) -> None:
    # A 4-byte length, then a header whose first field is its type: 0x0A, 9, "OSMHeader".
    if head[4:15] != b"\x0a\x09OSMHeader":
        raise fault(path, "byte 0", "the header of an OpenStreetMap PBF file", "other bytes")
    try:
        with path.open("rb") as file:
            size = unpacked_bytes(file)
    except PbfError as problem:
        raise fault(path, f"byte {problem.offset}", problem.expected, problem.found) from problem
    if size > max(_FREE_BYTES, _MOST_TIMES * path.stat().st_size):
        raise _bomb(path, size)


def _check_xml(path: Path, head: bytes) -> None:
    """Walk the prolog (declaration, comments, instructions) to the root element."""
    rest = head.removeprefix(b"\xef\xbb\xbf").lstrip()
    while rest.startswith((b"<?", b"<!--")):
        end = b"?>" if rest.startswith(b"<?") else b"-->"
        rest = rest.partition(end)[2].lstrip()
    line = head[: len(head) - len(rest)].count(b"\n") + 1
    where = f"line {line}" if rest else ""
    if rest[:9].upper() == b"<!DOCTYPE":
        raise fault(path, where, "XML without a DOCTYPE", "a DOCTYPE", _DISTRUST)
    if rest[:4] != b"<osm" or rest[4:5] not in {b" ", b">", b"\t", b"\r", b"\n", b"/"}:
        found = "no element" if not rest.startswith(b"<") else f"'{rest[:20].decode('ascii', 'replace')}'"
        raise fault(path, where, "the root element <osm>", found)
