"""The commands, by what a coordinator is doing: each has a module with NAME, HELP, add_arguments and run.

A module is loaded when its command is asked for: the libraries of all of them take longer to load than most commands
take to be done.
"""

from __future__ import annotations

from importlib import import_module
from types import ModuleType

GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("begin", ("desktop", "demo")),
    (
        "set up a season",
        (
            "protocols", "new", "season", "import", "layout", "route", "points", "roads", "people", "person", "dates",
            "coordinator",
        ),
    ),
    ("plan", ("light", "check", "plan", "board", "outing", "offers", "ask", "give", "settle")),
    ("what goes out", ("papers", "print", "sheets", "notices")),
    ("an evening", ("today", "weather", "checkin", "cancel")),
    ("back from the field", ("record", "returns", "stand", "calibrate")),
    ("figures and files", ("report", "export")),
    ("steps", ("undo", "redo", "history", "copy")),
)  # fmt: skip
"""The words of the commands as they are listed, under what a coordinator is doing."""

COMMANDS: tuple[str, ...] = tuple(name for _, group in GROUPS for name in group)

_MODULES = {"import": "import_files", "layout": "lay_out", "print": "print_papers", "copy": "copy_season"}
"""Modules that cannot be called, or are better not called, as their command is."""


def command(name: str) -> ModuleType:
    """Return the module of one of :data:`COMMANDS`, loaded now if it was not."""
    return import_module(f"{__name__}.{_MODULES.get(name, name)}")
