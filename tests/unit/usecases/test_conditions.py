"""Conditions are written down, read as typed, and held by route; what is strange is refused."""

from __future__ import annotations

import datetime as dt

import pytest

from planner.domain.check_in import CheckIn, Stage
from planner.domain.conditions import Condition, Conditions, Seen, Share
from planner.domain.errors import RuleError
from planner.domain.measures import Speed, Temperature
from planner.domain.plan import Plan
from planner.domain.weather import Quantity
from planner.exchange import shipped_protocol
from planner.store import SeasonFile
from planner.usecases.evening.check_in import check_in, take_back_check_in
from planner.usecases.evening.conditions import (
    conditions_for,
    forget_conditions,
    keep_conditions,
    read_measure,
    unverified_limits,
)

pytestmark = pytest.mark.xdist_group("reedhaven")

GALE = Condition(Quantity.WIND, Speed(60, "km/h"))
BREEZE = Condition(Quantity.WIND, Speed(8, "km/h"))
DRY = Condition(Quantity.RAIN, seen=Seen.NONE)


def busiest(plan: Plan) -> dt.date:
    """The date with most visits."""
    dates = [visit.date for visit in plan]
    return max(sorted(set(dates)), key=dates.count)


def test_that_conditions_are_one_step_each_and_undone(reedhaven: SeasonFile) -> None:
    date = busiest(reedhaven.plan())
    keep_conditions(reedhaven, date, [GALE, DRY])
    keep_conditions(reedhaven, date, [BREEZE], [_a_route(reedhaven)])
    labels = [step.label for step in reedhaven.history()[-2:]]
    said = f"{date:%a} {date.day} {date:%b}"
    assert labels[0] == f"Conditions of {said}: wind 60 km/h, rain none"
    assert labels[1] == f"Conditions of {said} at {_a_route(reedhaven)}: wind 8 km/h"
    assert len(reedhaven.conditions()) == 2
    forget_conditions(reedhaven, date, [reedhaven.conditions()[1].route])
    assert [one.route for one in reedhaven.conditions()] == [""]
    forget_conditions(reedhaven, date)
    assert reedhaven.conditions() == ()
    reedhaven.undo()
    reedhaven.undo()
    assert len(reedhaven.conditions()) == 2


def _a_route(file: SeasonFile) -> str:
    return file.season().routes[0].code


def test_that_strange_conditions_and_check_ins_are_refused(reedhaven: SeasonFile) -> None:
    date = busiest(reedhaven.plan())
    with pytest.raises(RuleError, match="outside the season"):
        keep_conditions(reedhaven, dt.date(1999, 1, 1), [GALE])
    with pytest.raises(RuleError, match="no route"):
        keep_conditions(reedhaven, date, [GALE], ["X99"])
    with pytest.raises(RuleError, match="at least one"):
        keep_conditions(reedhaven, date, [])
    moment = dt.datetime.combine(date, dt.time(4), tzinfo=dt.UTC)
    with pytest.raises(RuleError, match="no volunteer"):
        check_in(reedhaven, [CheckIn(date, _a_route(reedhaven), "X99", Stage.LEFT, moment)])
    with pytest.raises(RuleError, match="nobody"):
        check_in(reedhaven, [])
    with pytest.raises(RuleError, match="nothing to take back"):
        take_back_check_in(reedhaven, date, _a_route(reedhaven), "V01", Stage.LEFT)


DAY = dt.date(2027, 6, 4)
ONE_DAY = dt.timedelta(days=1)


@pytest.mark.parametrize(
    ("quantity", "text", "unit", "read"),
    [
        (Quantity.WIND, "12", "km/h", Speed(12, "km/h")),
        (Quantity.WIND, " 12 mph ", "km/h", Speed(12, "mph")),
        (Quantity.WIND, "3,5", "m/s", Speed(3.5, "m/s")),
        (Quantity.AIR_TEMPERATURE, "-2", "C", Temperature(-2, "C")),
        (Quantity.AIR_TEMPERATURE, "45 °F", "C", Temperature(45, "F")),
        (Quantity.CLOUD, "80", "%", Share(80, "%")),
        (Quantity.CLOUD, "80 %", "%", Share(80, "%")),
    ],
)
def test_that_a_figure_is_read_as_it_is_typed(quantity: Quantity, text: str, unit: str, read: object) -> None:
    assert read_measure(quantity, text, unit) == read


@pytest.mark.parametrize(
    ("quantity", "text"),
    [
        (Quantity.WIND, ""),
        (Quantity.WIND, "much"),
        (Quantity.WIND, "12 C"),
        (Quantity.CLOUD, "120"),
        (Quantity.RAIN, "3"),
    ],
)
def test_that_what_is_no_figure_of_the_quantity_is_refused(quantity: Quantity, text: str) -> None:
    with pytest.raises(RuleError):
        read_measure(quantity, text, "km/h" if quantity is Quantity.WIND else "%")


def test_that_several_routes_show_what_they_have_in_common() -> None:
    kept = (
        Conditions(DAY, known=(BREEZE, DRY)),
        Conditions(DAY, "A", (GALE,)),
        Conditions(DAY + ONE_DAY, known=(GALE,)),
    )
    assert conditions_for(kept, DAY, ()) == kept[0]
    assert conditions_for(kept, DAY, ["A"]).known == (DRY, GALE)
    assert conditions_for(kept, DAY, ["B", "C"]).known == (DRY, BREEZE)
    assert conditions_for(kept, DAY, ["A", "B"]).known == (DRY,)
    assert conditions_for(kept, DAY - ONE_DAY, ()) == Conditions(DAY - ONE_DAY)


def test_that_limits_from_memory_are_known_as_such() -> None:
    assert unverified_limits(shipped_protocol("frogs_three_periods"))
    assert not unverified_limits(shipped_protocol("heath_nightjars"))
