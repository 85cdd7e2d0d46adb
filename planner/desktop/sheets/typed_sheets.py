"""What is typed and not in the file yet: it lies over what is kept until the file has it, so that nothing is lost."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import Generic, Protocol, TypeVar

from planner.domain.field.habitat_sheet import HabitatSheet
from planner.domain.field.visit_record import RecordKey, VisitRecord


class _Keyed(Protocol):
    """What came back, by its key."""

    @property
    def key(self) -> Hashable:
        """Which one it is."""


_Back = TypeVar("_Back", bound=_Keyed)


class _Typed(Generic[_Back]):
    """What was typed, each until it is kept."""

    def __init__(self) -> None:
        self._typed: dict[Hashable, _Back] = {}
        self._sent: dict[Hashable, _Back] = {}

    def get(self, key: Hashable) -> _Back | None:
        """Return what was typed for a key; None: nothing that the file does not have."""
        return self._typed.get(key)

    def put(self, typed: _Back, kept: _Back) -> None:
        """Take what was typed; where it is what the file has, there is nothing to keep."""
        if typed == kept and typed.key not in self._sent:
            self._typed.pop(typed.key, None)
        else:
            self._typed[typed.key] = typed

    def unsaved(self) -> tuple[_Back, ...]:
        """Return what is not in the file and not on its way to it."""
        return tuple(typed for key, typed in self._typed.items() if self._sent.get(key) != typed)

    def send(self, typed: Sequence[_Back]) -> None:
        """Remember what is on its way to the file."""
        self._sent.update({one.key: one for one in typed})

    def settle(self, sent: Sequence[_Back], *, kept: bool) -> None:
        """Let go of what the file has now; where it refused it that stays, to be sent again."""
        for one in sent:
            if self._sent.get(one.key) == one:
                del self._sent[one.key]
            if kept and self._typed.get(one.key) == one:
                del self._typed[one.key]


class TypedSheets(_Typed[HabitatSheet]):
    """Sheets as they were typed, each until it is kept."""


class TypedRecords(_Typed[VisitRecord]):
    """Visit records as they were typed, each until it is kept."""

    def forget(self, key: RecordKey) -> None:
        """Let go of what was typed for a key that there is no record of any more."""
        self._typed.pop(key, None)
