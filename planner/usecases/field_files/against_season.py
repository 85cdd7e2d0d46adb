"""What came back, held against the sheets and records of the season: what replaces what, and what stays as it is."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from planner.domain.field.habitat_sheet import Cover, HabitatSheet, SheetKey, SheetState, Side, UnreadCell
from planner.domain.field.sheet_places import strange_words
from planner.domain.field.sheet_rules import sheet_faults
from planner.domain.field.visit_record import RecordKey, RecordState, VisitRecord
from planner.domain.plan import VisitKey
from planner.exchange.field_files.field_season import FieldSeason
from planner.exchange.field_files.form import CLASS, unread_name
from planner.exchange.field_files.parts import (
    COVER,
    NOT_READ,
    Changed,
    Parts,
    Said,
    joined,
    km_named,
    record_of,
    record_parts,
    sheet_of,
    sheet_parts,
    value_words,
    words_of,
)


@dataclass(slots=True)
class AgainstSeason:
    """What files say, held against the sheets and records that stand; gathers what is new or changed."""

    season: FieldSeason
    draft: bool
    today: dt.date
    sheets: list[HabitatSheet] = field(default_factory=list)
    records: list[VisitRecord] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    same: int = 0

    def sheet(self, said: Said, before: HabitatSheet | None) -> None:
        """Join what is said with a sheet that stands."""
        old = sheet_parts(before) if before is not None else {}
        joint = joined(old, said.parts)
        sides = self.season.form.sides
        unread = (*_still_unread(before.unread if before is not None else (), said, sides), *said.unread)
        made = sheet_of(replace(said, parts=joint.parts, unread=unread), sides, before)
        made = replace(made, state=self._sheet_state(made))
        was_final = before is not None and before.state is SheetState.FINAL
        if before is not None and _same_sheet(before, made) and (was_final or before == made):
            self.same += 1
        elif was_final and made.state is SheetState.DRAFT and (unread or not self.draft):
            self._final_stays(said, joint.changed)
        elif not made.empty:
            self._say_replaced(said, joint.changed)
            self.sheets.append(made)

    def _sheet_state(self, sheet: HabitatSheet) -> SheetState:
        rule = self.season.form.habitat
        if self.draft or rule is None or sheet.unread or strange_words(self.season.season, sheet.key):
            return SheetState.DRAFT
        return SheetState.DRAFT if sheet_faults(sheet, rule) else SheetState.FINAL

    def record(self, said: Said, before: VisitRecord | None) -> None:
        """Join what is said with a record that stands."""
        old = record_parts(before) if before is not None else {}
        old = {**self._planned_team(said.key), **old}
        team = said.parts.get(("team",), old.get(("team",), ()))
        people = team if isinstance(team, tuple) else ()
        now = km_named(said.parts, people)
        joint = joined(km_named(old, people), now)
        made = record_of(replace(said, parts=joint.parts), now)
        if before is not None:
            made = replace(made, stood=before.stood, let_stand=before.let_stand)
        made = replace(made, state=self._record_state(made))
        was_final = before is not None and before.state is RecordState.FINAL
        if before is not None and replace(before, state=made.state) == made and (was_final or before == made):
            self.same += 1
        elif was_final and made.state is RecordState.DRAFT and (said.unread or not self.draft):
            self._final_stays(said, joint.changed)
        else:
            self._say_replaced(said, joint.changed)
            self.records.append(made)

    def _planned_team(self, key: SheetKey | RecordKey) -> Parts:
        """Return who is planned to go, where nobody says who went."""
        planned = self.season.planned.get(VisitKey(key.route, key.visit))
        return {("team",): planned.people} if planned is not None else {}

    def _record_state(self, record: VisitRecord) -> RecordState:
        if record.key.date > self.today:
            self.notes.append(f"{record.key}: the date is still to come, so it is kept as a draft.")
            return RecordState.DRAFT
        unread = any(line.startswith(NOT_READ) for line in record.note.splitlines())
        return RecordState.DRAFT if self.draft or unread or not record.counts else RecordState.FINAL

    def _say_replaced(self, said: Said, changed: Sequence[Changed]) -> None:
        for one in changed:
            was, now = (value_words(value, self.season.season.tzinfo) for value in (one.before, one.after))
            self.notes.append(f"{said.key}: {words_of(one.name)} replaced: was {was}, now {now}.")

    def _final_stays(self, said: Said, changed: Sequence[Changed]) -> None:
        otherwise = "; ".join(
            f"{words_of(one.name)} {value_words(one.after, self.season.season.tzinfo)}" for one in changed
        )
        told = f" ({otherwise})" if otherwise else ""
        self.notes.append(
            f"{said.key}: it is final, and what came is not faultless{told}: the final one stays as it is."
            " Correct the file, or reopen it."
        )


def _same_sheet(one: HabitatSheet, other: HabitatSheet) -> bool:
    """Whether two sheets say the same, however far they have come."""
    return replace(one, state=SheetState.DRAFT) == replace(other, state=SheetState.DRAFT)


def _still_unread(before: Sequence[UnreadCell], said: Said, sides: Sequence[Side]) -> Iterator[UnreadCell]:
    """Yield what could not be read earlier and what came now says nothing of."""
    now = _known_by(said.parts)
    fresh = {cell.field for cell in said.unread}
    whole = not said.unread and all((COVER, side.value) in said.parts for side in sides)
    for cell in before:
        if not (whole or now & {cell.field, cell.field.partition(" in ")[0]} or cell.field in fresh):
            yield cell


def _known_by(parts: Parts) -> set[str]:
    """Return what parts may have been called when they could not be read."""
    names = {words_of(name) for name in parts}
    for value in parts.values():
        names |= _class_names(value)
    return names


def _class_names(value: object) -> set[str]:
    if not isinstance(value, Cover):
        return set()
    return {unread_name(f"{CLASS}{code}", value.side) for code, _ in value.percents}
