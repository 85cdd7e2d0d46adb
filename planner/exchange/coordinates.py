"""Reads coordinates as people write them, and refuses whatever could be read in two ways."""

from __future__ import annotations

import re
from dataclasses import dataclass

from planner.domain.errors import RuleError
from planner.domain.geo import Place

_NUMBER = r"[0-9]+(?:[.,][0-9]+)?"
_ANGLE = re.compile(
    rf"""(?P<degrees>{_NUMBER})
    (?:
        (?:\s*[°:]\s*|\s+) (?P<minutes>{_NUMBER})
        (?: (?:\s*[′:]\s*|\s+) (?P<seconds>{_NUMBER}) (?:\s*″)? | \s*′ )?
      | \s*°
    )?""",
    re.VERBOSE,
)
_SIGNED = re.compile(r"(?P<before>[NSEW])?\s*(?P<sign>[-+])?\s*(?P<angle>[^NSEW+-]+?)\s*(?P<after>[NSEW])?")
_LETTERS_AFTER = re.compile(r"([^NSEW]+[NSEW])[\s,;]*([^NSEW]+[NSEW])")
_LETTERS_BEFORE = re.compile(r"([NSEW][^NSEW]+)([NSEW][^NSEW]+)")
_SIGNS = str.maketrans({"º": "°", "'": "′", "’": "′", "‘": "′", '"': "″", "”": "″", "“": "″", "−": "-", "\u00a0": " "})
_LONGEST = 60


class CoordinateError(RuleError):
    """Text that is no coordinate, or could be two."""

    def __init__(self, expected: str, found: str) -> None:
        self.expected = expected
        self.found = found
        super().__init__(f"expected {expected}, found {found}")


@dataclass(frozen=True, slots=True)
class _Axis:
    name: str
    letters: str
    """Positive side first."""
    limit_deg: int
    example: str

    @property
    def expected(self) -> str:
        """What is wanted, in words."""
        return f"a {self.name} from -{self.limit_deg} to {self.limit_deg} degrees, such as {self.example}"


_LATITUDE = _Axis("latitude", "NS", 90, "51.5047, 51,5047 or 51 30 17 N")
_LONGITUDE = _Axis("longitude", "EW", 180, "-1.2731, -1,2731 or 1 16 23 W")
_PAIR = "a latitude and a longitude such as '51.5047, -1.2731' or '51 30 17 N, 1 16 23 W'"


def parse_latitude(text: str) -> float:
    """Read a latitude in decimal degrees, north positive; see :func:`parse_place`."""
    return _axis_value(text, _LATITUDE)


def parse_longitude(text: str) -> float:
    """Read a longitude in decimal degrees, east positive; see :func:`parse_place`."""
    return _axis_value(text, _LONGITUDE)


def parse_place(latitude_text: str, longitude_text: str) -> Place:
    """Read a place from two texts.

    Each may be decimal degrees (with point or comma), degrees and minutes, or degrees, minutes and seconds;
    marked by a sign or by a letter N, S, E, W, before or behind. Degree, minute and second signs may be written.

    Raises:
        CoordinateError: anything else: a fraction that is not in the last figure, minutes or seconds of 60 or more,
            a sign and a letter together, the letter of the other axis, out of range, not a number.
    """
    return Place(parse_latitude(latitude_text), parse_longitude(longitude_text))


def parse_pair(text: str) -> Place:
    """Read a place from one text: latitude first, or either order where letters tell them apart.

    The halves are parted by a semicolon, a comma with a space, or a space. A comma alone parts them only where it
    cannot be a decimal comma.

    Raises:
        CoordinateError: the halves cannot be told apart for certain, or one is refused by :func:`parse_place`.
    """
    return parse_place(*split_pair(text))


