"""Paints the strip of a season: the sky of every date, the light window in it, and who is out when."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QLocale, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QImage, QPainter, QPen, QPolygonF

from planner.desktop.look.colours import Colours
from planner.desktop.season.strip_places import GUTTER, LINE, StripPlaces
from planner.domain.calendar import DateRange
from planner.usecases.evening.who_is_out import OutOn

if TYPE_CHECKING:
    from planner.usecases.season.sky import SkyBand

LAMP = QColor("#ffe9b0")
"""Evenings on which somebody is out are lit, the same in both palettes, as the sky is."""
BAND_EDGE = QColor(255, 255, 255, 210)
BAND_SHADE = QColor(20, 18, 42, 110)
"""Under what is drawn in light colours, so that it is seen on a light sky too: a dawn window lies in daylight."""
BAND_FILL = QColor(255, 255, 255, 42)
NIGHT_INK = QColor("#ffffff")
_HOUR = 60


@dataclass(frozen=True, slots=True)
class StripScene:
    """All that a strip shows."""

    places: StripPlaces
    images: Sequence[QImage]
    out: Mapping[dt.date, OutOn]
    today: dt.date
    marked: dt.date | None
    """The date that is pointed at."""
    colours: Colours


def paint_strip(painter: QPainter, scene: StripScene) -> None:
    """Paint a strip, from the sky to the key."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    _paint_months(painter, scene)
    _paint_visits(painter, scene)
    for number, image in enumerate(scene.images):
        _paint_sky(painter, scene, number, image)
    if not scene.images:
        _paint_no_sky(painter, scene)
    _paint_outings(painter, scene)
    _paint_today(painter, scene)
    _paint_marked(painter, scene)
    _paint_key(painter, scene)


def _paint_months(painter: QPainter, scene: StripScene) -> None:
    places, metrics = scene.places, QFontMetricsF(painter.font())
    painter.setPen(QColor(scene.colours.quiet))
    bottom = places.outings_box.bottom()
    for _, days in groupby(places.dates, key=lambda day: (day.year, day.month)):
        month = list(days)
        words = QLocale().standaloneMonthName(month[0].month)
        left, right = places.left(month[0]), places.left(month[-1]) + places.column
        if metrics.horizontalAdvance(words) < right - left:
            painter.drawText(QPointF(left + 3.0, LINE - 5.0), words)
        _rule(painter, scene, left, bottom)
    if places.column * 7 > metrics.horizontalAdvance("00") * 1.6:
        _paint_mondays(painter, scene, metrics)


def _paint_mondays(painter: QPainter, scene: StripScene, metrics: QFontMetricsF) -> None:
    """Write the day of the month at each Monday that leaves room for it behind the month's name."""
    places = scene.places
    for day in places.dates:
        name = metrics.horizontalAdvance(QLocale().standaloneMonthName(day.month)) + 14.0
        free = places.left(day) - max(places.left(day.replace(day=1)), GUTTER) > name
        if day.weekday() == 0 and free and places.left(day) + metrics.horizontalAdvance("00") < places.width:
            painter.drawText(QPointF(places.left(day), LINE - 5.0), str(day.day))


def _rule(painter: QPainter, scene: StripScene, across: float, bottom: float) -> None:
    painter.save()
    painter.setPen(QPen(QColor(scene.colours.line), 1.0))
    painter.drawLine(QPointF(across, 3.0), QPointF(across, bottom))
    painter.restore()


def _paint_visits(painter: QPainter, scene: StripScene) -> None:
    """Draw the date range of each visit as a bar with its name."""
    for number in range(len(scene.places.visits)):
        box = scene.places.visit_box(number)
        painter.setPen(QPen(QColor(scene.colours.edge), 1.0))
        painter.setBrush(QColor(scene.colours.surface))
        painter.drawRoundedRect(box, 3.0, 3.0)
        painter.setPen(QColor(scene.colours.ink))
        words = _tr("Visit %1").replace("%1", str(number + 1))
        painter.drawText(box.adjusted(6.0, 0.0, -4.0, 0.0), _AT_LEFT, words)


