"""The plain form of protocols and other value objects: dicts, lists, words, numbers, as TOML and JSON hold them."""

from __future__ import annotations

import dataclasses
import datetime as dt
import difflib
import math
import re
from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from enum import StrEnum
from typing import Any, NamedTuple, TypeVar

from cattrs import Converter
from cattrs.errors import (
    BaseValidationError,
    ClassValidationError,
    ForbiddenExtraKeysError,
    IterableValidationError,
)

from planner.domain.calendar import MonthDay
from planner.domain.errors import DimpsyError, RuleError
from planner.domain.measures import Length, Measure, Speed, Temperature
from planner.domain.protocol import Protocol

_TYPE_WORDS: Mapping[type, str] = {
    str: "text in quotes",
    bool: "true or false",
    int: "a whole number",
    float: "a number",
    MonthDay: "a day of every year as 'MM-DD', 29 February excluded",
    dt.time: "a time of day as 'HH:MM'",
    dt.date: "a date as YYYY-MM-DD, without quotes",
    Length: "a length of 0 or more such as '0.5 mi' (m, km, mi, ft)",
    Speed: "a speed of 0 or more such as '20 km/h' (km/h, mph, m/s)",
    Temperature: "a temperature such as '7 C' (C, F)",
}
_Record = TypeVar("_Record")
_CLOCK = re.compile(r"\d\d:\d\d(:\d\d(\.\d{1,6})?)?")


class FormFault(NamedTuple):
    """One thing wrong with a plain form."""

    path: str
    """Dotted keys to the place, list entries counted from 1: ``windows[1].passes[2].open``; empty for the whole."""
    expected: str
    found: str

    def __str__(self) -> str:
        """One line: place, expectation, finding."""
        place = f"{self.path}: " if self.path else ""
        return f"{place}expected {self.expected}, found {self.found}"


class FormError(DimpsyError):
    """A plain form that is no protocol; carries every fault found in it."""

    def __init__(self, faults: tuple[FormFault, ...]) -> None:
        self.faults = faults
        super().__init__("\n".join(str(fault) for fault in faults))


def protocol_to_plain(protocol: Protocol) -> dict[str, Any]:
    """Return the protocol as dicts, lists, text, numbers and booleans; whatever equals its default is left out."""
    plain: dict[str, Any] = _CONVERTER.unstructure(protocol)
    return plain


def protocol_from_plain(data: object) -> Protocol:
    """Read a protocol from its plain form, as :func:`protocol_to_plain` writes it.

    Nothing is guessed: an unknown key, a number in quotes or a word outside its list is a fault.

    Args:
        data: what a TOML or JSON reader returned.

    Raises:
        FormError: with every fault that can be told at once. A rule between several values can only be judged
            once those values are readable, so mending may bring another such fault to light.
    """
    return from_plain(data, Protocol)


def from_plain(data: object, kind: type[_Record]) -> _Record:
    """Read a value object of some kind from its plain form, as strictly as a protocol.

    Raises:
        FormError: with every fault that can be told at once.
    """
    try:
        return _CONVERTER.structure(data, kind)
    except (BaseValidationError, _UnfitError) as error:
        raise FormError(tuple(_faults(error, ""))) from error


class _UnfitError(Exception):
    """A value that does not fit its place."""

    def __init__(self, expected: str, found: str) -> None:
        self.expected = expected
        self.found = found
        super().__init__(f"expected {expected}, found {found}")


def _shown(value: object) -> str:
    match value:
        case bool():
            return str(value).lower()
        case Mapping():
            return "a table of keys"
        case list() | tuple():
            return "a list"
        case str():
            return repr(value)
        case None:
            return "nothing"
    return str(value)


def _read_text(value: object, _: object) -> str:
    if not isinstance(value, str):
        raise _UnfitError(_TYPE_WORDS[str], _shown(value))
    return value


def _read_bool(value: object, _: object) -> bool:
    if not isinstance(value, bool):
        raise _UnfitError(_TYPE_WORDS[bool], _shown(value))
    return value


