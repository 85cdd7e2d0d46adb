"""Keep habitat sheets: as drafts while they are written, as final ones once nothing is wrong; each change one step."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace

from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey, SheetState
from planner.domain.field.sheet_places import strange_words
from planner.domain.field.sheet_rules import sheet_faults
from planner.domain.habitat import HabitatRule
from planner.domain.season import Season
from planner.store import Changed, SeasonFile

MOST_SHEETS_NAMED = 12
"""Sheets whose faults are listed when final ones are refused; how many more there are is said."""


def keep_sheets(file: SeasonFile, sheets: Iterable[HabitatSheet], *, instead_of: Collection[SheetKey] = ()) -> Changed:
    """Write sheets down, drafts and final ones, as one step; those of the same keys are replaced.

    A sheet with nothing on it is not kept, and takes away the one that it replaces.

    Args:
        file: the season file.
        sheets: each key once.
        instead_of: keys of sheets that go in the same step: what a sheet stood under before its observer was named.

    Raises:
        RuleError: the protocol asks for no habitat, or a sheet is given twice.
        ImpossibleError: a final sheet breaks a rule of the protocol, or is of no point or visit of the season; with
            each sheet and what is wrong on it. Nothing is kept then.
    """
    given = tuple(sheets)
    season = file.season()
    _refuse_twice(given)
    _refuse_faulty(season, _habitat_rule(season), given)
    gone = {*instead_of, *(sheet.key for sheet in given)}
    kept = [sheet for sheet in file.sheets() if sheet.key not in gone]
    kept += [sheet for sheet in given if not sheet.empty]
    with file.step(sheets_label("Habitat sheet", [sheet.key for sheet in given])) as step:
        file.save_sheets(kept)
    return step.changed


def hand_in(file: SeasonFile, keys: Iterable[SheetKey]) -> Changed:
    """Make drafts final, as one step; those that are final already stay so.

    Raises:
        RuleError: there is no such sheet, or the protocol asks for no habitat.
        ImpossibleError: one of them breaks a rule; with each sheet and what is wrong on it. Nothing is changed then.
    """
    return _with_state(file, keys, SheetState.FINAL, "Hand in habitat sheet")


def reopen(file: SeasonFile, keys: Iterable[SheetKey]) -> Changed:
    """Make final sheets drafts again, to be mended, as one step.

    Raises:
        RuleError: there is no such sheet, or the protocol asks for no habitat.
    """
    return _with_state(file, keys, SheetState.DRAFT, "Reopen habitat sheet")


def forget_sheets(file: SeasonFile, keys: Iterable[SheetKey]) -> Changed:
    """Take sheets away, as one step. Their pictures stay on the disk, so that undoing brings them back.

    Raises:
        RuleError: there is no such sheet.
    """
    wanted = tuple(dict.fromkeys(keys))
    gone = {sheet.key for sheet in _chosen(file, wanted)}
    with file.step(sheets_label("Take away habitat sheet", wanted)) as step:
        file.save_sheets([sheet for sheet in file.sheets() if sheet.key not in gone])
    return step.changed


def sheets_label(doing: str, keys: Sequence[SheetKey]) -> str:
    """Return a label for a step: the sheet itself where it is one, else how many, and of what they all are.

    Args:
        doing: what is done, ending on the word for one sheet.
        keys: of the sheets.
    """
    if len(keys) == 1:
        return f"{doing} of {keys[0]}"
    visits = {f"{key.route} visit {key.visit}" for key in keys}
    routes = {key.route for key in keys}
    shared = next((one for one in (visits, routes) if len(one) == 1), set[str]())
    of_all = "".join(f" of {place}" for place in shared)
    return f"{doing}s: {len(keys)}{of_all}"


def _with_state(file: SeasonFile, keys: Iterable[SheetKey], state: SheetState, doing: str) -> Changed:
    wanted = tuple(dict.fromkeys(keys))
    season = file.season()
    rule = _habitat_rule(season)
    drafts = _chosen(file, wanted)
    if state is SheetState.FINAL:
        _refuse_faulty(season, rule, drafts, as_final=True)
    changed = {sheet.key: replace(sheet, state=state) for sheet in drafts}
    with file.step(sheets_label(doing, wanted)) as step:
        file.save_sheets([changed.get(sheet.key, sheet) for sheet in file.sheets()])
    return step.changed


def _chosen(file: SeasonFile, keys: Sequence[SheetKey]) -> tuple[HabitatSheet, ...]:
    there = {sheet.key: sheet for sheet in file.sheets()}
    missing = [str(key) for key in keys if key not in there]
    if missing:
        raise RuleError(f"there is no habitat sheet of {'; '.join(missing)}")
    return tuple(there[key] for key in keys)


def _habitat_rule(season: Season) -> HabitatRule:
    rule = season.protocol.habitat
    if rule is None:
        raise RuleError(f"'{season.protocol.name}' asks for no habitat: there are no sheets to keep")
    return rule


def _refuse_twice(sheets: Sequence[HabitatSheet]) -> None:
    keys = [sheet.key for sheet in sheets]
    twice = sorted({key for key in keys if keys.count(key) > 1}) if len(set(keys)) < len(keys) else []
    if twice:
        raise RuleError(f"the habitat sheet of {'; '.join(map(str, twice))} is given twice")


def _refuse_faulty(
    season: Season, rule: HabitatRule, sheets: Iterable[HabitatSheet], *, as_final: bool = False
) -> None:
    reasons = [
        f"{sheet.key}: {'; '.join(faults)}"
        for sheet in sheets
        if (as_final or sheet.state is SheetState.FINAL) and (faults := _against_final(season, rule, sheet))
    ]
    if not reasons:
        return
    more = len(reasons) - MOST_SHEETS_NAMED
    shown = reasons[:MOST_SHEETS_NAMED] + ([f"and {more} more sheets"] if more > 0 else [])
    what = "this sheet has a fault" if len(reasons) == 1 else f"{len(reasons)} sheets have faults"
    raise ImpossibleError(f"Not final yet: {what}. Mend it, or keep it as a draft.", *shown)


def _against_final(season: Season, rule: HabitatRule, sheet: HabitatSheet) -> tuple[str, ...]:
    strange = strange_words(season, sheet.key)
    return (*([strange] if strange else []), *(str(fault) for fault in sheet_faults(sheet, rule)))
