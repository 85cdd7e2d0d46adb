"""Put right two habitat sheets that were swapped."""

from __future__ import annotations

from dataclasses import replace

from planner.domain.errors import RuleError
from planner.domain.field.confirming import unconfirmed
from planner.domain.field.habitat_sheet import SheetKey
from planner.store import Changed, SeasonFile


def swap_sheets(file: SeasonFile, first: SheetKey, second: SheetKey) -> Changed:
    """Let two sheets change places with all that is on them, photos too, as one step.

    What was confirmed of them was said of another point, and holds no more.

    Raises:
        RuleError: there is no such sheet, or the two are one.
    """
    sheets = {sheet.key: sheet for sheet in file.sheets()}
    missing = [str(key) for key in (first, second) if key not in sheets]
    if missing or first == second:
        raise RuleError(
            f"there is no habitat sheet of {'; '.join(missing)}" if missing else "a sheet stays where it is"
        )
    one, other = unconfirmed(sheets[first]), unconfirmed(sheets[second])
    swapped = {first: replace(other, key=first), second: replace(one, key=second)}
    with file.step(f"Swap the habitat sheets of {first} and {second}") as step:
        file.save_sheets([swapped.get(key, sheet) for key, sheet in sheets.items()])
    return step.changed
