"""Whose paper is stale: the oracle is the text that the renderer sets for everybody, before and after a change."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from planner.domain.itinerary import Itinerary
from planner.domain.plan import Plan, PlannedVisit, Status
from planner.domain.season import Season
from planner.printing import render_pages
from planner.scheduling import SeasonProblem
from planner.store import SeasonFile
from planner.usecases.paper.changes import SAME_VISITS
from planner.usecases.paper.itineraries import PrintFacts, itinerary_for
from planner.usecases.paper.papers import PaperHashes, PaperLog, Papers, PaperState, VolunteerPaper, paper_log, papers
from planner.usecases.paper.runs import (
    PaperOut,
    print_job,
    record_papers,
    restore_papers,
    withdraw_papers,
    write_papers,
)
from planner.usecases.season.opening import road_network
from planner.usecases.season.problem import season_problem, season_problem_after
from tests.golden.texts import document_text

pytestmark = pytest.mark.xdist_group("reedhaven")

DAY = dt.date(2027, 8, 1)
OLD_HASH = "2284b730c2cdd1929af684fced084da43aa20e22d73cf664e2dbe83d3daf46cc"
"""As programs wrote it that hashed the bytes of the PDF file."""


def _facts(file: SeasonFile) -> PrintFacts:
    season = file.season()
    network = road_network(file.path, season.roads)
    return PrintFacts(season_problem(season, network, DAY), file.plan(), network, DAY, file.revision)


def _problem_on(file: SeasonFile, today: dt.date) -> SeasonProblem:
    season = file.season()
    return season_problem(season, road_network(file.path, season.roads), today)


def _papers(file: SeasonFile, hashes: PaperHashes | None = None) -> Papers:
    return papers(_facts(file), paper_log(file), hashes)


def _of(file: SeasonFile, code: str) -> VolunteerPaper:
    return next(person for person in _papers(file).people if person.code == code)


Texts = dict[str, tuple[Itinerary, str]]
"""By volunteer: what is to be printed, and what the paper then says."""


def _texts(file: SeasonFile, known: Texts) -> Texts:
    """What everybody's paper says, with one day of printing and one step on all of them.

    What is to be printed just as before is not printed once more to be read.
    """
    facts = replace(_facts(file), revision=1)
    going = [person.code for person in facts.season.volunteers if facts.plan.of_volunteer(person.code)]
    planned = {code: itinerary_for(facts, code) for code in going}
    return {
        code: known[code] if known.get(code, (None, ""))[0] == one else (one, document_text(render_pages(one)))
        for code, one in planned.items()
    }


def _save_season(file: SeasonFile, change: Callable[[Season], Season]) -> None:
    with file.step("Change the season"):
        file.save_season(change(file.season()))


def _save_plan(file: SeasonFile, plan: Plan) -> None:
    with file.step("Change the plan"):
        file.save_plan(plan)


def _printed_before(file: SeasonFile, content_hash: str) -> None:
    """Write down that everybody was printed now, by a program that kept that hash."""
    with file.step("Print itineraries"):
        for person in file.season().volunteers:
            if file.plan().of_volunteer(person.code):
                file.record_print(person.code, content_hash, dt.datetime(2027, 7, 1, tzinfo=dt.UTC))


def test_that_everybody_who_was_printed_from_this_plan_is_current(reedhaven: SeasonFile) -> None:
    found = _papers(reedhaven)
    going = {code for visit in reedhaven.plan() for code in visit.people}
    assert {person.code for person in found.people} == going
    assert {person.state for person in found.people} == {PaperState.CURRENT}
    assert found.wanting == ()
    assert found.bars == ()


def _without_reserves(file: SeasonFile) -> None:
    first = file.plan().visits[0]
    _save_plan(file, file.plan().with_visit(replace(first, reserve=None)))


def _swap_roles(file: SeasonFile) -> None:
    visit = next(visit for visit in file.plan() if visit.second)
    _save_plan(file, file.plan().with_visit(replace(visit, lead=visit.second, second=visit.lead)))


def _confirm_and_pin(file: SeasonFile) -> None:
    first = file.plan().visits[0]
    _save_plan(file, file.plan().with_visit(replace(first, status=Status.CONFIRMED, pinned=True)))


def _noted(season: Season) -> Season:
    route = season.routes[0]
    noted = replace(route, points=(replace(route.points[0], note="by the kissing gate"), *route.points[1:]))
    return replace(season, routes=(noted, *season.routes[1:]))


def _name_a_point(file: SeasonFile) -> None:
    _save_season(file, _noted)


def _partner_has_a_new_number(file: SeasonFile) -> None:
    second = next(visit.second for visit in file.plan() if visit.second)
    people = tuple(
        replace(person, telephone="07700 900777") if person.code == second else person
        for person in file.season().volunteers
    )
    _save_season(file, lambda season: replace(season, volunteers=people))


def _somebody_offers_more(file: SeasonFile) -> None:
    people = tuple(replace(person, visits_limit=9, drive_limit_minutes=88.0) for person in file.season().volunteers)
    _save_season(file, lambda season: replace(season, volunteers=people))


CHANGES: dict[str, Callable[[SeasonFile], None]] = {
    "a reserve date is given up": _without_reserves,
    "lead and second swap": _swap_roles,
    "a visit is confirmed and pinned": _confirm_and_pin,
    "a point gets a note": _name_a_point,
    "a partner has a new number": _partner_has_a_new_number,
    "people offer more": _somebody_offers_more,
}


@pytest.fixture(scope="module")
def texts_as_made(reedhaven_made: Path) -> Texts:
    """What everybody's paper says before anything is changed."""
    with SeasonFile.open(reedhaven_made) as file:
        return _texts(file, {})


