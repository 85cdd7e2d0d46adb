"""Gathers everything that is wrong with one source, so that it can be mended in one go."""

from __future__ import annotations

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

    def __len__(self) -> int:
        return len(self._faults) + self._left_out

    def raise_any(self) -> None:
        """Raise InputError with every fault noted, if there is one."""
        if not self._faults:
            return
        rest = Fault(
            self.source, "", "no further faults", f"{self._left_out} more", "Mend those above first, then try again."
        )
        raise InputError(*self._faults, *([rest] if self._left_out else []))


def refused(source: Path | str, where: str, expected: str, found: str, todo: str) -> InputError:
    """Return the error of a source that is refused for one reason."""
    return InputError(Fault(str(source), where, expected, found, todo))