def _read_int(value: object, _: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise _UnfitError(_TYPE_WORDS[int], _shown(value))
    return value


def _read_float(value: object, _: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise _UnfitError(_TYPE_WORDS[float], _shown(value))
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise _UnfitError("a finite number", _shown(value))
    return number


def _read_clock(value: object, _: object) -> dt.time:
    if isinstance(value, dt.time):
        return value
    if not isinstance(value, str) or _CLOCK.fullmatch(value) is None:
        raise _UnfitError(_TYPE_WORDS[dt.time], _shown(value))
    try:
        return dt.time.fromisoformat(value)
    except ValueError:
        raise _UnfitError(_TYPE_WORDS[dt.time], _shown(value)) from None


def _read_date(value: object, _: object) -> dt.date:
    if isinstance(value, dt.datetime) or not isinstance(value, dt.date):
        raise _UnfitError(_TYPE_WORDS[dt.date], _shown(value))
    return value


def _write_clock(value: dt.time) -> str:
    return value.isoformat() if value.second or value.microsecond else f"{value:%H:%M}"


def _read_parsed(value: object, kind: type[MonthDay | Measure]) -> MonthDay | Measure:
    if not isinstance(value, str):
        raise _UnfitError(_TYPE_WORDS[kind], _shown(value))
    try:
        return kind.parse(value)
    except RuleError as error:
        raise _UnfitError(_TYPE_WORDS[kind], repr(value)) from error


def _write_measure(measure: Measure) -> str:
    """Write every digit that the number has, which the rounded text for people does not."""
    number = f"{Decimal(repr(float(measure.value))):f}"
    return f"{number.removesuffix('.0')} {measure.unit}"


def _read_word(value: object, kind: type[StrEnum]) -> StrEnum:
    words = [word.value for word in kind]
    if not isinstance(value, str) or value not in words:
        raise _UnfitError("one of " + ", ".join(words), _shown(value))
    return kind(value)


def _only_from(shape: type, expected: str, read: Callable[[Any, Any], Any]) -> Callable[[Any, Any], Any]:
    """Put a door before a reader: cattrs itself would walk the letters of a text as if it were a list."""

    def read_shaped(value: object, kind: object) -> object:
        if not isinstance(value, shape):
            raise _UnfitError(expected, _shown(value))
        return read(value, kind)

    return read_shaped


def _is_tuple(kind: object) -> bool:
    return getattr(kind, "__origin__", None) is tuple


def _is_record(kind: object) -> bool:
    return isinstance(kind, type) and dataclasses.is_dataclass(kind) and not issubclass(kind, Measure | MonthDay)


def _converter() -> Converter:
    converter = Converter(forbid_extra_keys=True, omit_if_default=True, unstruct_collection_overrides={tuple: list})
    read_tuple = converter.get_structure_hook(tuple[str, ...])

    @converter.register_structure_hook_factory(_is_tuple)
    def tuples(_: object) -> Callable[[Any, Any], Any]:
        return _only_from(list, "a list", read_tuple)

    @converter.register_structure_hook_factory(_is_record)
    def records(kind: type) -> Callable[[Any, Any], Any]:
        return _only_from(dict, "a table of keys", converter.gen_structure_attrs_fromdict(kind))

    converter.register_structure_hook(str, _read_text)
    converter.register_structure_hook(StrEnum, _read_word)
    converter.register_structure_hook(bool, _read_bool)
    converter.register_structure_hook(int, _read_int)
    converter.register_structure_hook(float, _read_float)
    converter.register_structure_hook(dt.time, _read_clock)
    converter.register_unstructure_hook(dt.time, _write_clock)
    converter.register_structure_hook(dt.date, _read_date)
    converter.register_structure_hook(MonthDay, _read_parsed)
    converter.register_unstructure_hook(MonthDay, str)
    for measure in (Length, Speed, Temperature):
        converter.register_structure_hook(measure, _read_parsed)
        converter.register_unstructure_hook(measure, _write_measure)
    return converter


def _faults(error: Exception, path: str) -> Iterator[FormFault]:
    """Walk the tree of what went wrong down to its leaves, in the order of the form."""
    match error:
        case ClassValidationError():
            inside, others = error.group_exceptions()
            for below, note in inside:
                yield from _faults(below, _joined(path, note.name))
            for other in others:
                yield from _faults(other, path)
        case IterableValidationError():
            for below, place in error.group_exceptions()[0]:
                yield from _faults(below, f"{path}[{int(str(place.index)) + 1}]")
        case ForbiddenExtraKeysError():
            yield from _unknown_keys(error, path)
        case KeyError():
            yield FormFault(path, "a value", "nothing: the key is missing")
        case _UnfitError():
            yield FormFault(path, error.expected, error.found)
        case _:
            yield FormFault(path, "values that can stand together", str(error))


def _unknown_keys(error: ForbiddenExtraKeysError, path: str) -> Iterator[FormFault]:
    known = [field.name for field in dataclasses.fields(error.cl)]
    for key in sorted(error.extra_fields):
        near = difflib.get_close_matches(key, known, n=1)
        hint = f"; did you mean '{near[0]}'?" if near else ""
        yield FormFault(_joined(path, key), "one of the keys " + ", ".join(known), f"an unknown key{hint}")


def _joined(path: str, key: str) -> str:
    return f"{path}.{key}" if path else key


_CONVERTER = _converter()
