"""Habitat sheets, visit records and what was told, of every shape that the domain allows."""

from __future__ import annotations

import datetime as dt

from hypothesis import strategies as st

from planner.domain.conditions import MEASURES, Condition, Seen
from planner.domain.field.absent_class import AbsentClass
from planner.domain.field.drive_factors import LEAST_FACTOR, MOST_FACTOR, DriveFactor, DriveFactors
from planner.domain.field.habitat_sheet import (
    MOST_FIGURE,
    Cover,
    HabitatSheet,
    Photo,
    SheetKey,
    SheetState,
    Side,
    UnreadCell,
)
from planner.domain.field.told import Told, ToldKey, ToldKind
from planner.domain.field.visit_record import PointRecord, RecordKey, RecordState, Stood, Stopped, VisitRecord
from planner.domain.plan import PlannedVisit, Status, VisitKey
from planner.domain.weather import Quantity
from tests.unit.store.season_strategies import codes, days, places, words

numbers = st.integers(1, 99)
figures = st.integers(0, MOST_FIGURE)
zones = st.sampled_from([dt.UTC, dt.timezone(dt.timedelta(hours=5, minutes=45)), dt.timezone(-dt.timedelta(hours=9))])
moments = st.builds(dt.datetime.fromtimestamp, st.floats(0, 4e9), zones)
percents = st.dictionaries(codes, figures, max_size=4).map(dict.items)
covers = st.one_of(
    st.tuples(st.builds(Cover.of, st.just(Side.CIRCLE), percents)),
    st.tuples(*(st.builds(Cover.of, st.just(side), percents) for side in (Side.LEFT, Side.RIGHT))),
)


@st.composite
def sheets(draw: st.DrawFn) -> HabitatSheet:
    unread = draw(st.lists(st.builds(UnreadCell, words, words), max_size=2).map(tuple))
    return HabitatSheet(
        key=SheetKey(draw(codes), draw(numbers), draw(numbers), draw(words)),
        covers=draw(covers),
        date=draw(st.none() | days),
        grazed_percent=draw(st.none() | figures),
        livestock=draw(st.none() | figures),
        note=draw(words),
        species=draw(words),
        photos=draw(st.lists(st.builds(Photo, words, words, st.none() | places, words), max_size=2).map(tuple)),
        unread=unread,
        state=SheetState.DRAFT if unread else draw(st.sampled_from(SheetState)),
    )


@st.composite
def conditions(draw: st.DrawFn) -> Condition:
    quantity = draw(st.sampled_from(Quantity))
    kind = MEASURES.get(quantity)
    measured = None
    if kind is not None:
        measured = draw(st.none() | st.builds(kind, st.floats(0, 100), st.sampled_from(sorted(kind.FACTORS))))
    judged = [Seen.WITHIN, Seen.BEYOND] if "temperature" in quantity else list(Seen)
    seen = draw(st.sampled_from(judged) if measured is None else st.none() | st.sampled_from(judged))
    return Condition(quantity, measured, seen)


weather = st.lists(conditions(), max_size=3, unique_by=lambda one: one.quantity).map(tuple)
times = st.none() | moments
counts = st.lists(
    st.builds(PointRecord, numbers, st.integers(1, 3), times, times, times, st.booleans(), words),
    max_size=4,
    unique_by=lambda one: one.key,
).map(tuple)


@st.composite
def records(draw: st.DrawFn) -> VisitRecord:
    key = RecordKey(draw(codes), draw(numbers), draw(days))
    return VisitRecord(
        key=key,
        team=tuple(draw(st.lists(codes, max_size=2, unique=True))),
        counts=draw(counts),
        weather_first=draw(weather),
        weather_last=draw(weather),
        stopped=draw(st.none() | st.sampled_from(Stopped)),
        left_utc=draw(times),
        home_utc=draw(times),
        distance_km=draw(st.none() | st.floats(0, 5000)),
        second_km=draw(st.none() | st.floats(0, 5000)),
        note=draw(words),
        state=draw(st.sampled_from(RecordState)),
        let_stand=draw(words),
        stood=draw(st.none() | st.builds(Stood, st.none() | planned_visits(key.visit_key))),
    )


@st.composite
def planned_visits(draw: st.DrawFn, key: VisitKey) -> PlannedVisit:
    team = draw(st.lists(codes, min_size=1, max_size=2, unique=True))
    return PlannedVisit(
        key,
        team[0],
        draw(days),
        draw(words),
        team[1] if len(team) > 1 else "",
        draw(st.none() | days),
        draw(st.none() | days),
        draw(st.sampled_from(Status)),
        draw(st.booleans()),
    )


told = st.builds(
    Told,
    st.builds(ToldKey, codes, codes, numbers, st.sampled_from(ToldKind)),
    st.integers(0, 99),
    words,
    st.booleans(),
    moments,
    words,
)
absent_classes = st.lists(st.builds(AbsentClass, codes, codes, st.integers(0, 9)), max_size=3, unique=True).map(
    lambda some: tuple(sorted(some))
)


def factors(names: st.SearchStrategy[str]) -> st.SearchStrategy[DriveFactor]:
    factor, most = st.floats(LEAST_FACTOR, MOST_FACTOR), st.none() | st.floats(MOST_FACTOR, 2 * MOST_FACTOR)
    return st.builds(DriveFactor, names, factor, st.integers(0, 99), most)


named_factors = st.lists(factors(codes), max_size=3, unique_by=lambda one: one.name).map(
    lambda some: tuple(sorted(some, key=lambda one: one.name))
)
drive_factors = st.builds(DriveFactors, st.none() | factors(st.just("")), named_factors, named_factors, words)
