"""A visit record that cannot be is refused at the door."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import pytest

from planner.domain.conditions import Condition, Seen
from planner.domain.errors import RuleError
from planner.domain.field.visit_record import PointRecord, RecordKey, VisitRecord
from planner.domain.plan import VisitKey
from planner.domain.weather import Quantity

KEY = RecordKey("R1", 2, dt.date(2027, 6, 4))
NAIVE = dt.datetime.fromisoformat("2027-06-04T21:05")
RAIN = Condition(Quantity.RAIN, seen=Seen.NONE)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: PointRecord(0), "both from 1"),
        (lambda: PointRecord(1, 0), "both from 1"),
        (lambda: PointRecord(1, began_utc=NAIVE), "needs its time zone"),
        (lambda: VisitRecord(KEY, home_utc=NAIVE), "needs its time zone"),
        (lambda: VisitRecord(KEY, counts=(PointRecord(1), PointRecord(1))), "twice in one pass"),
        (lambda: VisitRecord(KEY, team=("V1", "V1")), "one or two people"),
        (lambda: VisitRecord(KEY, team=("V1", "V2", "V3")), "one or two people"),
        (lambda: VisitRecord(KEY, distance_km=-1.0), "between 0 and 5000"),
        (lambda: VisitRecord(KEY, distance_km=float("nan")), "between 0 and 5000"),
        (lambda: VisitRecord(KEY, weather_last=(RAIN, RAIN)), "a quantity twice"),
    ],
)
def test_that_what_cannot_be_is_refused_and_named(make: Callable[[], object], words: str) -> None:
    with pytest.raises(RuleError, match=words):
        make()


def test_that_moments_are_kept_in_utc_and_a_record_is_named_in_words() -> None:
    summer = dt.datetime(2027, 6, 4, 22, 5, tzinfo=dt.timezone(dt.timedelta(hours=1)))
    count = PointRecord(3, arrived_utc=summer, done=False)
    record = VisitRecord(KEY, counts=(count, PointRecord(4)), left_utc=summer)
    assert count.arrived_utc == summer
    assert (count.arrived_utc.tzinfo, record.left_utc) == (dt.UTC, summer)
    assert [one.point for one in record.done] == [4]
    assert str(KEY) == "R1 visit 2 on Fri 4 Jun 2027"
    assert KEY.visit_key == VisitKey("R1", 2)
