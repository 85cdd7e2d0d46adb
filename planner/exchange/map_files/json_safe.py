"""Reads JSON that may be hostile: no figure that is none, no key twice, memory bounded."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TypeAlias

from planner.exchange.faults import refused
from planner.exchange.source_text import read_text

Json: TypeAlias = "dict[str, Json] | list[Json] | str | int | float | bool | None"

MOST_PARTS = 1_000_000
"""Most objects and lists in a file: 100,000 points make 400,000."""
MOST_COMMAS = 2_000_000
"""Most commas, which part their members: 100,000 points make 700,000."""
_AGAIN = "Export it again, or choose another file."


def read_json(path: Path, wanted: str) -> Json:
    """Return what a JSON file holds (RFC 8259).

    Args:
        path: the file.
        wanted: what it should be, in words.

    Raises:
        InputError: the file is unreadable, empty, too large, no JSON, nested too deeply, has a key twice in one
            object, or a figure that is none (NaN, Infinity).
    """
    text = read_text(path, wanted)
    parts, commas = text.count("[") + text.count("{"), text.count(",")
    if parts > MOST_PARTS or commas > MOST_COMMAS:
        expected = f"{wanted} of at most {MOST_PARTS:,} objects and lists, and {MOST_COMMAS:,} commas"
        raise refused(path, "", expected, f"{parts:,} and {commas:,}", "Cut it down to the routes of this season.")
    try:
        found: Json = json.loads(text, object_pairs_hook=_no_key_twice, parse_constant=_no_constant)
    except json.JSONDecodeError as error:
        raise refused(path, f"line {error.lineno}", "JSON to its end", error.msg, _AGAIN) from error
    except RecursionError as error:
        raise refused(path, "", "objects and lists nested a few deep", "very many", _AGAIN) from error
    except ValueError as error:
        raise refused(path, "", "JSON with each key once, and figures that are some", str(error), _AGAIN) from error
    return found


def _no_key_twice(pairs: list[tuple[str, Json]]) -> dict[str, Json]:
    made: dict[str, Json] = {}
    for key, value in pairs:
        if key in made:
            raise ValueError(f"the key {key[:40]!r} twice in one object")
        made[key] = value
    return made


def _no_constant(name: str) -> Json:
    raise ValueError(f"the figure {name}")
