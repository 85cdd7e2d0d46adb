"""An estimate taken over from the last point or the last visit, to be looked over rather than written anew."""

from __future__ import annotations

from dataclasses import replace

from planner.domain.field.habitat_sheet import HabitatSheet, SheetState
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
