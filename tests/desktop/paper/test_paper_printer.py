"""Printing on both sides: everybody's itinerary begins on a sheet of its own."""

from __future__ import annotations

from pathlib import Path

from pypdf import PdfReader
from PySide6.QtPrintSupport import QPrinter

from planner.desktop.paper.printer import new_printer, paper_in, print_on
from planner.desktop.paper.room import PaperRoom
from planner.printing import Paper
from planner.usecases.paper.runs import PrintJob, print_job


def _job(room: PaperRoom, *volunteers: str) -> PrintJob:
    facts = room.watch.facts
    assert facts is not None
    return print_job(facts, volunteers)


def _printer(path: Path, paper: Paper = Paper.A4) -> QPrinter:
    printer = new_printer(paper, "Itineraries")
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(path))
    return printer


def test_that_on_both_sides_an_odd_last_page_is_followed_by_an_empty_one(room: PaperRoom, tmp_path: Path) -> None:
    job = _job(room, "V01", "V05")
    out = print_on(_printer(tmp_path / "both.pdf"), job, Paper.A4, both_sides=True)
    counts = [one.pages for one in out]
    assert counts[0] % 2 == 1
    texts = [" ".join(page.extract_text().split()) for page in PdfReader(tmp_path / "both.pdf").pages]
    assert len(texts) == sum(counts) + 1
    assert texts[counts[0]] == ""
    assert "Imogen Sparrowhill" in texts[counts[0] + 1]


def test_that_sheets_are_whole_and_of_the_size_asked_for(room: PaperRoom, tmp_path: Path) -> None:
    printer = _printer(tmp_path / "letter.pdf", Paper.LETTER)
    assert paper_in(printer, Paper.A4) is Paper.LETTER
    print_on(printer, _job(room, "V05"), Paper.LETTER)
    box = PdfReader(tmp_path / "letter.pdf").pages[0].mediabox
    assert (round(float(box.width)), round(float(box.height))) == (612, 792)


def test_that_a_stopped_print_puts_nothing_out(room: PaperRoom, tmp_path: Path) -> None:
    done: list[int] = []
    out = print_on(
        _printer(tmp_path / "stopped.pdf"),
        _job(room, "V05", "V08", "V09"),
        Paper.A4,
        on_done=lambda number, _of: done.append(number),
        stop=lambda: bool(done),
    )
    assert out == ()
    assert done == [1]
