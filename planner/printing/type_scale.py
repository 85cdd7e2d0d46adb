"""The sizes of type that the paper uses; none is below ten points."""

from __future__ import annotations

from planner.printing.fonts import Face

SMALL = Face(10)
SMALL_BOLD = Face(10, bold=True)
BODY = Face(11)
BODY_BOLD = Face(11, bold=True)
LEAD = Face(13)
HEADING = Face(14, bold=True)
TITLES = tuple(Face(points, bold=True) for points in (22, 20, 18, 16, 14))
NAMES = tuple(Face(points, bold=True) for points in (30, 26, 22, 18))
CLOCK = Face(16, bold=True)
BIG_CLOCK = Face(20, bold=True)
TELEPHONE = tuple(Face(points, bold=True) for points in (26, 22, 18, 16))
"""Tried from the largest down until a number fits."""
