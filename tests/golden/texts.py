"""The words of every page of an itinerary, line by line: what the golden files hold."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtGui import QImage, QPainter

from planner.printing import Pages
from planner.printing.canvas import TextMark

FOLDER = Path(__file__).parent
SAME_LINE_MM = 1.0


def marks_of(pages: Pages, number: int) -> list[TextMark]:
    """Return every line of text of one page, as it was set."""
    marks: list[TextMark] = []
    image = QImage(8, 8, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    pages.paint_page(painter, number, watch=marks.append)
    painter.end()
    return marks


def baseline(mark: TextMark) -> float:
    """Return where a line of text stands, in millimetres down the page."""
    return mark.box.top + mark.face.ascent


def page_text(marks: list[TextMark]) -> str:
    """Return a page as it is read: from the top, and from the left where lines stand level."""
    lines: list[list[TextMark]] = []
    for mark in sorted(marks, key=baseline):
        if lines and abs(baseline(lines[-1][0]) - baseline(mark)) < SAME_LINE_MM:
            lines[-1].append(mark)
        else:
            lines.append([mark])
    return "\n".join(" | ".join(m.text for m in sorted(line, key=lambda m: m.box.left)) for line in lines)


def document_text(pages: Pages) -> str:
    """Return all pages, each under its number."""
    parts = [f"=== {n + 1} ===\n{page_text(marks_of(pages, n))}\n" for n in range(pages.page_count)]
    return "\n".join(parts)
