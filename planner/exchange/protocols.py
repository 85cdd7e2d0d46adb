"""Protocols as TOML files: those shipped with the program, and anybody's own."""

from __future__ import annotations

import difflib
import re
import tomllib
from pathlib import Path

from planner.domain.errors import Fault, InputError
from planner.domain.protocol import Protocol
from planner.exchange.faults import refused
from planner.exchange.figures import figure_faults
from planner.exchange.source_text import read_text
from planner.forms import FormError, FormFault, protocol_from_plain
from planner.shipped import resources

MOST_BYTES = 1024 * 1024
"""Largest protocol file that is read; those shipped have some 10 kB."""
_WANTED = "a protocol as a TOML file"
_PLACE = re.compile(r"(?P<what>.*?) \(at (?P<place>line \d+), column \d+\)|(?P<end>.*?) \(at end of document\)")


def read_protocol(path: Path) -> Protocol:
    """Read a protocol.

    Raises:
        InputError: the file cannot be read, is no TOML, or is no protocol: every unknown or missing key, every value
            of another kind or unit, each with its dotted key; then rules that contradict each other.
    """
    text = read_text(path, _WANTED, MOST_BYTES)
    try:
        plain = tomllib.loads(text.replace("\r\n", "\n"))
    except tomllib.TOMLDecodeError as error:
        raise _no_toml(path, str(error)) from error
    except RecursionError as error:
        raise refused(path, "", _WANTED, "brackets nested too deeply", "Write it as those shipped are.") from error
    try:
        protocol = protocol_from_plain(plain)
    except FormError as error:
        raise InputError(*(_fault(path, fault) for fault in error.faults)) from error
    faults = figure_faults(protocol, str(path))
    if faults:
        raise InputError(*faults)
    return protocol


def protocol_names() -> tuple[str, ...]:
    """Return the names of the protocols shipped with the program, sorted: what :func:`shipped_protocol` takes."""
    return tuple(sorted(path.stem for path in _folder().glob("*.toml")))


def shipped_protocol(name: str) -> Protocol:
    """Return a protocol shipped with the program.

    Raises:
        InputError: there is none of that name; it lists those that there are, the nearest first.
    """
    names = protocol_names()
    if name in names:
        return read_protocol(_folder() / f"{name}.toml")
    near = difflib.get_close_matches(name.casefold(), names, n=1, cutoff=0.5)
    todo = f"Did you mean {near[0]}? " if near else ""
    todo += "A protocol of your own is given by its file, ending in .toml."
    raise refused("protocol", "", f"one of {', '.join(names)}", repr(name), todo)


def _folder() -> Path:
    return resources() / "protocols"


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
