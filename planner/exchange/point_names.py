"""What the names of points and routes say: of which route a point is, and which number it has."""

from __future__ import annotations

import re
from dataclasses import dataclass

POINT_EXAMPLE = "'R07-03'"

_POINT_OF = re.compile(r"(?P<code>\S(?:.*?\S)?)\s*[-_/.: ]\s*(?P<number>[0-9]{1,3})")
_NUMBER_ALONE = re.compile(r"(?:(?:point|stop|pt|p)\.?\s*)?(?P<number>[0-9]{1,3})", re.IGNORECASE)
_CODE = re.compile(r"(?=\S*[0-9])[A-Za-z0-9]\S*")
_SURE_CODE = re.compile(r"[A-Za-z]{1,4}[-_]?[0-9]{1,4}[A-Za-z]?")
_LONGEST = 200
"""Longer names say nothing; the expressions above need time that grows with the square of the length."""


@dataclass(frozen=True, slots=True)
class Named:
    """What the name of a point says; None where it does not say."""

    code: str | None
    number: int | None
    rest: str
    """The name itself, where it says no number."""


def point_named(name: str, code: str = "") -> Named:
    """Read a point's name: 'R07-03', '3', 'Point 3', or words.

    Args:
        name: as the file has it.
        code: a code that a field beside the name gives: then 'Heath-03' is point 3 of 'Heath' too, which alone
            would say nothing.
    """
    if len(name) > _LONGEST:
        return Named(None, None, name)
    alone = _NUMBER_ALONE.fullmatch(name)
    if alone and int(alone["number"]):
        return Named(None, int(alone["number"]), "")
    match = _POINT_OF.fullmatch(name)
    if code and name.startswith(code):
        behind = re.fullmatch(r"\s*[-_/.: ]\s*([0-9]{1,3})", name[len(code) :])
        if behind and int(behind[1]):
            return Named(code, int(behind[1]), "")
    if match and int(match["number"]) and is_code(match["code"]):
        return Named(match["code"], int(match["number"]), "")
    return Named(None, None, name)


def route_named(name: str, code: str = "") -> tuple[str, str]:
    """Return the code and the name of a route from 'R01 Fernhythe Common'.

    A first word with a figure in it is a code; else the whole serves as one.

    Args:
        name: as the file has it.
        code: a code that a field beside the name gives; it counts where the name begins with it.
    """
    if code and (name == code or name.startswith(code + " ")):
        return code, name_behind(code, name)
    first, _, rest = name.partition(" ")
    word = first.rstrip(":,;")
    return (word, rest.lstrip("-–: ")) if is_code(word) else (name, "")


def name_behind(code: str, title: str) -> str:
    """Return the name of a route whose code is known from a title, which may begin with the code."""
    return title[len(code) :].strip() if title == code or title.startswith(code + " ") else title


def is_code(text: str) -> bool:
    """Whether text looks like the code of a route: one word with a figure in it."""
    return _CODE.fullmatch(text) is not None


def begins_with_code(name: str) -> bool:
    """Whether a name has a code for its first word."""
    return is_code(name.partition(" ")[0].rstrip(":,;"))


def proposed_code(*names: str) -> str:
    """Return the code of a route that some names propose, for a person to take or to change.

    The first that begins like 'R07' gives its first word, which a date or a time never is; else the last that is not
    empty is proposed whole. Names of files count, their endings left out.
    """
    for name in names:
        first = re.split(r"[\s:,;]", name.strip(), maxsplit=1)[0]
        if _SURE_CODE.fullmatch(first):
            return first
    return next((name.strip() for name in reversed(names) if name.strip()), "")
