"""The two palettes of the window: the light of a late afternoon, and the night."""

from __future__ import annotations

from dataclasses import dataclass

from planner.domain.finding import Severity


@dataclass(frozen=True, slots=True)
class Colours:
    """One palette; every colour as ``#rrggbb``.

    Text colours stand at 4.5 : 1 or more on ``ground``, ``surface`` and ``raised``; edges of controls, focus rings and
    marks at 3 : 1 or more (WCAG 2.2, success criteria 1.4.3 and 1.4.11). A test measures all of them.
    """

    name: str
    dark: bool
    ground: str
    """Behind everything."""
    surface: str
    """Tables, fields, cards."""
    raised: str
    """The list of rooms, headers, bars."""
    ink: str
    quiet: str
    """Text of second rank."""
    line: str
    """Thin lines that only order what is read anyhow."""
    edge: str
    """Edges of controls that must be seen to be used."""
    accent: str
    """Our own colour: heather at dusk; text and marks."""
    on_accent: str
    """Text on ``accent``."""
    focus: str
    broken: str
    trouble: str
    doubt: str
    note: str
    good: str
    selection: str
    on_selection: str

    def severity(self, severity: Severity) -> str:
        """Return the colour of a severity; it never stands alone: see ``marks``."""
        return {
            Severity.BROKEN: self.broken,
            Severity.TROUBLE: self.trouble,
            Severity.DOUBT: self.doubt,
            Severity.NOTE: self.note,
        }[severity]


LIGHT = Colours(
    name="light",
    dark=False,
    ground="#f7f4f1",
    surface="#fffdfb",
    raised="#ece6e6",
    ink="#1f1b2e",
    quiet="#57506a",
    line="#d8d0d4",
    edge="#837b90",
    accent="#673a85",
    on_accent="#ffffff",
    focus="#8a3fb8",
    broken="#a81432",
    trouble="#a83c00",
    doubt="#7a5a00",
    note="#2f5d8c",
    good="#1f6b41",
    selection="#dccbe8",
    on_selection="#1f1b2e",
)

DARK = Colours(
    name="dark",
    dark=True,
    ground="#11132a",
    surface="#191c38",
    raised="#0b0d20",
    ink="#f0ecf5",
    quiet="#b4aecb",
    line="#30345a",
    edge="#7e7fae",
    accent="#d3aef0",
    on_accent="#1d1030",
    focus="#e3b8ff",
    broken="#ff8fa1",
    trouble="#ffa873",
    doubt="#f0cf72",
    note="#8fc3f5",
    good="#84d8a6",
    selection="#4a3a73",
    on_selection="#ffffff",
)


def relative_luminance(colour: str) -> float:
    """Return the relative luminance of ``#rrggbb``, 0 to 1, as WCAG 2.2 defines it."""
    red, green, blue = (_linear(int(colour[at : at + 2], 16) / 255) for at in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, 1 to 21, as WCAG 2.2 defines it."""
    lighter, darker = sorted((relative_luminance(one), relative_luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _linear(channel: float) -> float:
    return channel / 12.92 if channel <= 0.04045 else float(((channel + 0.055) / 1.055) ** 2.4)
