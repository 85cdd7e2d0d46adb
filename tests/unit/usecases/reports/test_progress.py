"""How far visits and sheets have come: a season worked out by hand, and what holds for any."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.field.habitat_sheet import Cover, HabitatSheet, SheetKey, SheetState, Side
from planner.domain.field.visit_record import PointRecord, RecordKey, RecordState, Stopped, VisitRecord
from planner.domain.geo import Place
from planner.domain.plan import Plan, Status, VisitKey
from planner.domain.reports.progress import SheetCount, VisitState
from planner.domain.reports.season_report import RouteMark
from planner.domain.route import Point, Route
from planner.domain.season import Season
from planner.usecases.records.lacking import lacking_words
from planner.usecases.reports.progress import progress_of
from planner.usecases.reports.report_areas import COMPASS_WORDS, GIVEN_WORDS, PREFIX_WORDS, report_areas
from tests.unit.scheduling import seasons as small

TODAY = small.day(5)


def _season() -> Season:
    rules = small.protocol(visits=2, habitat=small.habitat_rule())
    routes = [small.route(f"R{number}") for number in range(1, 7)]
    return small.problem(rules=rules, routes=routes, volunteers=[small.volunteer("A")]).season


def _record(route: str, visit: int, on: int, *points: int, state: RecordState = RecordState.FINAL) -> VisitRecord:
    counts = tuple(PointRecord(point, done=point != 3) for point in points)
    return VisitRecord(RecordKey(route, visit, small.day(on)), counts=counts, state=state)


def _sheet(route: str, point: int, state: SheetState, observer: str = "", visit: int = 1) -> HabitatSheet:
    return HabitatSheet(SheetKey(route, visit, point, observer), (Cover(Side.CIRCLE, (("W", 100),)),), state=state)


PLAN = Plan(
    (
        replace(small.planned("R1/1", "A", 1), status=Status.DONE),
        small.planned("R2/1", "A", 2),
        small.planned("R3/1", "A", 3),
        small.planned("R4/1", "A", 5),
        small.fixed(small.planned("R5/1", "A", 6)),
    )
)
RECORDS = (
    _record("R1", 1, 1, 1, 2, 3),
    _record("R2", 1, 2, 1),
    _record("R2", 1, 4, 1, 2),
    _record("R3", 1, 3, 1, 2, state=RecordState.DRAFT),
)
SHEETS = (
    _sheet("R1", 1, SheetState.FINAL, "A"),
    _sheet("R1", 1, SheetState.DRAFT, "B"),
    _sheet("R1", 2, SheetState.DRAFT),
    HabitatSheet(SheetKey("R1", 1, 3)),
    _sheet("R1", 9, SheetState.FINAL),
    _sheet("R4", 1, SheetState.FINAL),
)


def test_that_every_visit_stands_where_it_was_worked_out_by_hand_to_stand() -> None:
    progress = progress_of(_season(), PLAN, SHEETS, RECORDS, TODAY)
    first = {one.key.route: one.state for one in progress.standings if one.key.number == 1}
    assert first == {
        "R1": VisitState.DONE,
        "R2": VisitState.PARTLY,
        # A draft tells nothing yet; today is not past.
        "R3": VisitState.UNRECORDED,
        "R4": VisitState.PLANNED,
        "R5": VisitState.CONFIRMED,
        "R6": VisitState.UNFILLED,
    }
    assert [tally.count(VisitState.UNFILLED) for tally in progress.by_visit] == [1, 6]


def test_that_a_draft_that_waits_is_told_with_what_it_lacks() -> None:
    progress = progress_of(_season(), PLAN, SHEETS, RECORDS, TODAY)
    told = {one.key.route: one.draft_lacks for one in progress.standings if one.draft_lacks}
    assert told == {"R3": "counts at point 3, when they left home, when they were home again"}
    assert "1 date passed, draft waits" in progress.by_visit[0].in_words
    assert not any("no record" in words for words in progress.by_visit[0].in_words)
    bare = progress_of(_season(), PLAN, SHEETS, RECORDS[:3], TODAY)
    assert "1 date passed, no record" in bare.by_visit[0].in_words
    unread = replace(RECORDS[3], stopped=Stopped.WEATHER, note="Could not be read: km: 'far'")
    assert lacking_words(unread, (1, 2, 3)).endswith("home again, 1 entry that could not be read")
    assert lacking_words(replace(unread, counts=()), ()).startswith("all counts")
    moment = dt.datetime(2027, 6, 3, 21, tzinfo=dt.UTC)
    done = replace(unread, note="", left_utc=moment, home_utc=moment)
    assert lacking_words(done, (1, 2, 3)) == "nothing but to be handed in"


def test_that_points_counted_on_any_evening_count_once_and_unfinished_ones_not() -> None:
    progress = progress_of(_season(), PLAN, SHEETS, RECORDS, TODAY)
    counted = {one.key: (one.counted, one.evenings) for one in progress.standings}
    assert counted[VisitKey("R1", 1)] == (2, 1)
    assert counted[VisitKey("R2", 1)] == (2, 2)
    assert counted[VisitKey("R3", 1)] == (0, 0)
    assert progress.whole.points == 2 * 6 * 3


def test_that_only_points_that_stand_are_told_as_such_where_records_were_judged() -> None:
    judged = progress_of(_season(), PLAN, SHEETS, RECORDS, TODAY, {VisitKey("R1", 1): 1})
    assert {one.key.route: one.standing for one in judged.standings if one.counted} == {"R1": 1, "R2": 0}
    unjudged = progress_of(_season(), PLAN, SHEETS, RECORDS, TODAY)
    assert (judged.whole.standing, unjudged.whole.standing, unjudged.whole.counted) == (1, 4, 4)


def test_that_sheets_are_final_begun_missing_or_to_come_by_point() -> None:
    progress = progress_of(_season(), PLAN, SHEETS, RECORDS, TODAY)
    sheets = {one.key: one.sheets for one in progress.standings}
    # Point 3's sheet is empty, and the route has no point 9.
    assert sheets[VisitKey("R1", 1)] == SheetCount(due=3, final=1, draft=1, missing=1)
    assert sheets[VisitKey("R4", 1)] == SheetCount(due=3, final=1)
    assert progress.whole.sheets == SheetCount(due=36, final=2, draft=1, missing=4)
    assert progress.whole.sheets.to_come == 29


def test_that_no_sheet_is_due_where_the_protocol_wants_no_habitat() -> None:
    season = small.problem(routes=[small.route("R1")]).season
    assert progress_of(season, Plan(), SHEETS, (), TODAY).whole.sheets == SheetCount()


_STATES = st.sampled_from(list(Status))
_VISITS = st.dictionaries(
    st.tuples(st.integers(1, 6), st.integers(1, 2)), st.tuples(st.integers(0, 13), _STATES), max_size=12
)


@given(visits=_VISITS, recorded=st.sets(st.tuples(st.integers(1, 6), st.integers(1, 2))), today=st.integers(0, 13))
def test_that_every_visit_stands_somewhere_and_areas_and_numbers_add_up_to_the_whole(
    visits: dict[tuple[int, int], tuple[int, Status]], recorded: set[tuple[int, int]], today: int
) -> None:
    plan = Plan(
        tuple(
            replace(small.planned(f"R{route}/{number}", "A", on), status=status)
            for (route, number), (on, status) in visits.items()
        )
    )
    records = [_record(f"R{route}", number, 0, 1, 2, 3) for route, number in recorded]
    progress = progress_of(_season(), plan, SHEETS, records, small.day(today))
    for tallies in (progress.by_visit, progress.by_area):
        for state in VisitState:
            assert sum(tally.count(state) for tally in tallies) == progress.whole.count(state)
        assert sum((tally.sheets for tally in tallies), SheetCount()) == progress.whole.sheets
    assert progress.whole.visits == 12
    assert progress.whole.sheets.to_come >= 0


def _at(code: str, north: float, east: float) -> Route:
    return Route(code, code, (Point(1, Place(north, east)),))


def test_that_areas_are_the_letters_of_the_codes_where_these_tell_some_apart() -> None:
    routes = [_at(code, 50.0, 0.0) for code in ("WI2", "DO1", "DO2", "WI1")]
    areas, words = report_areas(routes)
    assert areas == {"DO1": "DO", "DO2": "DO", "WI1": "WI", "WI2": "WI"}
    assert list(areas.values()) == ["DO", "DO", "WI", "WI"]
    assert words == PREFIX_WORDS


@pytest.mark.parametrize("east", [0.0, 179.0])
def test_that_other_areas_are_the_nine_of_the_compass_across_the_date_line_too(east: float) -> None:
    def place(step: float) -> float:
        moved = east + step
        return moved - 360.0 if moved > 180.0 else moved

    grid = [_at(f"R{3 * row + column}", 50.0 - row, place(column)) for row in range(3) for column in range(3)]
    areas, words = report_areas([*reversed(grid), Route("R9", "no points", ())])
    assert words == COMPASS_WORDS
    assert list(areas.items()) == [
        ("R0", "north-west"), ("R1", "north"), ("R2", "north-east"),
        ("R3", "west"), ("R4", "middle"), ("R5", "east"),
        ("R6", "south-west"), ("R7", "south"), ("R8", "south-east"), ("R9", "without points"),
    ]  # fmt: skip


def test_that_areas_that_routes_were_given_go_before_all_else_and_routes_without_one_come_last() -> None:
    given = {"WI2": "wyke", "DO1": "", "DO2": "Orrin", "WI1": "wyke"}
    areas, words = report_areas([replace(_at(code, 50.0, 0.0), area=area) for code, area in given.items()])
    assert list(areas.items()) == [("DO2", "Orrin"), ("WI2", "wyke"), ("WI1", "wyke"), ("DO1", "no area said")]
    assert words == GIVEN_WORDS


def test_that_codes_that_are_names_of_their_own_make_no_areas_and_one_place_is_the_middle() -> None:
    areas, words = report_areas([_at("Alder", 50.0, 0.0), _at("Birch", 50.0, 0.0)])
    assert words == COMPASS_WORDS
    assert set(areas.values()) == {"middle"}


@pytest.mark.parametrize(
    ("states", "mark"),
    [
        ([VisitState.DONE, VisitState.DONE], RouteMark.DONE),
        ([VisitState.DONE, VisitState.PLANNED], RouteMark.STARTED),
        ([VisitState.PARTLY, VisitState.CONFIRMED], RouteMark.STARTED),
        ([VisitState.PLANNED, VisitState.CONFIRMED], RouteMark.PLANNED),
        ([VisitState.DONE, VisitState.UNFILLED], RouteMark.WANTING),
        ([VisitState.UNRECORDED, VisitState.DONE], RouteMark.WANTING),
    ],
)
def test_that_a_route_is_marked_by_what_wants_a_person_first(states: list[VisitState], mark: RouteMark) -> None:
    assert RouteMark.of(states) is mark


def test_that_a_visit_recorded_without_a_plan_has_the_date_of_its_record() -> None:
    progress = progress_of(_season(), Plan(), (), [_record("R6", 2, 8, 1)], TODAY)
    found = next(one for one in progress.standings if one.key == VisitKey("R6", 2))
    assert (found.state, found.date) == (VisitState.PARTLY, TODAY + dt.timedelta(days=3))
