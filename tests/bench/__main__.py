"""Run one benchmark: ``python -m tests.bench NAME [--json] [the benchmark's own options]``.

A benchmark is a module of this package with ``run(arguments: list[str]) -> dict``; its name is the
module's. With ``--json`` standard output holds exactly one JSON object.
"""

from __future__ import annotations

import argparse
import importlib
import json
import pkgutil
import sys
from collections.abc import Mapping
from pathlib import Path


def benchmark_names() -> list[str]:
    """Return the names of the benchmarks in this package."""
    modules = pkgutil.iter_modules([str(Path(__file__).parent)])
    return sorted(module.name for module in modules if not module.name.startswith("_"))


def as_text(result: Mapping[str, object]) -> str:
    """Lay a result out for reading: one figure a line, lists of rows as tables."""
    lines: list[str] = []
    for key, value in result.items():
        if isinstance(value, list) and value and isinstance(value[0], Mapping):
            lines += [f"{key}:", *_table(value)]
        else:
            lines.append(f"{key}: {value}")
    return "\n".join(lines)


def _table(rows: list[Mapping[str, object]]) -> list[str]:
    head = list(rows[0])
    cells = [head, *([str(row[key]) for key in head] for row in rows)]
    widths = [max(len(line[i]) for line in cells) for i in range(len(head))]
    return [
        "  " + "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip() for line in cells
    ]


def main(arguments: list[str]) -> int:
    """Run the benchmark that the arguments name and print its result."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description="Run one benchmark.")
    parser.add_argument("name", choices=benchmark_names())
    parser.add_argument("--json", action="store_true", help="one JSON object on standard output")
    own, rest = parser.parse_known_args(arguments)
    result = importlib.import_module(f"tests.bench.{own.name}").run(rest)
    print(json.dumps(result) if own.json else as_text(result))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
