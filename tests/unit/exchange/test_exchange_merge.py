"""Joining what was read with a season."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.calendar import DateRange
from planner.domain.errors import InputError
from planner.domain.geo import Place
from planner.domain.protocol import PeopleRule
from planner.domain.season import Season
from planner.domain.volunteer import Availability
from planner.domain.window import PartOfDay
from planner.exchange import Merged, Origin, PointRow, RouteName, RoutesRead, VolunteerRow, VolunteersRead, merge
from planner.exchange.merging.merge_faults import MOST_SEASON_POINTS
from planner.exchange.reads import Read
from tests.unit.exchange.samples import (
    AVAILABILITY_CSV,
    GPX,
    POINTS_CSV,
    ROUTES_CSV,
    SOURCES,
    VOLUNTEERS_CSV,
    faults_of,
    read,
    route,
    season,
    volunteer,
    write,
)


def merged(tmp_path: Path, before: Season, *texts: str) -> Merged:
    return merge(before, reads(tmp_path, *texts))


def reads(tmp_path: Path, *texts: str) -> list[Read]:
    return [read(write(tmp_path / f"{number}.txt", text)) for number, text in enumerate(texts)]


def point(code: str, number: int, latitude: float, longitude: float, line: int = 1) -> PointRow:
    return PointRow(Origin("p.csv", f"line {line}"), code, number, Place(latitude, longitude))


def points_read(*points: PointRow) -> RoutesRead:
    return RoutesRead("p.csv", points=points)


def test_that_tables_join_by_code_whichever_way_round_they_come(tmp_path: Path) -> None:
    texts = [POINTS_CSV, ROUTES_CSV, VOLUNTEERS_CSV, AVAILABILITY_CSV]
    first = merged(tmp_path, season(), *texts)
    last = merged(tmp_path, season(), *reversed(texts))
    assert {one.code: one for one in first.season.routes} == {one.code: one for one in last.season.routes}
    assert first.season.volunteers == last.season.volunteers
    fernhythe = first.season.route("R01")
    assert fernhythe.title == "R01 Fernhythe Common"
    assert fernhythe.lead == "V01"
    assert fernhythe.needs == {"4x4"}
    assert [one.number for one in fernhythe.points] == [1, 2, 3]
    assert first.season.route("R02").people == 2
    assert [line.parts for line in first.season.volunteer("V01").availability] == [{PartOfDay.DUSK}, frozenset()]
    assert first.notes == (
        "Routes: 2 new, 0 changed, 0 as before, none removed.",
        "Volunteers: 2 new, 0 changed, 0 as before, none removed.",
    )


def test_that_gpx_gives_points_and_name_and_the_table_the_rest(tmp_path: Path) -> None:
    table = "route,name,people\nR01,,2\nR03,Milestone Lane,1\n"
    after = merged(tmp_path, season(), table, GPX).season
    assert (after.route("R01").name, after.route("R01").people) == ("Fernhythe Common", 2)
    assert (after.route("R03").name, len(after.route("R03").points)) == ("Milestone Lane", 2)


def test_that_points_are_put_in_the_order_of_their_numbers() -> None:
    after = merge(season(), [points_read(point("R01", 2, 50, 1), point("R01", 1, 50, 2))]).season
    assert [one.number for one in after.route("R01").points] == [1, 2]


def test_that_same_codes_are_replaced_and_the_rest_stays(tmp_path: Path) -> None:
    before = season(routes=(route("R01"), route("R09", 50.9)), volunteers=(volunteer("V01"), volunteer("V09")))
    after = merged(tmp_path, before, POINTS_CSV, VOLUNTEERS_CSV)
    assert [one.code for one in after.season.routes] == ["R01", "R09", "R02"]
    assert after.season.route("R09") == before.route("R09")
    assert after.season.route("R01").name == "Heath R01"
    assert len(after.season.route("R01").points) == 3
    assert after.routes.new == ("R02",)
    assert after.routes.changed == ("R01",)
    assert after.volunteers.changed == ("V01",)
    assert after.volunteers.new == ("V02",)


def test_when_everything_is_read_again_nothing_changes(tmp_path: Path) -> None:
    texts = list(SOURCES.values())[1:]
    once = merged(tmp_path, season(), *texts)
    twice = merged(tmp_path, once.season, *texts)
    assert twice.season == once.season
    assert set(twice.routes.same) == {"R01", "R02", "R03"}
    assert not twice.routes.changed
    assert not twice.volunteers.changed


def test_that_a_volunteer_read_again_keeps_the_dates(tmp_path: Path) -> None:
    once = merged(tmp_path, season(), VOLUNTEERS_CSV, AVAILABILITY_CSV).season
    again = merged(tmp_path, once, VOLUNTEERS_CSV.replace(",40,", ",50,")).season
    assert again.volunteer("V01").drive_limit_minutes == 50
    assert again.volunteer("V01").availability == once.volunteer("V01").availability


def test_that_dates_read_replace_those_of_that_volunteer_alone(tmp_path: Path) -> None:
    once = merged(tmp_path, season(), VOLUNTEERS_CSV, AVAILABILITY_CSV).season
    again = merged(tmp_path, once, "volunteer,from,to,parts\nV02,2026-06-01,2026-06-02,dawn\n").season
    days = DateRange(dt.date(2026, 6, 1), dt.date(2026, 6, 2))
    assert again.volunteer("V02").availability == (Availability(days, frozenset({PartOfDay.DAWN})),)
    assert again.volunteer("V01") == once.volunteer("V01")


def test_that_a_table_without_a_column_leaves_what_the_season_knows(tmp_path: Path) -> None:
    before = season(
        routes=(replace(route(), lead="V01", people=2, needs=frozenset({"4x4"})),), volunteers=(volunteer(),)
    )
    after = merged(tmp_path, before, "route,name\nR01,New Name\n").season.route("R01")
    assert after == replace(before.route("R01"), name="New Name")


def test_that_trainings_are_spelt_as_the_protocol_spells_them(tmp_path: Path) -> None:
    before = season()
    people = PeopleRule(lead_training=("Nightjar Identification",))
    before = replace(before, protocol=replace(before.protocol, people=people))
    after = merged(tmp_path, before, VOLUNTEERS_CSV).season
    assert after.volunteer("V01").training == {"Nightjar Identification", "first aid"}


def test_that_routes_still_without_points_are_said(tmp_path: Path) -> None:
    notes = merged(tmp_path, season(volunteers=(volunteer(),)), ROUTES_CSV).notes
    assert notes[-1].startswith("Still without points: route R01, R02.")


def test_that_an_unknown_volunteer_is_told_with_line_and_column(tmp_path: Path) -> None:
    faults = faults_of(merge, season(), reads(tmp_path, ROUTES_CSV, AVAILABILITY_CSV))
    assert [(fault.where, fault.found) for fault in faults] == [
        ("line 2, column lead", "'V01', which is unknown"),
        ("line 2, column volunteer", "'V01', which is unknown"),
        ("line 3, column volunteer", "'V01', which is unknown"),
        ("line 4, column volunteer", "'V02', which is unknown"),
    ]


def test_that_a_volunteer_of_the_season_is_known(tmp_path: Path) -> None:
    after = merged(tmp_path, season(volunteers=(volunteer(),)), ROUTES_CSV).season
    assert after.route("R01").lead == "V01"


def test_that_what_stands_twice_is_told_with_both_places(tmp_path: Path) -> None:
    doubled = [
        POINTS_CSV + "R01,2,50.9,-1.9,\n",
        ROUTES_CSV + "R02,Again,,1,\n",
        VOLUNTEERS_CSV + "V02,Ben Sample,,,50.73,-1.95,,,,\n",
    ]
    faults = faults_of(merge, season(), reads(tmp_path, *doubled))
    assert [fault.expected for fault in faults] == [
        "point 2 of route R01 once",
        "route R02 once",
        "volunteer V02 once",
    ]
    assert all("stands in line 3 already" in fault.found for fault in faults)


def test_that_a_route_in_two_files_is_told_with_the_other_file(tmp_path: Path) -> None:
    faults = faults_of(merge, season(), reads(tmp_path, POINTS_CSV, GPX))
    assert len(faults) == 3
    assert f"stands in {tmp_path / '0.txt'}, line 2 already" in faults[0].found


def test_that_a_name_read_twice_is_refused() -> None:
    names = tuple(RouteName(Origin("a.gpx", f"line {line}, <rte>"), "R01", "A") for line in (3, 9))
    (fault,) = faults_of(merge, season(), [RoutesRead("a.gpx", names=names)])
    assert fault.where == "line 9, <rte>"


def test_that_two_points_at_one_place_are_refused() -> None:
    points = points_read(point("R01", 1, 50, 1), point("R01", 2, 50, 1, line=2), point("R02", 1, 50, 1))
    (fault,) = faults_of(merge, season(), [points])
    assert fault.where == "line 2"
    assert "the place of point 1" in fault.found


ROUND_HERE = tuple(point("R01", number, 50.7 + number / 100, -1.9) for number in range(1, 7))


def test_that_swapped_coordinates_are_noticed_by_the_others() -> None:
    (fault,) = faults_of(merge, season(), [points_read(*ROUND_HERE, point("R02", 1, -1.95, 50.75, line=8))])
    assert fault.where == "line 8"
    assert "latitude and longitude look swapped" in fault.found
    assert "point 1 of route R02" in fault.expected


def test_that_a_swapped_home_is_noticed_and_a_far_one_is_not() -> None:
    ada = volunteer()
    origin = Origin("v.csv", "line 2")
    far = VolunteersRead("v.csv", (VolunteerRow(origin, replace(ada, home=Place(57.0, -4.0))),))
    assert merge(season(), [points_read(*ROUND_HERE), far]).season.volunteer("V01").home == Place(57.0, -4.0)
    swapped = VolunteersRead("v.csv", (VolunteerRow(origin, replace(ada, home=Place(-2.0, 50.7))),))
    (fault,) = faults_of(merge, season(), [points_read(*ROUND_HERE), swapped])
    assert "home of V01" in fault.expected
    assert "swapped" in fault.found


@pytest.mark.parametrize("place", [(-33.9, 18.4), (50.7, 1.9 + 30), (-50.7, -1.9), (40.0, -120.0)])
def test_that_a_point_on_another_continent_is_refused_with_the_distance(place: tuple[float, float]) -> None:
    (fault,) = faults_of(merge, season(), [points_read(*ROUND_HERE, point("R02", 1, *place, line=8))])
    assert fault.where == "line 8"
    assert "within 300 km" in fault.expected
    assert "km away" in fault.found


def test_that_points_are_judged_by_those_the_season_has() -> None:
    before = season(routes=(route("R01"), route("R09", 50.9)))
    (fault,) = faults_of(merge, before, [points_read(point("R02", 1, -1.95, 50.75))])
    assert "swapped" in fault.found
    # The points that are being replaced have no say.
    moved = tuple(point("R01", number, -40 - number / 100, 170) for number in range(1, 5))
    alone = season(routes=(route("R01"),))
    assert merge(alone, [points_read(*moved)]).season.route("R01").points[0].place.latitude == -40.01


def test_that_a_season_as_wide_as_a_country_is_allowed() -> None:
    points = [point(f"R{row:02d}{column}", 1, 50 + row, -5 + column) for row in range(9) for column in range(6)]
    assert len(merge(season(), [points_read(*points)]).season.routes) == 54


def test_that_a_season_across_the_edge_of_the_map_is_whole() -> None:
    points = [point("R01", number, -17 - number / 100, 179.95 + number / 100) for number in range(1, 5)]
    points += [point("R02", number, -17 - number / 100, -179.95 + number / 100) for number in range(1, 5)]
    assert len(merge(season(), [points_read(*points)]).season.routes) == 2


def test_that_two_places_alone_are_not_judged() -> None:
    assert merge(season(), [points_read(point("R01", 1, 50, 1), point("R02", 1, -40, 170))]).season.routes


def test_when_there_is_a_fault_the_season_is_untouched_and_all_are_told(tmp_path: Path) -> None:
    before = season(routes=(route(),))
    copy = replace(before)
    points = points_read(*ROUND_HERE, point("R02", 1, -1.95, 50.75), point("R03", 1, -33, 18), ROUND_HERE[0])
    with pytest.raises(InputError) as caught:
        merge(before, [points, *reads(tmp_path, ROUTES_CSV)])
    assert len(caught.value.faults) == 3
    assert before == copy


def test_that_nothing_read_changes_nothing() -> None:
    before = season(routes=(route(),))
    assert merge(before, []) == Merged(before, ())


def test_that_notes_of_the_reading_are_handed_on() -> None:
    read_with_note = RoutesRead("a.gpx", points=ROUND_HERE, notes=("Left out: 1 track(s).",))
    assert merge(season(), [read_with_note]).notes[0] == "Left out: 1 track(s)."


@given(
    st.floats(-85, 85),
    st.floats(-180, 180),
    st.lists(st.tuples(st.floats(-0.9, 0.9), st.floats(-0.9, 0.9)), min_size=3, max_size=20, unique=True),
)
def test_that_points_within_100_km_of_each_other_are_never_refused(
    latitude: float, longitude: float, steps: list[tuple[float, float]]
) -> None:
    rows = [
        point(f"R{number}", 1, max(-90.0, min(90.0, latitude + up / 2)), (longitude + across / 2 + 180) % 360 - 180)
        for number, (up, across) in enumerate(steps)
    ]
    assert len(merge(season(), [points_read(*rows)]).season.routes) == len(rows)


def test_that_more_points_than_a_season_bears_are_refused_at_once() -> None:
    spread = [(f"R{route:04d}", number) for route in range(MOST_SEASON_POINTS // 10) for number in range(1, 11)]
    rows = [
        PointRow(Origin("many.csv", f"line {at}"), code, number, Place(50 + at / 1e5, -1.9))
        for at, (code, number) in enumerate(spread, start=2)
    ]
    assert len(merge(season(), [RoutesRead("many.csv", tuple(rows))]).season.routes) == MOST_SEASON_POINTS // 10
    (fault,) = faults_of(merge, season(routes=(route("R9999", count=1),)), [RoutesRead("many.csv", tuple(rows))])
    assert (fault.source, fault.found) == ("many.csv", f"{MOST_SEASON_POINTS + 1:,} with these")
