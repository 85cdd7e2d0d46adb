"""The shipped B612 in its two weights, and what its letters measure on paper."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Hashable
from dataclasses import dataclass
from functools import cache, lru_cache, wraps
from threading import local
from typing import ParamSpec, TypeVar

from PySide6.QtGui import QFont, QFontDatabase, QFontMetricsF, QRawFont

from planner.printing.gui import ensure_gui
from planner.shipped import resources

FAMILY = "B612"
UNITS_A_POINT = 10
"""Text is set in tenths of a point, so that whole pixel sizes give every size that is used."""
UNIT_MM = 25.4 / 72 / UNITS_A_POINT
LEAST_POINTS = 10.0
"""Nothing on paper is smaller."""

_WITHOUT_DECOMPOSITION = str.maketrans(
    {
        "Ł": "L", "ł": "l", "Đ": "D", "đ": "d", "Ħ": "H", "ħ": "h", "ı": "i", "Ŧ": "T", "ŧ": "t",
        "\u2009": " ", "\u202f": " ", "\t": " ", "\n": " ", "\r": " ",
    }
)  # fmt: skip


_P = ParamSpec("_P")
_T = TypeVar("_T")


def _kept_by_thread(make: Callable[_P, _T]) -> Callable[_P, _T]:
    """Make something once for each thread: Qt's fonts and their measures may not be shared between threads.

    A preview is drawn in one thread while papers are written in another.
    """
    kept = local()

    @wraps(make)
    def found(*args: _P.args, **kwargs: _P.kwargs) -> _T:
        known: dict[Hashable, _T] = kept.__dict__.setdefault("known", {})
        if args not in known:
            known[args] = make(*args, **kwargs)
        return known[args]

    return found


@dataclass(frozen=True, slots=True)
class Face:
    """A size in points and a weight."""

    points: float
    bold: bool = False

    @property
    def ascent(self) -> float:
        """Millimetres from the baseline to the top of the line."""
        return _metrics(self).ascent() * UNIT_MM

    @property
    def descent(self) -> float:
        """Millimetres from the baseline to the foot of the line."""
        return _metrics(self).descent() * UNIT_MM

    @property
    def line(self) -> float:
        """Millimetres from one line to the next."""
        return self.ascent + self.descent

    @property
    def cap(self) -> float:
        """Height of a capital letter in millimetres."""
        return _metrics(self).capHeight() * UNIT_MM

    def width(self, text: str) -> float:
        """Return how wide a line of text is, in millimetres."""
        return _width(self, text)


@lru_cache(maxsize=20_000)
def _width(face: Face, text: str) -> float:
    """Pages are laid out several ways before the tightest is chosen: the same words are measured again and again."""
    return _metrics(face).horizontalAdvance(printable(text)) * UNIT_MM


@cache
def load_fonts() -> None:
    """Register the shipped fonts with Qt, once; the window may have done so already.

    Raises:
        FileNotFoundError: the program was installed without its fonts.
    """
    ensure_gui()
    if FAMILY in QFontDatabase.families():
        return
    for weight in ("Regular", "Bold"):
        path = resources() / "fonts" / f"{FAMILY}-{weight}.otf"
        if QFontDatabase.addApplicationFont(str(path)) < 0:
            raise FileNotFoundError(f"the shipped font is missing or unreadable: {path}; install the program again")


@_kept_by_thread
def qt_font(face: Face) -> QFont:
    """Return the Qt font of a face, sized in the units of ``UNIT_MM``."""
    load_fonts()
    font = QFont(FAMILY)
    font.setPixelSize(round(face.points * UNITS_A_POINT))
    font.setBold(face.bold)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return font


@_kept_by_thread
def _metrics(face: Face) -> QFontMetricsF:
    return QFontMetricsF(qt_font(face))


@_kept_by_thread
def _raw_font() -> QRawFont:
    return QRawFont.fromFont(qt_font(Face(LEAST_POINTS)))


def has_glyph(letter: str) -> bool:
    """Whether the shipped font draws that letter."""
    return _raw_font().supportsCharacter(ord(letter))


@cache
def printable(text: str) -> str:
    """Return the text in letters that the shipped font has.

    A letter that B612 lacks is printed without its accent ('č' as 'c'). What has no Latin base is left as it
    is: the system's own font is then the only way to show it.
    """
    return "".join(_letter(letter) for letter in unicodedata.normalize("NFC", text))


def _letter(letter: str) -> str:
    plain = letter.translate(_WITHOUT_DECOMPOSITION)
    if has_glyph(plain):
        return plain
    base = unicodedata.normalize("NFKD", plain)[0]
    return base if has_glyph(base) else letter
