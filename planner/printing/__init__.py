"""Itineraries and sheets on paper: one renderer for PDF, preview and printer; and as a page for a telephone.

Importing this package does not load Qt; the first call that draws on paper does.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from planner.printing.paper import PageCount, Paper

if TYPE_CHECKING:
    from planner.printing.board.page import BoardPage, write_board_page
    from planner.printing.document import Pages, render_pages
    from planner.printing.gui import ensure_gui
    from planner.printing.pdf import is_own_pdf, write_itinerary
    from planner.printing.phone import phone_page
    from planner.printing.sheets import paint_sheets

__all__ = [
    "BoardPage",
    "PageCount",
    "Pages",
    "Paper",
    "ensure_gui",
    "is_own_pdf",
    "paint_sheets",
    "phone_page",
    "render_pages",
    "write_board_page",
    "write_itinerary",
]

_MADE_BY = {
    "BoardPage": "planner.printing.board.page",
    "write_board_page": "planner.printing.board.page",
    "Pages": "planner.printing.document",
    "render_pages": "planner.printing.document",
    "ensure_gui": "planner.printing.gui",
    "is_own_pdf": "planner.printing.pdf",
    "write_itinerary": "planner.printing.pdf",
    "phone_page": "planner.printing.phone",
    "paint_sheets": "planner.printing.sheets",
}


def __getattr__(name: str) -> object:
    """Load what a name stands for on first use: most of it needs Qt."""
    if name not in _MADE_BY:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(_MADE_BY[name]), name)
