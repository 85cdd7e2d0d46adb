"""Itineraries on a printer, by the renderer that the PDF files and the preview come from."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QMarginsF
from PySide6.QtGui import QPageSize, QPainter
from PySide6.QtPrintSupport import QPrinter

from planner.domain.errors import DimpsyError
from planner.printing import Paper, paint_sheets, render_pages
from planner.usecases.paper.runs import PaperOut, PrintJob

_SIZES = {Paper.A4: QPageSize.PageSizeId.A4, Paper.LETTER: QPageSize.PageSizeId.Letter}


def new_printer(paper: Paper, title: str) -> QPrinter:
    """Return the system's printer, set up for whole sheets of that paper."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setPageSize(QPageSize(_SIZES[paper]))
    printer.setDocName(title)
    printer.setCreator("Dimpsy")
    return printer


def paper_in(printer: QPrinter, usual: Paper) -> Paper:
    """Return which paper a printer was set to; the usual one where it is neither A4 nor Letter."""
    chosen = printer.pageLayout().pageSize().id()
    return next((paper for paper, size in _SIZES.items() if size == chosen), usual)


def on_both_sides(printer: QPrinter) -> bool:
    """Whether a printer was set to print on both sides of the sheets."""
    return printer.duplex() is not QPrinter.DuplexMode.DuplexNone


def print_on(
    printer: QPrinter,
    job: PrintJob,
    paper: Paper,
    *,
    both_sides: bool = False,
    on_done: Callable[[int, int], None] = lambda _done, _of: None,
    stop: Callable[[], bool] = lambda: False,
) -> tuple[PaperOut, ...]:
    """Print itineraries as one document.

    Args:
        printer: as a person has set it up.
        job: what is printed.
        paper: size of the sheets.
        both_sides: whether sheets are printed on both sides: everybody's itinerary then begins on a sheet of its own.
        on_done: told how many itineraries are done, and of how many.
        stop: asked before each itinerary whether to give up; nothing is then printed.

    Raises:
        DimpsyError: the printer does not take the document.
    """
    printer.setPageSize(QPageSize(_SIZES[paper]))
    printer.setFullPage(True)
    printer.setPageMargins(QMarginsF(0, 0, 0, 0))
    painter = QPainter()
    if not painter.begin(printer):
        raise DimpsyError(f"The printer {printer.printerName()!r} does not take the pages. Is it switched on?")
    out: list[PaperOut] = []
    for itinerary in job.itineraries():
        if stop():
            printer.abort()
            out.clear()
            break
        pages = render_pages(itinerary, paper)
        if out:
            _turn(printer, blank=both_sides and bool(out[-1].pages % 2))
        paint_sheets(painter, printer, pages)
        out.append(PaperOut.of(itinerary, pages.page_count))
        on_done(len(out), len(job.people))
    painter.end()
    return tuple(out)


def _turn(printer: QPrinter, *, blank: bool) -> None:
    """Go to the next page, over an empty one where the last sheet is printed on one side only."""
    printer.newPage()
    if blank:
        printer.newPage()
