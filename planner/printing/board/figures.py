"""Four figures at the head of the board's page."""

from __future__ import annotations

from planner.domain.reports.hours import Basis
from planner.domain.reports.progress import VisitState
from planner.domain.reports.season_report import SeasonReport
from planner.printing.canvas import Canvas
from planner.printing.fonts import Face
from planner.printing.geometry import Box
from planner.printing.setting import largest_face
from planner.printing.type_scale import NAMES, SMALL, TITLES

_GAP = 3.0
_PADDING = 2.5
_FACES = (*NAMES[1:], *TITLES[3:])


def paint_figures(canvas: Canvas, box: Box, report: SeasonReport) -> None:
    """Paint them side by side in frames."""
    figures = _figures(report)
    width = (box.width - _GAP * (len(figures) - 1)) / len(figures)
    faces = [largest_face(figure, _FACES, width - 2 * _PADDING) for figure, _ in figures]
    face = min(faces, key=lambda one: one.points)
    for number, (figure, words) in enumerate(figures):
        frame = Box(box.left + number * (width + _GAP), box.top, width, box.height)
        _paint_figure(canvas, frame, figure, words, face)


def _figures(report: SeasonReport) -> tuple[tuple[str, str], ...]:
    whole, hours = report.progress.whole, report.hours
    past = hours.hours(Basis.RECORDED, Basis.AS_PLANNED)
    sheets = whole.sheets
    return (
        (f"{whole.count(VisitState.DONE)} of {whole.visits}", "visits done"),
        (f"{whole.filled} of {whole.visits}", "have their people"),
        (f"{sheets.final} of {sheets.due}" if sheets.due else "none due", "habitat sheets in"),
        (f"{past:.0f} h", f"given by {_people(hours.gave)}" if past else "given so far"),
    )


def _people(count: int) -> str:
    return "1 person" if count == 1 else f"{count} people"


def _paint_figure(canvas: Canvas, box: Box, figure: str, words: str, face: Face) -> None:
    canvas.frame(box, 0.3, rounded=1.0)
    room = box.width - 2 * _PADDING
    canvas.text((box.left + _PADDING, box.top + 1.0 + face.ascent), figure, face, width=room)
    canvas.text((box.left + _PADDING, box.bottom - 1.2 - SMALL.descent), words, SMALL, width=room)
