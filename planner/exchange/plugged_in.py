"""Every importer there is: those of installed plug-ins first, then our own, the surest mark first."""

from __future__ import annotations

from dataclasses import dataclass
from importlib.metadata import EntryPoint, entry_points
from pathlib import Path

from planner.domain.errors import Fault, InputError
from planner.exchange.faults import refused
from planner.exchange.field_files.recognition import FieldImporter
from planner.exchange.importers import Choices, Head, Importer, Reading, SourceKind, Understanding
from planner.exchange.map_files.map_importers import MAP_IMPORTERS
from planner.exchange.reads import AnyRead
from planner.exchange.table_files.pasted import LinesImporter
from planner.exchange.table_files.table_importers import TABLE_IMPORTERS

GROUP = "dimpsy.importers"
"""Entry point group under which a distribution names the class of an importer, or what else makes one."""

OWN_IMPORTERS: tuple[Importer, ...] = (*MAP_IMPORTERS, FieldImporter(), *TABLE_IMPORTERS, LinesImporter())
"""From the surest mark to the vaguest: the first that recognises a file reads it."""


@dataclass(frozen=True, slots=True)
class _PlugIn:
    """An importer of somebody else's, whose mistakes are told and do not end the program."""

    name: str
    kind: SourceKind
    words: str
    endings: tuple[str, ...]
    importer: Importer

    def recognises(self, head: Head) -> str:
        try:
            return _text(self.importer.recognises(head))
        except InputError:
            raise
        except (Exception, SystemExit) as error:
            raise _failed(head.path, self.name, error) from error

    def read(self, path: Path, choices: Choices) -> Reading:
        try:
            return _judged(self.importer.read(path, choices))
        except InputError:
            raise
        except (Exception, SystemExit) as error:
            raise _failed(path, self.name, error) from error


@dataclass(frozen=True, slots=True)
class _Unloaded:
    """A plug-in that could not be loaded; said of a file only that nothing else knows, for it may have been its own."""

    name: str
    error: BaseException
    kind: SourceKind = SourceKind.OTHER
    words: str = "a file for a plug-in that cannot be loaded"
    endings: tuple[str, ...] = ()

    def recognises(self, head: Head) -> str:
        raise _failed(head.path, self.name, self.error) from self.error

    def read(self, path: Path, choices: Choices) -> Reading:  # noqa: ARG002 - nothing is ever read
        raise _failed(path, self.name, self.error) from self.error


def importers() -> tuple[Importer, ...]:
    """Return the importers in the order in which they are asked."""
    plugged = [_loaded(point) for point in sorted(entry_points(group=GROUP), key=lambda one: one.name)]
    unloaded = [one for one in plugged if isinstance(one, _Unloaded)]
    return (*(one for one in plugged if one not in unloaded), *OWN_IMPORTERS, *unloaded)


def _loaded(point: EntryPoint) -> _PlugIn | _Unloaded:
    try:
        made: Importer = point.load()()
        return _PlugIn(point.name, SourceKind(made.kind), _text(made.words), tuple(map(_text, made.endings)), made)
    except (Exception, SystemExit) as error:  # noqa: BLE001 - whatever a plug-in does wrong is told as its own
        return _Unloaded(point.name, error)


def _text(said: object) -> str:
    if not isinstance(said, str):
        raise TypeError(f"words, endings and what recognises() returns are texts, not {type(said).__name__}")
    return said


def _judged(reading: object) -> Reading:
    """Return what a plug-in read; raises TypeError where that is no reading, or one without rows and faults."""
    if not isinstance(reading, Reading) or not isinstance(reading.understood, Understanding):
        raise TypeError(f"read() gave {type(reading).__name__}, not a whole Reading")
    if not all(isinstance(fault, Fault) for fault in reading.faults):
        raise TypeError("the faults of a Reading are of the class Fault")
    if not (isinstance(reading.read, AnyRead) or (reading.read is None and reading.faults)):
        raise TypeError(f"a Reading holds rows or faults, not {type(reading.read).__name__} alone")
    return reading


def _failed(path: Path, name: str, error: BaseException) -> InputError:
    expected = f"the plug-in '{name}' to do its work"
    found = f"{type(error).__name__}: {error}"
    return refused(path, "", expected, found, f"Mend or remove the plug-in '{name}', which is no part of Dimpsy.")
