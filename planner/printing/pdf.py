"""Pages as PDF files."""

from __future__ import annotations

import datetime as dt
import re
import uuid
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QUuid
from PySide6.QtGui import QPageSize, QPainter, QPdfWriter

from planner.domain.errors import Fault, InputError
from planner.domain.itinerary import Itinerary
from planner.printing.document import render_pages
from planner.printing.paper import PageCount, Paper
from planner.printing.sheets import paint_sheets

DOTS_PER_INCH = 1200
CREATOR = "Dimpsy"
_HEAD_BYTES = 64 * 1024
"""Within so many title and creator stand, however long the title."""
_OWN = b"/Creator (\xfe\xff" + CREATOR.encode("utf-16-be") + b")"
_SIZES = {Paper.A4: QPageSize.PageSizeId.A4, Paper.LETTER: QPageSize.PageSizeId.Letter}
_DATED = re.compile(rb"(/(?:CreationDate|ModDate) \(D:)\d{14}")
_STAMPED = re.compile(rb"((?:Create|Modify|Metadata)Date=\")\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d")


def write_itinerary(itinerary: Itinerary, path: Path, *, paper: Paper = Paper.A4) -> PageCount:
    """Write an itinerary as a PDF file and return how many pages it has.

    The same itinerary gives the same bytes, whenever it is printed: its dates are that of ``printed_on``. The file
    appears under its name only when it is whole.

    Args:
        itinerary: what is printed.
        path: the file; an older one of that name is replaced.
        paper: size of the sheets.

    Raises:
        InputError: the file cannot be written there.
    """
    pages = render_pages(itinerary, paper)
    edition = f"{pages.title}, {itinerary.printed_on}, step {itinerary.revision}"
    data = pdf_bytes(
        pages.title, edition, itinerary.printed_on, paper, lambda painter, writer: paint_sheets(painter, writer, pages)
    )
    write_pdf(path, data)
    return pages.page_count


def write_pdf(path: Path, data: bytes) -> None:
    """Write a PDF file whole or not at all.

    Raises:
        InputError: the file cannot be written there.
    """
    try:
        _replace(path, data)
    except OSError as error:
        raise InputError(
            Fault(
                source=str(path),
                where="",
                expected="a folder that can be written to, and a file that no program holds open",
                found=error.strerror or str(error),
                todo="Choose another folder, or close the program that shows the old one.",
            )
        ) from error


def pdf_bytes(
    title: str, edition: str, day: dt.date, paper: Paper, paint: Callable[[QPainter, QPdfWriter], None]
) -> bytes:
    """Return a PDF file; the same matter gives the same bytes, whenever it is made.

    Args:
        title: of the document.
        edition: tells this document from others, and from itself at another time.
        day: its date.
        paper: size of the sheets.
        paint: paints every sheet; the first is begun.
    """
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setTitle(title)
    writer.setCreator(CREATOR)
    writer.setDocumentId(QUuid(str(uuid.uuid5(uuid.NAMESPACE_OID, edition))))
    writer.setResolution(DOTS_PER_INCH)
    writer.setPageSize(QPageSize(_SIZES[paper]))
    writer.setPageMargins(QMarginsF(0, 0, 0, 0))
    painter = QPainter(writer)
    paint(painter, writer)
    painter.end()
    return _settled(bytes(buffer.data().data()), day)


def is_own_pdf(path: Path) -> bool:
    """Whether a file is a PDF that this program wrote, so that a newer one may take its place."""
    if not path.is_file():
        return False
    try:
        with path.open("rb") as file:
            return _OWN in file.read(_HEAD_BYTES)
    except OSError:
        return False


def _settled(data: bytes, day: dt.date) -> bytes:
    """Return the file with the date of printing in place of the moment of writing; nothing moves in it."""
    data = _DATED.sub(rb"\g<1>" + f"{day:%Y%m%d}000000".encode(), data)
    return _STAMPED.sub(rb"\g<1>" + f"{day:%Y-%m-%d}T00:00:00".encode(), data)


def _replace(path: Path, data: bytes) -> None:
    """Write beside the file, then rename; opened as any file, so that whoever may read others may read it too."""
    part = path.with_name(f".{uuid.uuid4().hex}.part")
    try:
        part.write_bytes(data)
        part.replace(path)
    except BaseException:
        part.unlink(missing_ok=True)
        raise
