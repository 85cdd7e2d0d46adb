"""Say of what looked wrong on habitat sheets that it is so, and take that back; each change one step."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from planner.domain.errors import RuleError
from planner.domain.field.confirming import (
    OF_FIGURES,
    anything_confirmed,
    unconfirmed,
    with_figures_confirmed,
    with_photos_confirmed,
)
from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey
from planner.domain.finding import Finding, Rule
from planner.store import Changed, SeasonFile
from planner.usecases.sheets.comparing import compared_sheets
from planner.usecases.sheets.keeping import sheets_label

MOST_NOTE_LETTERS = 200
"""Of a note beside a confirmation: a line, our own bound."""


def may_be_so(rule: Rule) -> bool:
    """Return whether a finding of a rule may be answered by 'it is so': it is a doubt, not a broken rule."""
    return rule in OF_FIGURES or rule is Rule.PHOTO_FAR


def it_is_so(file: SeasonFile, finding: Finding, note: str = "") -> Changed:
    """Answer a finding on habitat sheets: what it tells was asked about and is so, as one step.

    Args:
        file: the season file.
        finding: as the checks tell it now.
        note: who said so, or why it is so; may be empty. Of photos no note is kept.

    Raises:
        RuleError: it is not told any more, is no finding that may be answered so, or the note is too long.
    """
    if finding.rule is Rule.PHOTO_FAR and finding.subject.point is not None:
        about = finding.subject
        return confirm_photos(file, [SheetKey(about.route, about.visit or 1, finding.subject.point, about.volunteer)])
    told = compared_sheets(file.season(), file.sheets())
    doubted = next((one.doubted for one in told if one.finding == finding), ())
    if not doubted:
        raise RuleError(f"this is not told of habitat sheets, or not any more: {finding.what}")
    return confirm_figures(file, doubted, note)


def confirm_figures(file: SeasonFile, keys: Iterable[SheetKey], note: str = "") -> Changed:
    """Say that the figures of sheets are right as they stand, as one step.

    Nothing is said against them any more, by the visit before, the points beside or another observer, until one of
    the figures changes; then all is told again.

    Args:
        file: the season file.
        keys: of the sheets; one that names no observer stands for the only sheet of its point.
        note: who said so, or why it is so; may be empty.

    Raises:
        RuleError: there is no such sheet, none is given, or the note has more than 200 letters.
    """
    words = _note(note)
    return _step(file, keys, lambda sheet: with_figures_confirmed(sheet, words), "It is so: habitat sheet")


def confirm_photos(file: SeasonFile, keys: Iterable[SheetKey]) -> Changed:
    """Say that all photos on sheets show their points, though their cameras say otherwise, as one step.

    Photos that are attached later are held against their point as ever.

    Raises:
        RuleError: there is no such sheet, it has no photos, or none is given.
    """
    wanted = tuple(keys)
    bare = [str(sheet.key) for sheet in _chosen(file, wanted) if not sheet.photos]
    if bare:
        raise RuleError(f"there are no photos on the habitat sheet of {'; '.join(bare)}")
    return _step(file, wanted, with_photos_confirmed, "Photos belong to the point: habitat sheet")


def ask_again(file: SeasonFile, keys: Iterable[SheetKey]) -> Changed:
    """Take back what was confirmed of sheets, figures and photos, as one step.

    Raises:
        RuleError: there is no such sheet, nothing on it was confirmed, or none is given.
    """
    wanted = tuple(keys)
    idle = [str(sheet.key) for sheet in _chosen(file, wanted) if not anything_confirmed(sheet)]
    if idle:
        raise RuleError(f"nothing was confirmed on the habitat sheet of {'; '.join(idle)}")
    return _step(file, wanted, unconfirmed, "Ask again about habitat sheet")


def _step(
    file: SeasonFile, keys: Iterable[SheetKey], change: Callable[[HabitatSheet], HabitatSheet], doing: str
) -> Changed:
    changed = {sheet.key: change(sheet) for sheet in _chosen(file, keys)}
    with file.step(sheets_label(doing, tuple(changed))) as step:
        file.save_sheets([changed.get(sheet.key, sheet) for sheet in file.sheets()])
    return step.changed


def _chosen(file: SeasonFile, keys: Iterable[SheetKey]) -> tuple[HabitatSheet, ...]:
    sheets = file.sheets()
    found = {key: _meant(sheets, key) for key in keys}
    wrong = [f"there {_how_many(theirs)} of {key}" for key, theirs in found.items() if len(theirs) != 1]
    if wrong or not found:
        raise RuleError("; ".join(wrong) or "name at least one habitat sheet")
    return tuple(dict.fromkeys(theirs[0] for theirs in found.values()))


def _meant(sheets: Sequence[HabitatSheet], key: SheetKey) -> list[HabitatSheet]:
    """Return the sheet of a key; where the key names no observer and has none, all sheets of its point."""
    exact = [sheet for sheet in sheets if sheet.key == key]
    return exact or [sheet for sheet in sheets if not key.observer and replace(sheet.key, observer="") == key]


def _how_many(sheets: Sequence[HabitatSheet]) -> str:
    who = ", ".join(sheet.key.observer for sheet in sheets)
    return f"are {len(sheets)} habitat sheets, by {who}: name the observer," if sheets else "is no habitat sheet"


def _note(text: str) -> str:
    note = " ".join(text.split())
    if len(note) > MOST_NOTE_LETTERS:
        raise RuleError(f"a note has {MOST_NOTE_LETTERS} letters at most, found {len(note)}")
    return note
