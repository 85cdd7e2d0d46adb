"""An estimate taken over from the last point or the last visit, to be looked over rather than written anew."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey, SheetState
from planner.domain.habitat import HabitatRule


def copied_onto(sheet: HabitatSheet, source: HabitatSheet, rule: HabitatRule) -> HabitatSheet:
    """Return a sheet with the estimate of another one, as a draft.

    The cover and the grazed share are taken, and the note where a class of the cover needs one and the sheet has none.
    Whose sheet it is, for which point and visit, its own date, livestock, species, note and photos stay: those are of
    their own hour. A sheet without a date takes that of a source of the same visit. What could not be read of the
    sheet before, is gone.
    """
    wanting = any(cover.percent(one.code) for one in rule.classes if one.needs_note for cover in source.covers)
    same_visit = (sheet.key.route, sheet.key.visit) == (source.key.route, source.key.visit)
    return replace(
        sheet,
        covers=source.covers,
        date=sheet.date or (source.date if same_visit else None),
        grazed_percent=source.grazed_percent,
        note=sheet.note or (source.note if wanting else ""),
        unread=(),
        state=SheetState.DRAFT,
    )


def of_last_point(sheets: Iterable[HabitatSheet], key: SheetKey, points: Sequence[int]) -> HabitatSheet | None:
    """Return the sheet of the point before, on the same visit; None: it has none, or the point is the first.

    Args:
        sheets: all that there are.
        key: of the sheet that is being written.
        points: numbers of the route's points in their order.
    """
    place = points.index(key.point) if key.point in points else 0
    if not place:
        return None
    return _by_preference(sheets, replace(key, point=points[place - 1]))


def of_last_visit(sheets: Iterable[HabitatSheet], key: SheetKey) -> HabitatSheet | None:
    """Return the sheet of the same point on the newest visit before that has one; None: there is none."""
    kept = tuple(sheets)
    for visit in range(key.visit - 1, 0, -1):
        found = _by_preference(kept, replace(key, visit=visit))
        if found is not None:
            return found
    return None


def _by_preference(sheets: Iterable[HabitatSheet], key: SheetKey) -> HabitatSheet | None:
    """Return the sheet of that point and visit with something estimated on it: the same observer's first."""
    where = (key.route, key.visit, key.point)
    there = [
        sheet
        for sheet in sheets
        if (sheet.key.route, sheet.key.visit, sheet.key.point) == where
        and any(cover.percents for cover in sheet.covers)
    ]
    return min(there, key=lambda sheet: (sheet.key.observer != key.observer, sheet.key.observer), default=None)
