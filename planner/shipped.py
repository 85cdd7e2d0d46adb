"""Where the data shipped with the program lies: inside an installed wheel, or in the checkout."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).parent


def _shipped(name: str) -> Path:
    installed = _PACKAGE / f"_{name}"
    return installed if installed.is_dir() else _PACKAGE.parent / name


def resources() -> Path:
    """Return the folder of protocols, fonts and speed tables."""
    return _shipped("resources")


def demo_routes() -> Path:
    """Return the folder of the invented demo seasons."""
    return _shipped("demo_routes")
