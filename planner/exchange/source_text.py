"""The bytes and the text of a file that is handed in, looked at before any parser sees them."""

from __future__ import annotations

import codecs
import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from planner.domain.errors import Fault, InputError
from planner.exchange.faults import refused

MOST_BYTES = 32 * 1024 * 1024
"""Largest GPX or CSV file that is read: some hundred thousand points, far beyond any season."""

_UNREADABLE = ((codecs.BOM_UTF32_LE, "UTF-32"), (codecs.BOM_UTF32_BE, "UTF-32"))
_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_ASK = "Ask for the table as CSV, or for the routes as GPX"
_PICTURE = ("a picture", f"{_ASK}: a picture is not a table.")
_SAVE_SHEET = "Save the spreadsheet as CSV or XLSX"
_OTHER_KINDS: tuple[tuple[bytes, tuple[str, str]], ...] = (
    (b"%PDF", ("a PDF document", f"{_ASK}: a PDF is not a table.")),
    (b"\x89PNG", _PICTURE),
    (b"\xff\xd8\xff", _PICTURE),
    (b"GIF8", _PICTURE),
    (
        b"SQLite format 3\0",
        ("a season file or other database", "Open a season with File, Open: it is not brought in."),
    ),
    (
        b"PK\x03\x04",
        (
            "a workbook or an archive of files (zip), perhaps cut off",
            f"Copy it again from where it came. {_SAVE_SHEET}, or unpack the archive, and bring that in.",
        ),
    ),
    (b"\xd0\xcf\x11\xe0", ("a workbook or document of an office program", f"{_SAVE_SHEET} and bring that in.")),
)
"""What files begin with that are often taken for tables, what they are, and what to do."""
_OPEN_DOCUMENT = b"mimetypeapplication/vnd.oasis.opendocument.spreadsheet"
"""Stands in the first file of the archive, not packed, from byte 30 on: OpenDocument 1.3, part 2, section 3.3."""
_LINE_SHOWN = 80
_SAVE_AS = "Save it again as UTF-8 (a spreadsheet calls it 'CSV UTF-8')."


class LettersError(InputError):
    """A text whose letters are coded in some other way than UTF-8 or UTF-16."""

    def __init__(self, line: bytes, fault: Fault) -> None:
        self.line = line
        """The first line that shows it, or the beginning of that."""
        super().__init__(fault)


@contextmanager
def opened(path: Path, wanted: str) -> Iterator[BinaryIO]:
    """Open a file to read its bytes; raises InputError where that fails, then or while it is read.

    What is no file is not opened at all: a pipe may never be written to, and a device may never end.
    """
    try:
        mode = path.stat().st_mode
        if not (stat.S_ISREG(mode) or stat.S_ISDIR(mode)):
            raise refused(path, "", wanted, "a device or a pipe", "Keep what comes out of it as a file; choose that.")
        with path.open("rb") as file:
            yield file
    except OSError as error:
        todo = "Check the name and that you may read the file."
        raise refused(path, "", wanted, error.strerror or str(error), todo) from error


def read_bytes(path: Path, wanted: str, most_bytes: int = MOST_BYTES) -> bytes:
    """Return a file's bytes.

    Args:
        path: the file.
        wanted: what it should be, in words: "a GPX file".
        most_bytes: larger files are refused unread.

    Raises:
        InputError: the file is missing, no file, unreadable, empty or too large.
    """
    with opened(path, wanted) as file:
        size = os.fstat(file.fileno()).st_size
        if size > most_bytes:
            expected = f"{wanted} of at most {most_bytes / 2**20:g} MB"
            raise refused(path, "", expected, f"{size / 2**20:.1f} MB", "Cut it down to the routes of this season.")
        data = file.read()
    if not data:
        raise refused(path, "", wanted, "an empty file", "Export it again, or choose another file.")
    return data


def read_text(path: Path, wanted: str, most_bytes: int = MOST_BYTES, encoding: str = "") -> str:
    """Return a file's text, line ends as they stand: UTF-8, or UTF-16 where the byte order mark says so.

    Raises:
        InputError: as :func:`read_bytes`; or the bytes are no such text.
    """
    return as_text(read_bytes(path, wanted, most_bytes), path, wanted, encoding)


def as_text(data: bytes, path: Path, wanted: str, encoding: str = "") -> str:
    """Return bytes as text.

    Args:
        data: the bytes.
        path: the file, for what is said of it.
        wanted: what it should be, in words.
        encoding: how its letters are coded, where a person said so: a name that Python knows. Without it they are in
            UTF-8, or UTF-16 where a byte order mark says so; nothing else is guessed, for many codes fit any bytes.

    Raises:
        InputError: naming the line where the bytes stop being text; as :class:`LettersError` where they are no UTF-8.
    """
    if data.startswith(_OPEN_DOCUMENT, 30):
        todo = "Open it in the spreadsheet, save it as XLSX (Excel 2007-365) under File, Save As, and choose that."
        raise refused(path, "", wanted, "a spreadsheet in the OpenDocument format (ODS), which is not read here", todo)
    for start, (what, todo) in _OTHER_KINDS:
        if data.startswith(start):
            raise refused(path, "", wanted, what, todo)
    for mark, name in _UNREADABLE:
        if data.startswith(mark):
            raise refused(path, "", f"{wanted} in UTF-8 or UTF-16", name, _SAVE_AS)
    marked = next((name for mark, name in _MARKS if data.startswith(mark)), "")
    encoding = marked or encoding or "utf-8"
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        found = f"byte {data[error.start]:#04x}, which is no {encoding.removesuffix('-sig').upper()}"
        fault = Fault(str(path), f"line {line}", f"{wanted} in UTF-8", found, _SAVE_AS)
        if marked:
            raise InputError(fault) from error
        raise LettersError(data.splitlines()[line - 1][:_LINE_SHOWN], fault) from error
    except (LookupError, ValueError) as error:
        known = "a code of letters that is known, such as cp1252"
        raise refused(path, "", known, repr(encoding[:40]), "Name another, or save the file as UTF-8.") from error
    if "\0" in text:
        line = text.partition("\0")[0].count("\n") + 1
        raise refused(path, f"line {line}", wanted, "bytes of a file that is no text", "Choose another file.")
    return text
