"""TOML files that hold one value object, read strictly: what is wrong is told key by key."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import TypeVar

from planner.domain.errors import Fault, InputError
from planner.exchange.faults import refused
from planner.exchange.source_text import read_text
from planner.forms import FormError, FormFault, from_plain

_Record = TypeVar("_Record")
_PLACE = re.compile(r"(?P<what>.*?) \(at (?P<place>line \d+), column \d+\)|(?P<end>.*?) \(at end of document\)")


def read_form(path: Path, wanted: str, most_bytes: int, kind: type[_Record]) -> _Record:
    """Read a value object.

    Args:
        path: the file.
        wanted: what it should be, in words: "a protocol as a TOML file".
        most_bytes: larger files are refused unread.
        kind: the value object.

    Raises:
        InputError: the file cannot be read, is no TOML, or holds something else: every unknown or missing key, every
            value of another kind or unit, each with its dotted key; then rules that contradict each other.
    """
    text = read_text(path, wanted, most_bytes)
    try:
        plain = tomllib.loads(text.replace("\r\n", "\n"))
    except tomllib.TOMLDecodeError as error:
        raise _no_toml(path, str(error)) from error
    except ValueError as error:
        raise refused(path, "", wanted, "a figure of very many digits", "Correct the value.") from error
    except RecursionError as error:
        raise refused(path, "", wanted, "brackets nested too deeply", "Write it as those shipped are.") from error
    try:
        return from_plain(plain, kind)
    except FormError as error:
        raise InputError(*(_fault(path, fault) for fault in error.faults)) from error


def _no_toml(path: Path, message: str) -> InputError:
    match = _PLACE.fullmatch(message)
    what = (match["what"] or match["end"]) if match else message
    where = (match["place"] or "the last line") if match else ""
    todo = "Correct the line; text stands in quotation marks, lists in [ ]."
    return refused(path, where, "TOML", f"a slip: {what[:1].lower()}{what[1:]}", todo)


def _fault(path: Path, fault: FormFault) -> Fault:
    if "unknown key" in fault.found:
        todo = "Rename the key or remove it."
    elif "missing" in fault.found:
        todo = "Add the key."
    else:
        todo = "Correct the value."
    return Fault(str(path), fault.path, fault.expected, fault.found, todo)
