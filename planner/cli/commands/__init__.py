"""The commands, by what a coordinator is doing: each module has NAME, HELP, add_arguments and run."""

from __future__ import annotations

from types import ModuleType

from planner.cli.commands import (
    ask,
    board,
    calibrate,
    cancel,
    check,
    checkin,
    coordinator,
    copy_season,
    dates,
    demo,
    desktop,
    export,
    give,
    history,
    import_files,
    lay_out,
    light,
    new,
    notices,
    offers,
    outing,
    papers,
    people,
    person,
    plan,
    points,
    print_papers,
    protocols,
    record,
    redo,
    report,
    returns,
    roads,
    route,
    season,
    settle,
    sheets,
    stand,
    today,
    undo,
    weather,
)

GROUPS: tuple[tuple[str, tuple[ModuleType, ...]], ...] = (
    ("begin", (desktop, demo)),
    (
        "set up a season",
        (protocols, new, season, import_files, lay_out, route, points, roads, people, person, dates, coordinator),
    ),
    ("plan", (light, check, plan, board, outing, offers, ask, give, settle)),
    ("what goes out", (papers, print_papers, sheets, notices)),
    ("an evening", (today, weather, checkin, cancel)),
    ("back from the field", (record, returns, stand, calibrate)),
    ("figures and files", (report, export)),
    ("steps", (undo, redo, history, copy_season)),
)
"""The commands as they are listed, under what a coordinator is doing."""

COMMANDS: tuple[ModuleType, ...] = tuple(command for _, group in GROUPS for command in group)