def _paint_sky(painter: QPainter, scene: StripScene, number: int, image: QImage) -> None:
    places = scene.places
    box, panel = places.panel_box(number), places.panels[number]
    painter.save()
    painter.setClipRect(box)
    painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
    painter.drawImage(box, image)
    _paint_hour_lines(painter, scene, number)
    for band in panel.bands:
        _paint_band(painter, scene, number, band)
    painter.restore()
    _paint_hours(painter, scene, number)


def _paint_no_sky(painter: QPainter, scene: StripScene) -> None:
    """Say in the sky's place why there is none."""
    box = scene.places.panel_box(0)
    painter.fillRect(box, QColor(scene.colours.raised))
    painter.setPen(QColor(scene.colours.quiet))
    words = _tr("Here stands the sky of each date, as soon as a route has points.")
    painter.drawText(box, int(Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap), words)


def _paint_hour_lines(painter: QPainter, scene: StripScene, number: int) -> None:
    panel, box = scene.places.panels[number], scene.places.panel_box(number)
    painter.setPen(QPen(QColor(255, 255, 255, 46), 1.0))
    for minute in range(panel.first_minute + _HOUR, panel.last_minute, _HOUR):
        down = scene.places.down(number, minute)
        painter.drawLine(QPointF(box.left(), down), QPointF(box.right(), down))


def _paint_hours(painter: QPainter, scene: StripScene, number: int) -> None:
    """Write the hours beside the sky, as many as there is room for."""
    panel, places = scene.places.panels[number], scene.places
    metrics = QFontMetricsF(painter.font())
    hour_px = places.down(number, panel.first_minute + _HOUR) - places.down(number, panel.first_minute)
    every = _HOUR * max(1, round(metrics.height() * 1.15 / hour_px + 0.49))
    painter.setPen(QColor(scene.colours.quiet))
    for minute in range(panel.first_minute + every, panel.last_minute, every):
        down = places.down(number, minute)
        words = f"{minute // 60 % 24:02d}:00"
        painter.drawText(QRectF(0.0, down - 10.0, GUTTER - 6.0, 20.0), _AT_RIGHT, words)


def _paint_band(painter: QPainter, scene: StripScene, number: int, band: SkyBand) -> None:
    """Draw the window over all dates, and light it up on those on which somebody is out."""
    for days in _runs(band, scene.places.dates):
        upper = [QPointF(scene.places.middle(day), scene.places.down(number, opens)) for day, opens, _ in days]
        lower = [QPointF(scene.places.middle(day), scene.places.down(number, closes)) for day, _, closes in days]
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(BAND_FILL)
        painter.drawPolygon(QPolygonF([*upper, *reversed(lower)]))
        for pen in (QPen(BAND_SHADE, 3.2), QPen(BAND_EDGE, 1.4)):
            painter.setPen(pen)
            painter.drawPolyline(QPolygonF(upper))
            painter.drawPolyline(QPolygonF(lower))
        _paint_lamps(painter, scene, number, days)


def _paint_lamps(
    painter: QPainter, scene: StripScene, number: int, days: Sequence[tuple[dt.date, float, float]]
) -> None:
    places = scene.places
    widest = max(places.column - 2.0, 1.5)
    most = max((len(one.visits) for one in scene.out.values()), default=1)
    painter.setPen(QPen(BAND_SHADE, 1.2))
    painter.setBrush(LAMP)
    for day, opens, closes in days:
        count = len(scene.out[day].visits) if day in scene.out else 0
        if count:
            width = max(1.5, widest * (0.35 + 0.65 * count / most))
            top, bottom = places.down(number, opens), places.down(number, closes)
            box = QRectF(places.middle(day) - width / 2, top + 2.0, width, max(bottom - top - 4.0, 2.0))
            painter.drawRoundedRect(box, 1.5, 1.5)


def _runs(band: SkyBand, dates: DateRange) -> Iterator[list[tuple[dt.date, float, float]]]:
    """Yield the stretches of dates that have a window, each with its opening and closing minute."""
    days = list(zip(dates, map(float, band.opens), map(float, band.closes), strict=True))
    for there, numbers in groupby(days, key=lambda day: math.isfinite(day[1] + day[2])):
        run = list(numbers)
        if there:
            yield run


