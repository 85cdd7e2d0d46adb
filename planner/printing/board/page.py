"""The page for the board: always one, whatever the season; what does not fit is counted and said."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from PySide6.QtGui import QImage, QPainter

from planner.domain.reports.season_report import SeasonReport
from planner.printing.board.figures import paint_figures
from planner.printing.board.habitat import paint_habitat
from planner.printing.board.progress import paint_progress
from planner.printing.board.route_marks import paint_map
from planner.printing.board.sections import paint_asked, paint_given, paint_lost, paint_weakest
from planner.printing.canvas import WHITE, Align, Canvas, Watcher
from planner.printing.document import MM_AN_INCH
from planner.printing.fonts import load_fonts
from planner.printing.geometry import Box
from planner.printing.paper import Paper
from planner.printing.pdf import pdf_bytes, write_pdf
from planner.printing.setting import at_most_lines, largest_face
from planner.printing.times import long_date, short_date
from planner.printing.type_scale import BODY, SMALL, TITLES

GAP = 5.0
"""Between the parts of the page, in millimetres."""


@dataclass(frozen=True, slots=True)
class BoardPage:
    """The page, laid out for one paper."""

    report: SeasonReport
    paper: Paper = Paper.A4

    @property
    def title(self) -> str:
        """The document's title."""
        return f"{self.report.season}: how the season stands"

    def paint(self, painter: QPainter, *, watch: Watcher | None = None) -> None:
        """Paint the page with the painter's origin at the corner of the sheet; the device's resolution is the scale."""
        load_fonts()
        device = painter.device()
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.scale(device.logicalDpiX() / MM_AN_INCH, device.logicalDpiY() / MM_AN_INCH)
        _paint(Canvas(painter, watch), self.report, self.paper)
        painter.restore()

    def image(self, dots_per_inch: float = 110.0, *, watch: Watcher | None = None) -> QImage:
        """Return a picture of the page."""
        load_fonts()
        width, height = (round(side / MM_AN_INCH * dots_per_inch) for side in self.paper.size_mm)
        image = QImage(width, height, QImage.Format.Format_RGB32)
        image.fill(WHITE)
        dots_per_metre = round(dots_per_inch / MM_AN_INCH * 1000)
        image.setDotsPerMeterX(dots_per_metre)
        image.setDotsPerMeterY(dots_per_metre)
        painter = QPainter(image)
        self.paint(painter, watch=watch)
        painter.end()
        return image


def write_board_page(report: SeasonReport, path: Path, *, paper: Paper = Paper.A4) -> None:
    """Write the page as a PDF file; it appears under its name only when it is whole.

    Args:
        report: the figures.
        path: the file; an older one of that name is replaced.
        paper: size of the sheet.

    Raises:
        InputError: the file cannot be written there.
    """
    load_fonts()
    page = BoardPage(report, paper)
    edition = f"{page.title}, {report.today}, step {report.revision}"
    data = pdf_bytes(page.title, edition, report.today, paper, lambda painter, _writer: page.paint(painter))
    write_pdf(path, data)


def _paint(canvas: Canvas, report: SeasonReport, paper: Paper) -> None:
    content = paper.content
    top = _paint_head(canvas, content, report)
    figures = Box(content.left, top, content.width, 17.0)
    paint_figures(canvas, figures, report)
    left, right = _columns(content)
    top = figures.bottom + GAP
    # What is asked stands at the foot; the rows between share what room the paper leaves.
    asked = Box(content.left, content.bottom - 40.0, content.width, 40.0)
    middle = top + (asked.top - top) * 0.64
    paint_map(canvas, Box(left.left, top, left.width, middle - top - GAP), report.places)
    lost = 17.0
    given = 38.0
    progress = Box(right.left, top, right.width, middle - top - GAP - lost - given)
    paint_progress(canvas, progress, report.progress)
    paint_lost(canvas, Box(right.left, progress.bottom, right.width, lost), report.lost, report.lost_unknown_until)
    paint_given(canvas, Box(right.left, progress.bottom + lost, right.width, given), report)
    lower = asked.top - GAP - middle
    paint_habitat(canvas, Box(left.left, middle, left.width, lower), report.habitat)
    paint_weakest(canvas, Box(right.left, middle, right.width, lower), report)
    paint_asked(canvas, asked, report)
    _paint_footer(canvas, paper.footer, report)


def _columns(content: Box) -> tuple[Box, Box]:
    width = (content.width - GAP * 1.4) / 2
    return (
        Box(content.left, content.top, width, content.height),
        Box(content.right - width, content.top, width, content.height),
    )


def _paint_head(canvas: Canvas, content: Box, report: SeasonReport) -> float:
    """Paint the head and return where it ends."""
    face = largest_face(report.season, TITLES, content.width)
    canvas.text((content.left, content.top + face.ascent), report.season, face, width=content.width)
    invented = " (invented)" if report.invented and "invented" not in report.survey else ""
    dates = f"{short_date(report.first)} to {short_date(report.last)} {report.last.year}"
    said = f"{report.survey}{invented}. {_counted(report.routes, 'route')}, {dates}."
    stands = f"As it stands on {long_date(report.today)}."
    under = at_most_lines(f"{said} {stands}", BODY, content.width, 2)
    top = content.top + face.line
    canvas.lines((content.left, top), under, BODY)
    return top + len(under) * BODY.line + 3.0


def _paint_footer(canvas: Canvas, box: Box, report: SeasonReport) -> None:
    rule = box.bottom - SMALL.line - 1.5
    canvas.line((box.left, rule), (box.right, rule), 0.25)
    baseline = rule + 1.5 + SMALL.ascent
    care = "Roads in the dark: local law and the survey's own safety rules come first."
    canvas.text((box.left, baseline), care, SMALL, width=box.width * 0.76)
    canvas.text((box.right, baseline), f"revision {report.revision}", SMALL, align=Align.RIGHT)


def _counted(number: int, thing: str) -> str:
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"
