"""Setting text into a width: breaking it into lines, and cutting what cannot be broken."""

from __future__ import annotations

from planner.printing.fonts import Face

ELLIPSIS = "…"


def wrapped(text: str, face: Face, width: float) -> tuple[str, ...]:
    """Return the text in lines no wider than ``width`` millimetres; a word too long for one is broken."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        for part in _broken(word, face, width):
            longer = f"{line} {part}" if line else part
            if line and face.width(longer) > width:
                lines.append(line)
                line = part
            else:
                line = longer
    return (*lines, line) if line else tuple(lines)


def _broken(word: str, face: Face, width: float) -> list[str]:
    parts: list[str] = []
    while len(word) > 1 and face.width(word) > width:
        fits = max((n for n in range(1, len(word)) if face.width(word[:n]) <= width), default=1)
        parts.append(word[:fits])
        word = word[fits:]
    return [*parts, word]


def elided(text: str, face: Face, width: float) -> str:
    """Return the text, its end replaced by an ellipsis where it is wider than ``width`` millimetres."""
    if face.width(text) <= width:
        return text
    for length in range(len(text) - 1, 0, -1):
        shorter = text[:length].rstrip() + ELLIPSIS
        if face.width(shorter) <= width:
            return shorter
    return ELLIPSIS


def at_most_lines(text: str, face: Face, width: float, most: int) -> tuple[str, ...]:
    """Return the text in at most ``most`` lines, the last one cut with an ellipsis if there is more."""
    lines = wrapped(text, face, width)
    if len(lines) <= most:
        return lines
    rest = " ".join(lines[most - 1 :])
    return (*lines[: most - 1], elided(rest, face, width))


def largest_face(text: str, faces: tuple[Face, ...], width: float) -> Face:
    """Return the first of the faces, largest first, in which the text fits on one line; else the last."""
    return next((face for face in faces if face.width(text) <= width), faces[-1])