@pytest.mark.parametrize("what", CHANGES)
def test_that_a_paper_has_changed_when_and_only_when_its_text_would(
    reedhaven: SeasonFile, texts_as_made: Texts, what: str
) -> None:
    before = texts_as_made
    CHANGES[what](reedhaven)
    after = _texts(reedhaven, before)
    differ = {code for code in before if before[code][1] != after[code][1]}
    found = _papers(reedhaven)
    if not found.bars:
        assert set(found.in_state(PaperState.CHANGED)) == differ
    assert set(found.in_state(PaperState.CHANGED)) >= differ
    reedhaven.undo()
    assert {person.state for person in _papers(reedhaven).people} == {PaperState.CURRENT}


def test_that_hashes_once_computed_give_the_same_answer(reedhaven: SeasonFile) -> None:
    hashes, log, facts = PaperHashes(), paper_log(reedhaven), _facts(reedhaven)
    first = papers(facts, log, hashes)
    moved = replace(facts.plan.visits[0], reserve=None)
    changed = replace(facts, plan=facts.plan.with_visit(moved))
    assert papers(changed, log, hashes) == papers(changed, log)
    assert papers(facts, log, hashes) == first
    noted = _noted(facts.season)
    other = replace(facts, problem=season_problem(noted, facts.network, DAY))
    assert papers(other, log, hashes) == papers(other, log)
    assert papers(other, log, hashes).in_state(PaperState.CHANGED)
    again = replace(facts, problem=season_problem_after(facts.problem, facts.season, facts.network, same_roads=True))
    assert again.problem is not facts.problem
    assert papers(again, log, hashes) == first


def test_that_looking_in_slices_comes_to_the_same(reedhaven: SeasonFile) -> None:
    _without_reserves(reedhaven)
    facts, log = _facts(reedhaven), paper_log(reedhaven)
    whole, hashes, seen = papers(facts, log), PaperHashes(), list[int]()
    while True:
        calls = iter([False] * len(seen))
        part = papers(facts, log, hashes, lambda calls=calls: next(calls, True))  # type: ignore[misc]
        seen.append(len(part.people))
        if part.whole:
            break
        assert part.people == whole.people[: len(part.people)]
    assert part == whole
    assert len(seen) > 3


