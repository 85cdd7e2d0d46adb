"""Sizes of sheets, and the room that is left inside their margins."""

from __future__ import annotations

from enum import StrEnum
from typing import TypeAlias

from planner.printing.geometry import Box

PageCount: TypeAlias = int
"""How many pages a document has."""

MARGIN_MM = 12.0
FOOTER_MM = 9.0
"""Kept free above the bottom margin for the footer line."""


class Paper(StrEnum):
    """A sheet, upright."""

    A4 = "a4"
    LETTER = "letter"

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height: ISO 216, and 8.5 by 11 inches."""
        return (210.0, 297.0) if self is Paper.A4 else (215.9, 279.4)

    @property
    def content(self) -> Box:
        """The room for the page's matter, footer left out."""
        width, height = self.size_mm
        return Box(MARGIN_MM, MARGIN_MM, width - 2 * MARGIN_MM, height - 2 * MARGIN_MM - FOOTER_MM)

    @property
    def footer(self) -> Box:
        """The room of the footer line."""
        width, height = self.size_mm
        return Box(MARGIN_MM, height - MARGIN_MM - FOOTER_MM, width - 2 * MARGIN_MM, FOOTER_MM)
