"""Which figures of a protocol say where they come from, and which do not."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Iterator

from planner.domain.calendar import MonthDay
from planner.domain.errors import Fault
from planner.domain.measures import Measure
from planner.domain.protocol import Figure, Protocol
from planner.domain.window import Window

_ORDINALS = {"VisitRule.number", "KeyQuestion.number", "WeatherLimit.visits"}
"""Numbers that name something, and are no figures."""
_OWN_SOURCE = {"figures", "published"}
"""Parts of a protocol that carry their mark and source themselves."""


def figure_keys(protocol: Protocol) -> tuple[str, ...]:
    """Return the dotted key of every figure: each number, date, time and measure, a default that asks nothing left out.

    List entries are counted from 1: ``visits[2].dates[1].first``.
    """
    return tuple(_keys(protocol, ""))


def figure_for(protocol: Protocol, key: str) -> Figure | None:
    """Return the entry that covers a key: the longest one that names it or something it is part of."""
    covering = [figure for figure in protocol.figures if covers(figure.key, key)]
    return max(covering, key=lambda figure: len(figure.key), default=None)


def unmarked(protocol: Protocol) -> tuple[str, ...]:
    """Return the keys of figures that no entry covers."""
    return tuple(key for key in figure_keys(protocol) if figure_for(protocol, key) is None)


def covers(entry: str, key: str) -> bool:
    """Whether an entry's key names that key or something it is part of."""
    return key == entry or (key.startswith(entry) and key[len(entry)] in ".[")


def figure_faults(protocol: Protocol, source: str) -> tuple[Fault, ...]:
    """Return a fault for each entry whose key leads nowhere in the protocol: a slip would hide an unmarked figure."""
    keys = set(_every_key(protocol, ""))
    return tuple(
        Fault(
            source,
            f"figures[{number}].key",
            "the dotted key of a part of this protocol, such as points.spacing or visits[1].dates",
            repr(figure.key),
            "Correct the key; entries of a list are counted from 1.",
        )
        for number, figure in enumerate(protocol.figures, start=1)
        if figure.key not in keys
    )


def _keys(value: object, key: str) -> Iterator[str]:
    """Walk down to the figures."""
    for name, inner, default in _parts(value, key):
        if isinstance(inner, bool) or inner is None:
            continue
        if isinstance(inner, int | float | Measure | MonthDay | dt.time):
            if not (inner == 0 and inner == default):
                yield name
        else:
            yield from _keys(inner, name)


def _every_key(value: object, key: str) -> Iterator[str]:
    for name, inner, _ in _parts(value, key):
        yield name
        yield from _every_key(inner, name)


def _parts(value: object, key: str) -> Iterator[tuple[str, object, object]]:
    """Yield the key, the value and the default of whatever a value is made of."""
    if isinstance(value, tuple):
        for number, inner in enumerate(value, start=1):
            yield f"{key}[{number}]", inner, None
    elif dataclasses.is_dataclass(value) and not isinstance(value, Measure | MonthDay):
        for field in dataclasses.fields(value):
            if _holds_figures(value, field.name):
                yield f"{key}.{field.name}" if key else field.name, getattr(value, field.name), field.default


def _holds_figures(value: object, name: str) -> bool:
    if isinstance(value, Protocol):
        return name not in _OWN_SOURCE
    if isinstance(value, Window) and name == "overcast_above_percent":
        return value.depends_on_sky
    return f"{type(value).__name__}.{name}" not in _ORDINALS
