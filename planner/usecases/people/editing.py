"""Change who goes out: a new volunteer, another telephone, one who leaves. Each is one step of the season file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from planner.domain.errors import ImpossibleError
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.domain.season import Season
from planner.domain.volunteer import Volunteer
from planner.store import SeasonFile
from planner.usecases.field_follows import follow_person
from planner.usecases.people.person_entry import PersonEntry, PersonField, changed_fields, read_entry
from planner.usecases.wording import listed


@dataclass(frozen=True, slots=True)
class PersonChanged:
    """What came of changing a volunteer."""

    before: Volunteer
    after: Volunteer
    label: str
    """The step as the history shows it; empty where nothing was changed."""


@dataclass(frozen=True, slots=True)
class Removal:
    """What it means to take a volunteer out of the season."""

    volunteer: Volunteer
    unfilled: tuple[VisitKey, ...]
    """Visits that would be unfilled."""
    alone: tuple[VisitKey, ...]
    """Visits that would stand with their lead alone, where one person is enough."""
    agreements: tuple[str, ...]
    """Codes of the routes that the volunteer had agreed to lead; they are open again."""
    done: tuple[VisitKey, ...]
    """Visits that are done: what was counted keeps its counter, so there is no removing."""

    @property
    def possible(self) -> bool:
        """Whether the volunteer may be removed."""
        return not self.done

    @property
    def words(self) -> str:
        """What would happen, in sentences."""
        code = self.volunteer.code
        if self.done:
            return (
                f"{code} cannot be removed: {listed(self.done)} {_is(self.done)} done."
                " Set the visits limit to 0 instead, and no more is planned for them."
            )
        said = [
            f"{listed(self.unfilled)} would be unfilled." if self.unfilled else "",
            f"{listed(self.alone)} would have the lead alone." if self.alone else "",
            f"The lead of {listed(self.agreements)} would be open again." if self.agreements else "",
        ]
        return " ".join(one for one in said if one) or f"Nothing is planned for {code}."


def add_person(file: SeasonFile, entry: PersonEntry) -> Volunteer:
    """Add somebody new, as one step; they have given no dates yet.

    Raises:
        InputError: with the fault of every field that cannot be taken.
    """
    season = file.season()
    person = read_entry(season, entry)
    with file.step(f"New volunteer {person.code}"):
        file.save_season(replace(season, volunteers=(*season.volunteers, person)))
    return person


def change_person(file: SeasonFile, code: str, field: PersonField, text: str) -> PersonChanged:
    """Take what was typed in one field of a volunteer, as one step. Raises as :func:`change_person_fields` does."""
    return change_person_fields(file, code, {field: text})


def change_person_fields(file: SeasonFile, code: str, typed: Mapping[PersonField, str]) -> PersonChanged:
    """Take what was typed in some fields of a volunteer, as one step.

    A new code follows into the plan and into the routes that the volunteer has agreed to lead.

    Raises:
        RuleError: the season has no such volunteer.
        InputError: with the fault of every text that cannot be taken.
    """
    season = file.season()
    before = season.volunteer(code)
    entry = PersonEntry.of(before)
    for field, text in typed.items():
        entry = entry.with_text(field, text)
    after = read_entry(season, entry, before)
    if after == before:
        return PersonChanged(before, before, "")
    label = f"{code}: {listed(changed_fields(before, after))}"
    if after.code != code:
        label = f"{code} becomes {after.code}"
    people = tuple(after if one.code == code else one for one in season.volunteers)
    with file.step(label):
        file.save_season(replace(_with_lead(season, code, after.code), volunteers=people))
        file.save_plan(Plan(tuple(_called(visit, code, after.code) for visit in file.plan())))
        if after.code != code:
            follow_person(file, code, after.code)
    return PersonChanged(before, after, label)


def removal_of(season: Season, plan: Plan, code: str) -> Removal:
    """Return what removing a volunteer would mean; changes nothing.

    Raises:
        RuleError: the season has no such volunteer.
    """
    person = season.volunteer(code)
    mine = plan.of_volunteer(code)
    open_visits = [visit for visit in mine if visit.status is not Status.DONE]
    alone = {visit.key for visit in open_visits if visit.second == code and _one_is_enough(season, visit)}
    return Removal(
        volunteer=person,
        unfilled=tuple(sorted(visit.key for visit in open_visits if visit.key not in alone)),
        alone=tuple(sorted(alone)),
        agreements=tuple(route.code for route in season.routes if route.lead == code),
        done=tuple(sorted(visit.key for visit in mine if visit.status is Status.DONE)),
    )


def remove_person(file: SeasonFile, code: str) -> Removal:
    """Take a volunteer out of the season and out of the plan, as one step, and return what that meant.

    Visits that they lead, or where two must go, are unfilled; where one is enough the lead goes alone.

    Raises:
        RuleError: the season has no such volunteer.
        ImpossibleError: a visit of theirs is done.
    """
    season, plan = file.season(), file.plan()
    removal = removal_of(season, plan, code)
    if not removal.possible:
        raise ImpossibleError(f"{code} stays in the season.", removal.words)
    kept = (visit for visit in plan if visit.key not in removal.unfilled)
    after = Plan(tuple(replace(visit, second="") if visit.key in removal.alone else visit for visit in kept))
    people = tuple(one for one in season.volunteers if one.code != code)
    with file.step(f"Remove volunteer {code}"):
        file.save_plan(after)
        file.save_season(replace(_with_lead(season, code, ""), volunteers=people))
    return removal


def _with_lead(season: Season, code: str, new: str) -> Season:
    """Return the season with the agreements of one person handed to another code."""
    routes = tuple(replace(route, lead=new) if route.lead == code else route for route in season.routes)
    return replace(season, routes=routes)


def _called(visit: PlannedVisit, code: str, new: str) -> PlannedVisit:
    return replace(
        visit,
        lead=new if visit.lead == code else visit.lead,
        second=new if visit.second == code else visit.second,
    )


def _one_is_enough(season: Season, visit: PlannedVisit) -> bool:
    return season.people_for(season.route(visit.key.route)) == 1


def _is(keys: tuple[VisitKey, ...]) -> str:
    return "is" if len(keys) == 1 else "are"
