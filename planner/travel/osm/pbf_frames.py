"""The frames of an OpenStreetMap PBF file: whether they are all there, and how much they unpack to.

The layout is that of the OpenStreetMap wiki, PBF Format: a length of four bytes, a BlobHeader (field 3: size of the
blob), a Blob (field 1: plain data; field 2: size once unpacked), and so on to the end of the file.
"""

from __future__ import annotations

import os
from typing import BinaryIO

_MOST_HEADER_BYTES = 64 * 1024
_MOST_BLOB_BYTES = 32 * 1024 * 1024
"""The format's own bounds."""
_BLOB_START = 32
"""Enough of a blob to hold its first fields, data left out."""
_BLOB_SIZE, _PLAIN_DATA, _UNPACKED_SIZE = 3, 1, 2


class PbfError(Exception):
    """What is wrong with the frames of a file, and at which byte."""

    def __init__(self, offset: int, expected: str, found: str) -> None:
        super().__init__(offset, expected, found)
        self.offset = offset
        self.expected = expected
        self.found = found


def unpacked_bytes(file: BinaryIO) -> int:
    """Return how many bytes the blobs of a PBF file say they hold, looking at their headers only.

    Raises:
        PbfError: a frame is damaged, too large for the format, or cut off by the end of the file.
    """
    size = file.seek(0, os.SEEK_END)
    offset = total = 0
    while offset < size:
        file.seek(offset)
        header = _header(file, offset)
        begin = offset + 4 + len(header)
        blob_bytes = _fields(header)[0].get(_BLOB_SIZE, -1)
        if not 0 <= blob_bytes <= _MOST_BLOB_BYTES:
            raise PbfError(offset, "the size of the next part of the file", "none that is possible")
        if begin + blob_bytes > size:
            raise PbfError(offset, f"a part of {blob_bytes} bytes", f"the end of the file after {size - begin}")
        total += _unpacked_size(file, begin, blob_bytes)
        offset = begin + blob_bytes
    return total


def _unpacked_size(file: BinaryIO, begin: int, blob_bytes: int) -> int:
    """Return the size a blob says it has once unpacked, said before its data or after them."""
    fields: dict[int, int] = {}
    at = 0
    while _UNPACKED_SIZE not in fields and at < blob_bytes:
        file.seek(begin + at)
        found, ahead = _fields(file.read(min(blob_bytes - at, _BLOB_START)))
        fields |= found
        if not found:
            break
        at += ahead
    return fields.get(_UNPACKED_SIZE, fields.get(_PLAIN_DATA, blob_bytes))


def _header(file: BinaryIO, offset: int) -> bytes:
    start = file.read(4)
    length = int.from_bytes(start, "big")
    if len(start) < 4 or not 0 < length <= _MOST_HEADER_BYTES:
        raise PbfError(offset, "the header of the next part of the file", "other bytes" if start[3:] else "its end")
    header = file.read(length)
    if len(header) < length:
        raise PbfError(offset, f"a header of {length} bytes", f"the end of the file after {len(header)}")
    return header


def _fields(message: bytes) -> tuple[dict[int, int], int]:
    """Return the fields at the start of a protobuf message, and how many bytes they take.

    A number comes as it is, of a text or of data the length, even where they go on beyond what is given.
    """
    found: dict[int, int] = {}
    at = 0
    while at < len(message):
        key, next_at = _varint(message, at)
        wire, number = key & 7, key >> 3
        if wire not in {0, 2}:
            break
        found[number], at = _varint(message, next_at)
        if wire == 2:
            at += found[number]
    return found, at


def _varint(message: bytes, at: int) -> tuple[int, int]:
    value = shift = 0
    while at < len(message) and shift < 64:
        byte = message[at]
        value |= (byte & 0x7F) << shift
        at, shift = at + 1, shift + 7
        if byte < 0x80:
            break
    return value, at
