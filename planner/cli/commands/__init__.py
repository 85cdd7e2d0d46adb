"""The commands, in the order they are listed: each module has NAME, HELP, add_arguments and run."""

from __future__ import annotations

from types import ModuleType

from planner.cli.commands import (
    calibrate,
    cancel,
    check,
    coordinator,
    demo,
    desktop,
    export,
    history,
    import_files,
    lay_out,
    light,
    new,
    notices,
    plan,
    print_papers,
    protocols,
    record,
    redo,
    report,
    roads,
    sheets,
    stand,
    undo,
)

COMMANDS: tuple[ModuleType, ...] = (
    desktop,
    demo,
    protocols,
    new,
    import_files,
    lay_out,
    roads,
    calibrate,
    coordinator,
    check,
    light,
    plan,
    cancel,
    print_papers,
    sheets,
    notices,
    record,
    stand,
    export,
    report,
    undo,
    redo,
    history,
)
