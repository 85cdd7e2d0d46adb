"""The errors a coordinator can act on: each says where, what was expected, what was found, what to do."""

from __future__ import annotations

from dataclasses import dataclass


class DimpsyError(Exception):
    """Root of every error that is the user's or the environment's, never a fault of the program."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with an input, and the way out of it."""

    source: str
    """The file or value that was read, as the user named it."""
    where: str
    """Line, element, key or field inside the source; empty where the whole source is meant."""
    expected: str
    found: str
    todo: str

    def __str__(self) -> str:
        """One line: place, expectation, finding, way out."""
        place = f"{self.source}, {self.where}" if self.where else self.source
        return f"{place}: expected {self.expected}, found {self.found}. {self.todo}"


class InputError(DimpsyError):
    """An input that cannot be taken; carries every fault found in it, so that all are mended in one go."""

    def __init__(self, *faults: Fault) -> None:
        if not faults:
            raise ValueError("an InputError needs at least one fault")
        self.faults = faults
        super().__init__("\n".join(str(fault) for fault in faults))


class RuleError(DimpsyError, ValueError):
    """A value refused at the door of the domain: it would make an impossible state."""


class ImpossibleError(DimpsyError):
    """What was asked cannot be done as asked; carries the reasons."""

    def __init__(self, asked: str, *reasons: str) -> None:
        self.asked = asked
        self.reasons = reasons
        super().__init__("\n".join([asked, *(f"- {reason}" for reason in reasons)]))


class SeasonFileError(DimpsyError):
    """The season file cannot be opened or written: missing, damaged, newer than the program, or in use."""
