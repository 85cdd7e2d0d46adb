"""Gathers everything that is wrong with one source, so that it can be mended in one go."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from planner.domain.errors import Fault, InputError

MOST_FAULTS = 100
"""Beyond that the file as a whole is wrong, and a longer list helps nobody."""

CORRECT_OR_SWAP = "Correct it; if latitude and longitude are swapped, swap them."


class FaultList:
    """The faults of one source, in the order they were found."""

    def __init__(self, source: Path | str) -> None:
        self.source = str(source)
        self._faults: list[Fault] = []
        self._left_out = 0

    def add(self, where: str, expected: str, found: str, todo: str) -> None:
        """Note one fault; see :class:`planner.domain.errors.Fault` for the words."""
        if len(self._faults) < MOST_FAULTS:
            self._faults.append(Fault(self.source, where, expected, found, todo))
        else:
            self._left_out += 1

    def take(self, faults: Iterable[Fault]) -> None:
        """Note faults that were found elsewhere."""
        for fault in faults:
            self.add(fault.where, fault.expected, fault.found, fault.todo)

    @property
    def all(self) -> tuple[Fault, ...]:
        """Every fault noted; beyond :data:`MOST_FAULTS` the others are counted."""
        if not self._left_out:
            return tuple(self._faults)
        found = f"{self._left_out} more"
        rest = Fault(self.source, "", "no further faults", found, "Mend those above first, then try again.")
        return (*self._faults, rest)

    def __len__(self) -> int:
        return len(self._faults) + self._left_out

    def raise_any(self) -> None:
        """Raise InputError with every fault noted, if there is one."""
        if self._faults:
            raise InputError(*self.all)


def refused(source: Path | str, where: str, expected: str, found: str, todo: str) -> InputError:
    """Return the error of a source that is refused for one reason."""
    return InputError(Fault(str(source), where, expected, found, todo))
