"""What is typed and not in the file yet: it lies over what is kept until the file has it, so that nothing is lost."""

from __future__ import annotations

from collections.abc import Sequence

from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey


class TypedSheets:
    """Sheets as they were typed, each until it is kept."""

    def __init__(self) -> None:
        self._typed: dict[SheetKey, HabitatSheet] = {}
        self._sent: dict[SheetKey, HabitatSheet] = {}

    def get(self, key: SheetKey) -> HabitatSheet | None:
        """Return what was typed for a key; None: nothing that the file does not have."""
        return self._typed.get(key)

    def put(self, sheet: HabitatSheet, kept: HabitatSheet) -> None:
        """Take what was typed; where it is what the file has, there is nothing to keep."""
        if sheet == kept and sheet.key not in self._sent:
            self._typed.pop(sheet.key, None)
        else:
            self._typed[sheet.key] = sheet

    def unsaved(self) -> tuple[HabitatSheet, ...]:
        """Return the sheets that are not in the file and not on their way to it."""
        return tuple(sheet for key, sheet in self._typed.items() if self._sent.get(key) != sheet)

    def send(self, sheets: Sequence[HabitatSheet]) -> None:
        """Remember that sheets are on their way to the file."""
        self._sent.update({sheet.key: sheet for sheet in sheets})

    def settle(self, sheets: Sequence[HabitatSheet], *, kept: bool) -> None:
        """Let go of sheets that the file has now; where it refused them they stay, to be sent again."""
        for sheet in sheets:
            if self._sent.get(sheet.key) == sheet:
                del self._sent[sheet.key]
            if kept and self._typed.get(sheet.key) == sheet:
                del self._typed[sheet.key]
