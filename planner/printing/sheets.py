"""Pages on a device that takes one sheet after the other: a PDF file or a printer."""

from __future__ import annotations

from PySide6.QtGui import QPagedPaintDevice, QPainter

from planner.printing.document import Pages


def paint_sheets(painter: QPainter, device: QPagedPaintDevice, pages: Pages) -> None:
    """Paint all pages, each on a sheet of its own; the first on the sheet that the device stands at.

    Args:
        painter: active on the device.
        device: without margins of its own, in full-page mode: the pages bring theirs.
        pages: what is painted.
    """
    for number in range(pages.page_count):
        if number:
            device.newPage()
        pages.paint_page(painter, number)
