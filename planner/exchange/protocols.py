"""Protocols as TOML files: those shipped with the program, and anybody's own."""

from __future__ import annotations

import difflib
from pathlib import Path

from planner.domain.errors import InputError
from planner.domain.protocol import Protocol
from planner.exchange.faults import refused
from planner.exchange.figures import figure_faults
from planner.exchange.toml_files import read_form
from planner.shipped import resources

MOST_BYTES = 1024 * 1024
"""Largest protocol file that is read; those shipped have some 10 kB."""
_WANTED = "a protocol as a TOML file"


def read_protocol(path: Path) -> Protocol:
    """Read a protocol.

    Raises:
        InputError: the file cannot be read, is no TOML, or is no protocol: every unknown or missing key, every value
            of another kind or unit, each with its dotted key; then rules that contradict each other.
    """
    protocol = read_form(path, _WANTED, MOST_BYTES, Protocol)
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
