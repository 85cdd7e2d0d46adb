"""What a command says: lines for a person, or one JSON object for a program."""

from __future__ import annotations

import dataclasses
import datetime as dt
import enum
import json
import math
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from planner.domain.errors import DimpsyError, ImpossibleError, InputError
from planner.domain.finding import Finding, Severity

Plain: TypeAlias = "bool | int | float | str | list[Plain] | dict[str, Plain] | None"

DONE, FINDINGS, UNREADABLE, IMPOSSIBLE = 0, 1, 2, 3
"""Exit status: done; done but findings need a person; wrong usage or unreadable input; impossible as asked."""


_WRITTEN_OUT = {code: f"\\x{code:02x}" for code in (*range(32), *range(127, 160)) if chr(code) not in "\t\n"}
"""The control characters of Unicode (its category Cc) but tabs and line ends."""


@dataclass(frozen=True, slots=True)
class Report:
    """What one command came to."""

    data: Mapping[str, object]
    """Becomes the JSON object."""
    lines: tuple[str, ...]
    status: int = DONE


def for_terminal(text: str) -> str:
    """Return a text with its control characters written out: names of files that came from others may give orders."""
    return text.translate(_WRITTEN_OUT)


def plain(value: object) -> Plain:
    """Return a value as JSON can hold it: dates in ISO form, enums by value, floats without NaN."""
    if isinstance(value, enum.Enum):
        return value.name.lower() if isinstance(value, int) else plain(value.value)
    if value is None or isinstance(value, bool | int | str):
        return value
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, dt.date | dt.time | dt.datetime):
        return value.isoformat()
    return _plain_group(value)


def _plain_group(value: object) -> Plain:
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in dataclasses.fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, frozenset | set):
        return sorted((plain(item) for item in value), key=str)
    if isinstance(value, list | tuple):
        return [plain(item) for item in value]
    return str(value)


def show(report: Report, *, as_json: bool) -> None:
    """Print a report on standard output, to the last letter: OSError where it takes no more."""
    if as_json:
        sys.stdout.write(json.dumps(plain(report.data), ensure_ascii=False, indent=2) + "\n")
        sys.stdout.flush()
        return
    for line in report.lines:
        sys.stdout.write(for_terminal(line) + "\n")
    sys.stdout.flush()


def refusal(error: InputError, more_lines: Sequence[str], more_data: Mapping[str, object]) -> Report:
    """Return the report of input that cannot be taken, with more than its faults; its words go to standard error."""
    sys.stderr.write(for_terminal("\n".join([f"dimpsy: {error}", *more_lines])) + "\n")
    data = {"error": "input", "message": str(error), "faults": error.faults, **more_data}
    return Report(data, (), UNREADABLE)


def show_error(error: DimpsyError, *, as_json: bool) -> int:
    """Say what went wrong (JSON on standard output, words on standard error) and return the exit status."""
    impossible = isinstance(error, ImpossibleError)
    if as_json:
        data: dict[str, object] = {"error": "impossible" if impossible else "input", "message": str(error)}
        if isinstance(error, InputError):
            data["faults"] = error.faults
        if isinstance(error, ImpossibleError):
            data["reasons"] = error.reasons
        show(Report(data, ()), as_json=True)
    sys.stderr.write(for_terminal(f"dimpsy: {error}\n"))
    return IMPOSSIBLE if impossible else UNREADABLE


def finding_lines(findings: tuple[Finding, ...]) -> tuple[str, ...]:
    """Return the findings as a numbered list, each with what to do on a line of its own."""
    lines: list[str] = []
    for number, finding in enumerate(findings, start=1):
        lines.append(f"{number:3d}. {finding.severity.words.upper()}  {finding.subject}: {finding.what}")
        if finding.todo:
            lines.append(f"     What to do: {finding.todo}")
    return tuple(lines)


def findings_status(findings: tuple[Finding, ...]) -> int:
    """Return FINDINGS where a person must decide something, else DONE."""
    return FINDINGS if any(f.severity <= Severity.TROUBLE for f in findings) else DONE


def file_word(path: Path) -> str:
    """Return a path as the user would type it from here."""
    try:
        return str(path.resolve().relative_to(Path.cwd()))
    except ValueError:
        return str(path)