def test_that_what_changed_is_said_by_visit(reedhaven: SeasonFile) -> None:
    visit = reedhaven.plan().visits[0]
    _save_plan(reedhaven, reedhaven.plan().with_visit(replace(visit, reserve=None)))
    words = _of(reedhaven, visit.lead).changes
    assert len(words) == 1
    assert words[0].startswith(f"{visit.key}: its reserve date is none, was ")


def test_that_a_new_number_of_the_coordinator_changes_all_papers_and_no_visit(reedhaven: SeasonFile) -> None:
    _save_season(
        reedhaven, lambda season: replace(season, coordinator=replace(season.coordinator, telephone="07700 900123"))
    )
    found = _papers(reedhaven)
    assert {person.state for person in found.people} == {PaperState.CHANGED}
    assert {person.changes for person in found.people} == {(SAME_VISITS,)}


def test_that_who_has_an_outing_and_no_paper_was_never_printed(reedhaven_made: Path, tmp_path: Path) -> None:
    with SeasonFile.open(reedhaven_made) as made:
        season, plan = made.season(), made.plan()
    with SeasonFile.create(tmp_path / "new.dimpsy", replace(season, roads=None)) as file:
        with file.step("Plan"):
            file.save_plan(plan)
        found = _papers(file)
        assert {person.state for person in found.people} == {PaperState.NEVER}
        assert {person.printed_utc for person in found.people} == {None}
        lead = plan.visits[0].lead
        own = plan.of_volunteer(lead)
        days = {visit.date for visit in own} | {v.setup for v in own if v.setup and v.lead == lead}
        assert _of(file, lead).outings == len(days)


def test_that_a_paper_without_outings_is_to_be_withdrawn_until_it_was(reedhaven: SeasonFile) -> None:
    lead = reedhaven.plan().visits[0].lead
    theirs = {visit.key for visit in reedhaven.plan().of_volunteer(lead)}
    _save_plan(reedhaven, Plan(tuple(visit for visit in reedhaven.plan() if visit.key not in theirs)))
    paper = _of(reedhaven, lead)
    assert paper.state is PaperState.WITHDRAW
    assert len(paper.changes) == len(theirs)
    assert all(words.endswith("is theirs no longer.") for words in paper.changes)
    runs = withdraw_papers(reedhaven, [lead, "nobody"])
    assert lead not in {person.code for person in _papers(reedhaven).people}
    assert withdraw_papers(reedhaven, [lead]) == ()
    restore_papers(reedhaven, runs)
    assert _of(reedhaven, lead) == paper
    withdraw_papers(reedhaven, [lead])
    reedhaven.undo()
    assert _of(reedhaven, lead).state is PaperState.NEVER


def test_that_the_paper_of_somebody_no_longer_in_the_season_is_to_be_withdrawn(reedhaven: SeasonFile) -> None:
    gone = reedhaven.plan().visits[0].lead
    theirs = {visit.key for visit in reedhaven.plan().of_volunteer(gone)}
    with reedhaven.step("Somebody leaves"):
        season = reedhaven.season()
        people = tuple(person for person in season.volunteers if person.code != gone)
        reedhaven.save_season(replace(season, volunteers=people))
        reedhaven.save_plan(Plan(tuple(visit for visit in reedhaven.plan() if visit.key not in theirs)))
    paper = _papers(reedhaven).people[-1]
    assert (paper.code, paper.name, paper.state) == (gone, gone, PaperState.WITHDRAW)