def split_pair(text: str) -> tuple[str, str]:
    """Part a text as :func:`parse_pair` does, without reading the halves; with letters the latitude comes first."""
    plain = _plain(text)
    if len(plain) > _LONGEST or re.search(r"[^\WNSEW\d]", plain):
        raise CoordinateError(_PAIR, _shown(text))
    if re.search("[NSEW]", plain):
        return _lettered_pair(plain, text)
    if "." in plain and re.search(r"\d,\d+\s", plain + " ") and re.search(r"\s", plain):
        raise CoordinateError(_PAIR, f"{text!r}, with both decimal points and decimal commas")
    halves = _halves(plain)
    if len(halves) != 2:
        raise CoordinateError(_PAIR, f"{text!r}, whose halves cannot be told apart")
    return halves[0], halves[1]


def _plain(text: str) -> str:
    return text.translate(_SIGNS).replace("′′", "″").strip().upper()


def _shown(text: str) -> str:
    return repr(text[:_LONGEST]) if text.strip() else "nothing"


def _lettered_pair(plain: str, text: str) -> tuple[str, str]:
    match = _LETTERS_AFTER.fullmatch(plain) or _LETTERS_BEFORE.fullmatch(plain)
    if match is None:
        raise CoordinateError(_PAIR, f"{text!r}, with letters N, S, E, W that do not part it in two")
    first, second = (half.strip(" \t,;") for half in match.groups())
    if re.search("[EW]", first):
        first, second = second, first
    return first, second


def _halves(plain: str) -> list[str]:
    for parting in (r"\s*;\s*", r"\s*,\s+|\s+,\s*"):
        if re.search(parting, plain):
            return re.split(parting, plain)
    if re.search(r"\s", plain):
        return plain.split()
    sure = "." in plain or re.search(",[-+]", plain)
    return plain.split(",") if sure else []


def _axis_value(text: str, axis: _Axis) -> float:
    plain = _plain(text)
    match = _SIGNED.fullmatch(plain) if len(plain) <= _LONGEST else None
    angle = _ANGLE.fullmatch(match["angle"]) if match else None
    if match is None or angle is None:
        raise CoordinateError(axis.expected, _shown(text))
    degrees = _degrees(angle, axis, text)
    if degrees > axis.limit_deg:
        raise CoordinateError(axis.expected, f"{text!r}, which is out of range")
    return -degrees if _negative(match, axis, text) else degrees


def _degrees(angle: re.Match[str], axis: _Axis, text: str) -> float:
    figures = [figure.replace(",", ".") for figure in angle.groups() if figure is not None]
    if any("." in figure for figure in figures[:-1]):
        raise CoordinateError(axis.expected, f"{text!r}, with a fraction before the last figure")
    values = [float(figure) for figure in figures]
    if any(value >= 60 for value in values[1:]):
        raise CoordinateError(axis.expected, f"{text!r}, with minutes or seconds of 60 or more")
    return sum(value / (1, 60, 3600)[place] for place, value in enumerate(values))


def _negative(match: re.Match[str], axis: _Axis, text: str) -> bool:
    letters = [letter for letter in (match["before"], match["after"]) if letter]
    if len(letters) + bool(match["sign"]) > 1:
        raise CoordinateError(axis.expected, f"{text!r}, marked twice; keep the sign or one letter")
    if letters and letters[0] not in axis.letters:
        raise CoordinateError(axis.expected, f"{text!r}; are latitude and longitude swapped?")
    return match["sign"] == "-" or letters == [axis.letters[1]]


def written_as(text: str) -> str:
    """Return, in words, how a coordinate or a pair of them is written that was read: 'degrees and minutes'."""
    plain = _plain(text)
    pieces = re.split(r"(?<=[NSEW])[\s,;]+|;\s*|,\s+", plain) if re.search("[NSEW;]|, ", plain) else [plain]
    figures = re.findall(_NUMBER, pieces[0])
    if (
        len(pieces) == 1
        and not re.search("[°′″:]", plain)
        and len(figures) == 2
        and re.search(r"[.,]\d+\s+[-+]?\d", plain)
    ):
        figures = figures[:1]
    ways = ("decimal degrees", "degrees and minutes", "degrees, minutes and seconds")
    comma = any("," in figure for figure in figures)
    return ways[min(len(figures), 3) - 1 if figures else 0] + (" with decimal commas" if comma else "")