def _paint_outings(painter: QPainter, scene: StripScene) -> None:
    """Pile up a mark for each visit, set-up day and reserve date under its date."""
    for day, one in scene.out.items():
        if day not in scene.places.dates:
            continue
        marks = [paint_visit] * len(one.visits) + [paint_setup] * len(one.setups) + [paint_reserve] * len(one.reserves)
        for place, paint in enumerate(marks):
            paint(painter, scene.places.mark_box(day, place, len(marks)), scene.colours)


def paint_visit(painter: QPainter, box: QRectF, colours: Colours) -> None:
    """Draw the mark of a visit: a full square."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(colours.accent))
    painter.drawRect(box)


def paint_setup(painter: QPainter, box: QRectF, colours: Colours) -> None:
    """Draw the mark of a set-up day: a full triangle."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(colours.trouble))
    painter.drawPolygon(QPolygonF([QPointF(box.center().x(), box.top()), box.bottomRight(), box.bottomLeft()]))


def paint_reserve(painter: QPainter, box: QRectF, colours: Colours) -> None:
    """Draw the mark of a reserve date: a ring."""
    painter.setPen(QPen(QColor(colours.quiet), 1.2))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawEllipse(box.adjusted(0.6, 0.6, -0.6, -0.6))


def _paint_today(painter: QPainter, scene: StripScene) -> None:
    if scene.today not in scene.places.dates:
        return
    across = scene.places.middle(scene.today)
    top, bottom = scene.places.sky_top, scene.places.outings_box.bottom()
    for colour, width in ((QColor(0, 0, 0, 130), 3.4), (NIGHT_INK, 1.6)):
        pen = QPen(colour, width)
        pen.setDashPattern([5.0 * 1.6 / width, 3.0 * 1.6 / width])
        painter.setPen(pen)
        painter.drawLine(QPointF(across, top), QPointF(across, scene.places.outings_box.top()))
    painter.setPen(QPen(QColor(scene.colours.ink), 1.2, Qt.PenStyle.DashLine))
    painter.drawLine(QPointF(across, scene.places.outings_box.top()), QPointF(across, bottom))
    words = _tr("today")
    metrics = QFontMetricsF(painter.font())
    box = QRectF(across + 3.0, top + 2.0, metrics.horizontalAdvance(words) + 10.0, LINE)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(0, 0, 0, 150))
    painter.drawRoundedRect(box, 3.0, 3.0)
    painter.setPen(NIGHT_INK)
    painter.drawText(box, int(Qt.AlignmentFlag.AlignCenter), words)


def _paint_marked(painter: QPainter, scene: StripScene) -> None:
    if scene.marked is None:
        return
    places = scene.places
    top, bottom = places.sky_top, places.outings_box.bottom()
    box = QRectF(places.left(scene.marked), top, places.column, bottom - top)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for colour, width in ((QColor(0, 0, 0, 150), 4.0), (QColor(scene.colours.focus), 2.0)):
        painter.setPen(QPen(colour, width))
        painter.drawRoundedRect(box, 2.0, 2.0)


def _paint_key(painter: QPainter, scene: StripScene) -> None:
    """Name the marks at the foot."""
    metrics = QFontMetricsF(painter.font())
    top = scene.places.height - LINE
    across = GUTTER
    for paint, words in (
        (paint_visit, _tr("a visit")),
        (paint_setup, _tr("a set-up day")),
        (paint_reserve, _tr("a reserve date")),
        (_paint_window, _tr("light window, lit when somebody is out")),
    ):
        paint(painter, QRectF(across, top + 4.0, 9.0, 9.0), scene.colours)
        painter.setPen(QColor(scene.colours.quiet))
        painter.drawText(QPointF(across + 14.0, top + 4.0 + 9.0), words)
        across += metrics.horizontalAdvance(words) + 34.0


def _paint_window(painter: QPainter, box: QRectF, colours: Colours) -> None:
    """Draw a piece of a lit window for the key."""
    painter.setPen(QPen(QColor(colours.edge), 1.0))
    painter.setBrush(LAMP)
    painter.drawRoundedRect(box, 1.5, 1.5)


_AT_LEFT = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
_AT_RIGHT = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)


def _tr(text: str) -> str:
    return QCoreApplication.translate("SeasonStrip", text)