def test_that_papers_of_an_older_program_are_judged_by_the_visits_of_their_time(reedhaven: SeasonFile) -> None:
    _printed_before(reedhaven, OLD_HASH)
    assert {person.state for person in _papers(reedhaven).people} == {PaperState.CURRENT}
    visit = reedhaven.plan().visits[0]
    _save_plan(reedhaven, reedhaven.plan().with_visit(replace(visit, reserve=None)))
    found = _papers(reedhaven)
    assert set(found.in_state(PaperState.CHANGED)) == set(visit.people)
    reedhaven.undo()
    _name_a_point(reedhaven)
    assert {person.state for person in _papers(reedhaven).people} == {PaperState.UNSURE}


def test_that_a_paper_whose_state_is_gone_is_not_known_to_be_anything(reedhaven: SeasonFile) -> None:
    visit = reedhaven.plan().visits[0]
    _save_plan(reedhaven, reedhaven.plan().with_visit(replace(visit, reserve=None)))
    _printed_before(reedhaven, OLD_HASH)
    reedhaven.undo()
    _save_plan(reedhaven, reedhaven.plan().with_visit(replace(visit, pinned=True)))
    assert {person.state for person in _papers(reedhaven).people} == {PaperState.UNSURE}


def test_that_a_broken_rule_bars_all_paper_and_the_visits_still_judge_it(reedhaven: SeasonFile) -> None:
    visit = reedhaven.plan().visits[0]
    _save_plan(reedhaven, reedhaven.plan().with_visit(replace(visit, reserve=visit.date)))
    found = _papers(reedhaven)
    assert found.bars
    assert set(found.in_state(PaperState.CHANGED)) == set(visit.people)


def test_that_while_a_rule_is_broken_what_visits_cannot_tell_is_not_compared(reedhaven: SeasonFile) -> None:
    _name_a_point(reedhaven)
    visit = reedhaven.plan().visits[0]
    _save_plan(reedhaven, reedhaven.plan().with_visit(replace(visit, reserve=visit.date)))
    found = _papers(reedhaven)
    changed = set(visit.people)
    assert set(found.in_state(PaperState.CHANGED)) == changed
    assert set(found.in_state(PaperState.BARRED)) == {one.code for one in found.people} - changed
    assert set(found.wanting) == changed, "nobody else is known to need one"


def test_that_where_no_itinerary_can_be_made_the_visits_judge_the_paper(reedhaven: SeasonFile) -> None:
    first = min(reedhaven.plan(), key=lambda visit: visit.date)
    _save_plan(reedhaven, reedhaven.plan().with_visit(replace(first, window="none of that name")))
    later = replace(_facts(reedhaven), problem=_problem_on(reedhaven, first.date + dt.timedelta(days=1)))
    found = papers(later, paper_log(reedhaven))
    assert found.bars == ()
    assert set(found.in_state(PaperState.CHANGED)) == set(first.people)


def _with_two_visits(file: SeasonFile) -> str:
    """Return who leads one visit at least and goes out several times."""
    plan = file.plan()
    return next(visit.lead for visit in plan if len(plan.of_volunteer(visit.lead)) > 1)


def _made_otherwise(visit: PlannedVisit) -> PlannedVisit:
    """Return a visit as its record makes it stand: done, by the lead alone, nothing held back any more."""
    return replace(visit, second="", reserve=None, status=Status.DONE)


def test_that_a_visit_that_was_made_otherwise_than_printed_makes_no_paper_stale(reedhaven: SeasonFile) -> None:
    lead = _with_two_visits(reedhaven)
    first, second, *_ = reedhaven.plan().of_volunteer(lead)
    partner = replace(first, reserve=None, second="")
    _save_plan(reedhaven, reedhaven.plan().with_visit(_made_otherwise(first)))
    found = _papers(reedhaven)
    assert found.in_state(PaperState.CHANGED, PaperState.WITHDRAW) == ()
    assert _of(reedhaven, lead).state is PaperState.CURRENT
    reedhaven.undo()
    _save_plan(reedhaven, reedhaven.plan().with_visit(partner))
    assert set(_papers(reedhaven).wrong) == set(first.people), "what is not done yet is told as ever"
    reedhaven.undo()
    _save_plan(reedhaven, reedhaven.plan().with_visit(_made_otherwise(first)).with_visit(replace(second, reserve=None)))
    paper = _of(reedhaven, lead)
    assert paper.state is PaperState.CHANGED
    assert [words.partition(":")[0] for words in paper.changes] == [str(second.key)], "only what is still to come"


