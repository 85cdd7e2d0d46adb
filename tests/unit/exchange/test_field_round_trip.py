"""What is written into fill-in files comes back the same, whatever the protocol asks for, from workbooks and text."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner.domain.conditions import Condition, Seen
from planner.domain.field.habitat_sheet import Cover, HabitatSheet, SheetKey, Side
from planner.domain.field.visit_record import PointRecord, RecordKey, Stopped, VisitRecord
from planner.domain.habitat import HabitatClass
from planner.domain.measures import Speed, Temperature
from planner.domain.plan import PlannedVisit
from planner.domain.season import Season
from planner.domain.weather import Quantity
from planner.exchange.field_files.tables_out import table_bytes
from planner.usecases.field_files.rows import FieldBook, fill_in_of
from tests.unit.exchange.field_samples import PLAN, SEASON, back, book, dusk, filled_in, known, records_of, sheets_of

TEXTS = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1, max_size=12).map(
    lambda text: f"note {text}"
)
SECONDS = st.integers(0, 60 * 60 * 5)


@st.composite
def seasons(draw: st.DrawFn) -> Season:
    """A season whose protocol has any step, some classes, one circle or two sides, one run or two."""
    habitat = SEASON.protocol.habitat
    assert habitat is not None
    count = draw(st.integers(1, 14))
    classes = tuple(HabitatClass(f"K{number}", f"kind {number}", number % 2 == 0) for number in range(count))
    rule = replace(
        habitat,
        step_percent=draw(st.sampled_from([1, 5, 10, 20, 25])),
        classes=classes,
        key=(),
        sides_of_road=draw(st.booleans()),
        grazed_share=draw(st.booleans()),
        livestock=draw(st.booleans()),
    )
    window = SEASON.protocol.windows[0]
    runs = window.passes * draw(st.integers(1, 2))
    protocol = replace(SEASON.protocol, habitat=rule, windows=(replace(window, passes=runs),))
    return replace(SEASON, protocol=protocol)


@st.composite
def sheets(draw: st.DrawFn, season: Season, visit: PlannedVisit, point: int) -> HabitatSheet:
    """A sheet of V01 that may be half empty."""
    rule = season.protocol.habitat
    assert rule is not None
    sides = (Side.LEFT, Side.RIGHT) if rule.sides_of_road else (Side.CIRCLE,)
    steps = st.integers(0, 100 // rule.step_percent).map(lambda one: one * rule.step_percent)
    codes = [one.code for one in rule.classes]
    covers = tuple(
        Cover.of(side, draw(st.dictionaries(st.sampled_from(codes), steps, min_size=1)).items()) for side in sides
    )
    return HabitatSheet(
        SheetKey(visit.key.route, visit.key.number, point, "V01"),
        covers,
        draw(st.dates(season.dates.first, season.dates.last)),
        draw(st.none() | st.integers(0, 100)) if rule.grazed_share else None,
        draw(st.none() | st.integers(0, 9999)) if rule.livestock else None,
        draw(st.just("") | TEXTS),
        draw(st.just("") | TEXTS),
    )


@st.composite
def records(draw: st.DrawFn, season: Season, visit: PlannedVisit) -> VisitRecord:
    """A record of one evening near its light window."""
    opens = dusk("R01", visit.date).open_utc - dt.timedelta(hours=2)
    runs = range(1, len(season.protocol.windows[0].passes) + 1)
    numbers = [(point.number, run) for run in runs for point in season.route(visit.key.route).points]

    def moment() -> dt.datetime:
        return opens + dt.timedelta(seconds=draw(SECONDS))

    counts = [
        PointRecord(point, run, arrived, draw(st.none() | st.just(arrived)), None, draw(st.booleans()), note)
        for point, run in draw(st.lists(st.sampled_from(numbers), unique=True, min_size=1))
        for arrived, note in [(moment(), draw(st.just("") | TEXTS))]
    ]
    return VisitRecord(
        RecordKey(visit.key.route, visit.key.number, visit.date),
        team=visit.people,
        counts=tuple(sorted(counts, key=lambda count: str(count.arrived_utc))),
        weather_first=draw(
            st.just(())
            | st.just(
                (
                    Condition(Quantity.WIND, Speed(12.5, "km/h"), Seen.WITHIN),
                    Condition(Quantity.AIR_TEMPERATURE, Temperature(-2, "C")),
                )
            )
        ),
        weather_last=draw(st.just(()) | st.just((Condition(Quantity.RAIN, seen=Seen.NONE),))),
        stopped=draw(st.none() | st.sampled_from(Stopped)),
        left_utc=draw(st.none() | st.builds(moment)),
        home_utc=draw(st.none() | st.builds(moment)),
        distance_km=draw(st.none() | st.integers(0, 500).map(float)),
        note=draw(st.just("") | TEXTS),
    )


@st.composite
def books(draw: st.DrawFn) -> FieldBook:
    """A season with some of what V01 does recorded."""
    season = draw(seasons())
    first, second = PLAN.of_volunteer("V01")
    points = draw(st.lists(st.sampled_from((1, 2, 3, 4)), unique=True, min_size=1, max_size=3))
    return book(
        season,
        sheets=[
            draw(sheets(season, visit, point)) for visit, point in zip((first, second, first), points, strict=False)
        ],
        records=[draw(records(season, visit)) for visit in draw(st.sampled_from([(first,), (first, second)]))],
    )


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that the examples write over."""
    return tmp_path_factory.mktemp("round")


@settings(max_examples=8, suppress_health_check=[HealthCheck.too_slow])
@given(made=books())
def test_that_a_workbook_comes_back_with_all_that_was_written_into_it(folder: Path, made: FieldBook) -> None:
    season = known(made.season)
    said = back(filled_in(folder / "back.xlsx", made), season)
    assert said.bad == ()
    assert said.notes == ()
    assert sheets_of(said, season) == {sheet.key: sheet for sheet in made.sheets}
    assert {key: replace(one, team=("V01", "V02")) for key, one in records_of(said).items()} == {
        one.key: replace(one, team=("V01", "V02")) for one in made.records
    }


@settings(max_examples=12, suppress_health_check=[HealthCheck.too_slow])
@given(made=books())
def test_that_tables_of_text_come_back_with_all_that_was_written_into_them(folder: Path, made: FieldBook) -> None:
    season = known(made.season)
    fill_in = fill_in_of(made, "V01")
    all_sheets, all_records = dict[SheetKey, HabitatSheet](), dict[RecordKey, VisitRecord]()
    for table in fill_in.tables:
        path = folder / f"{table.kind.value}.csv"
        path.write_bytes(table_bytes(table))
        said = back(path, season)
        assert said.bad == ()
        all_sheets |= sheets_of(said, season)
        for key, one in records_of(said).items():
            before = all_records.get(key, VisitRecord(key))
            all_records[key] = replace(one, counts=one.counts or before.counts)
    assert all_sheets == {sheet.key: sheet for sheet in made.sheets}
    told = {key: (one.counts) for key, one in all_records.items()}
    assert told == {one.key: one.counts for one in made.records}
