"""Parts of OpenStreetMap PBF files, written byte by byte (OpenStreetMap wiki, PBF Format)."""

from __future__ import annotations

import zlib


def _varint(number: int) -> bytes:
    low, rest = number & 0x7F, number >> 7
    return bytes([low | 0x80]) + _varint(rest) if rest else bytes([low])


def pbf_frame(kind: bytes, content: bytes, says: int, *, size_last: bool = False) -> bytes:
    """Return one part of a PBF file that says it unpacks to so many bytes."""
    size, data = b"\x10" + _varint(says), b"\x1a" + _varint(len(packed := zlib.compress(content))) + packed
    blob = data + size if size_last else size + data
    header = b"\x0a" + _varint(len(kind)) + kind + b"\x18" + _varint(len(blob))
    return len(header).to_bytes(4, "big") + header + blob