def test_that_who_has_made_all_their_visits_needs_no_paper_whatever_it_says(reedhaven: SeasonFile) -> None:
    lead = _with_two_visits(reedhaven)
    theirs = reedhaven.plan().of_volunteer(lead)
    done = reedhaven.plan()
    for visit in theirs:
        done = done.with_visit(replace(visit, status=Status.DONE, reserve=None))
    _save_plan(reedhaven, done)
    _name_a_point(reedhaven)
    assert _of(reedhaven, lead).state is PaperState.DONE
    assert lead not in {*_papers(reedhaven).wanting, *_papers(reedhaven).wrong}
    log = PaperLog({}, {})
    assert papers(_facts(reedhaven), log).in_state(PaperState.DONE), "also where they were never printed"
    other = next(person.code for person in reedhaven.season().volunteers if person.code not in theirs[0].people)
    _save_plan(reedhaven, done.with_visit(replace(theirs[0], lead=other, second="")))
    assert _of(reedhaven, lead).state is PaperState.CHANGED, "their paper still sends them out"


def test_that_a_paper_of_visits_that_somebody_else_has_made_is_not_called_back(reedhaven: SeasonFile) -> None:
    seconds = {visit.second for visit in reedhaven.plan() if visit.second}
    plan = reedhaven.plan()
    who = min(seconds, key=lambda code: len(plan.of_volunteer(code)))
    others = [person.code for person in reedhaven.season().volunteers if person.code not in seconds]
    made = plan
    for number, visit in enumerate(plan.of_volunteer(who)):
        made = made.with_visit(replace(_made_otherwise(visit), lead=others[number % len(others)]))
    _save_plan(reedhaven, made)
    assert who not in {person.code for person in _papers(reedhaven).people}


def test_that_a_file_open_for_reading_is_left_as_it_is(reedhaven: SeasonFile) -> None:
    runs = reedhaven.print_runs()
    with SeasonFile.open(reedhaven.path) as second:
        assert second.read_only_reason
        record_papers(second, (PaperOut("V1", "itinerary-3:0", 3, 1),), 1)
    assert reedhaven.print_runs() == runs


def test_that_printing_again_makes_the_changed_current_and_leaves_the_others_alone(
    reedhaven: SeasonFile, tmp_path: Path
) -> None:
    _without_reserves(reedhaven)
    changed = _papers(reedhaven).in_state(PaperState.CHANGED)
    runs = len(reedhaven.print_runs())
    job = print_job(_facts(reedhaven), changed)
    out = write_papers(job, tmp_path / "changed")
    assert tuple(one.volunteer for one in out) == changed
    assert sorted(path.name for path in (tmp_path / "changed").iterdir()) == sorted(
        one.path.name for one in out if one.path is not None
    )
    record_papers(reedhaven, out, job.facts.revision)
    assert len(reedhaven.print_runs()) == runs + len(changed)
    assert {person.state for person in _papers(reedhaven).people} == {PaperState.CURRENT}


def test_that_a_stopped_run_gives_what_was_written(reedhaven: SeasonFile, tmp_path: Path) -> None:
    done: list[int] = []
    job = print_job(_facts(reedhaven))
    out = write_papers(
        job, tmp_path / "some", on_done=lambda number, _of: done.append(number), stop=lambda: len(done) >= 2
    )
    assert len(out) == 2
    assert len(list((tmp_path / "some").iterdir())) == 2
