"""Lines that the demo seasons never call for: two skies, set-up days, no timetable, no number, no window."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.cli.evening_lines import outing_lines as lines_of_outing
from planner.cli.outing_lines import outing_lines
from planner.cli.route_lines import route_line
from planner.cli.visit_lines import figures, margin_words, verdict_lines
from planner.domain.check_in import Whereabouts
from planner.domain.conditions import Conditions
from planner.domain.errors import InputError, RuleError
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.measures import Speed
from planner.domain.plan import Plan, Status, VisitKey
from planner.domain.route import Route
from planner.domain.weather import Quantity
from planner.usecases.evening.conditions import read_conditions
from planner.usecases.evening.outing_view import Occasion, WhatIf, try_out
from planner.usecases.evening.outings import EveningOuting, Goer
from planner.usecases.evening.ringing_in import nearest_outing
from planner.usecases.evening.watch import OutingNow, PersonNow
from planner.usecases.plan.giving_visits import VisitWish
from planner.usecases.plan.judging import Verdict
from tests.desktop.outing.sights import sight
from tests.unit.scheduling.seasons import planned, problem, volunteer

LATE = dt.datetime(2027, 6, 3, 20, 58, tzinfo=dt.UTC)


def test_that_where_the_sky_decides_both_are_told() -> None:
    of = sight(overcast=True)
    lines = list(outing_lines(of, try_out(of, WhatIf())))
    clear, cloudy = lines.index("Clear sky:"), lines.index("Overcast sky:")
    assert (clear, lines[0].startswith("R1")) == (1, True)
    assert [line.split()[0] for line in (lines[clear + 1], lines[cloudy + 1])] == ["20:50", "20:40"]


def test_that_a_count_that_ends_too_late_is_marked_in_its_own_run_only() -> None:
    of = sight(two_passes=True)
    plain = list(outing_lines(of, try_out(of, WhatIf())))
    assert not any("TOO LATE" in line for line in plain)
    late = try_out(of, WhatIf(leave_utc=of.planned.outing.leave_home_utc + dt.timedelta(minutes=40)))
    marked = [line for line in outing_lines(of, late) if line.endswith("TOO LATE")]
    assert len(marked) == len(late.late_counts) > 0


def test_that_a_set_up_day_has_no_count_and_habitat_says_what_squeezing_leaves() -> None:
    day = sight(Occasion.SETUP)
    lines = list(outing_lines(day, try_out(day, WhatIf())))
    assert "set-up day, " in lines[0]
    assert not any("count" in line for line in lines)
    habitat = sight(habitat=True)
    assert any("  Habitat between the counts, " in line for line in outing_lines(habitat, habitat.planned))


def outing(date: dt.date = dt.date(2027, 6, 3), *, timed: bool = False) -> EveningOuting:
    leave = dt.datetime(2027, 6, 3, 19, 0, tzinfo=dt.UTC) if timed else None
    due = dt.datetime(2027, 6, 3, 22, 0, tzinfo=dt.UTC) if timed else None
    people = (Goer("V1", "Ada Example", "", True, leave, due),)
    why = "" if timed else "no road leads there"
    return EveningOuting(
        VisitKey("R1", 1), date, "R1 Long Lane", True, False, Status.PLANNED, people, None, None, None, why
    )


def test_that_an_outing_without_timetable_or_number_says_so() -> None:
    one = outing()
    now = OutingNow(one, Conditions(one.date), None, (PersonNow(one.people[0], Whereabouts.AT_HOME, {}),))
    assert list(lines_of_outing(now, dt.UTC)) == [
        "R1 Long Lane, set-up for visit 1 (planned)",
        "    No timetable: no road leads there",
        "    V1 Ada Example, no number: leaves -, due back -; not left yet",
    ]


def test_that_of_two_outings_the_nearer_is_meant_and_noon_to_noon_where_no_time_is_known() -> None:
    first, untimed = outing(timed=True), outing(dt.date(2027, 6, 4))

    def meant(day: int, hour: int) -> EveningOuting | None:
        return nearest_outing((first, untimed), "V1", dt.datetime(2027, 6, day, hour, tzinfo=dt.UTC))

    assert meant(3, 21) is first
    assert meant(4, 3) is first
    assert meant(4, 20) is untimed
    assert nearest_outing((first, untimed), "V2", LATE) is None


def test_that_a_wish_says_either_what_is_or_that_there_is_none() -> None:
    for wrong in ({"second": "V1", "alone": True}, {"reserve": dt.date(2027, 6, 3), "no_reserve": True}):
        with pytest.raises(RuleError, match="either"):
            VisitWish(**wrong)  # type: ignore[arg-type]  # one dict for several fields


def test_that_a_verdict_tells_what_would_break_what_is_mended_and_what_does_not_fit() -> None:
    season = problem(volunteers=[volunteer("V1")]).season
    broken = Finding(Rule.VISIT_DATE, Severity.BROKEN, Subject("R1"), "Out of its dates.", "Choose another date.")
    doubt = replace(broken, severity=Severity.DOUBT, what="Close to another.", todo="")
    visit = replace(planned("R1/1", "V1", 3), pinned=True)
    verdict = Verdict(visit, None, (broken,), (replace(broken, todo=""),), (doubt,), (doubt,), 12.0, None, 2)
    lines = list(verdict_lines(verdict, season))
    assert lines[0].endswith("(no reserve, pinned)")
    assert lines[1:] == [
        "  breaks a rule: Out of its dates.",
        "    What to do: Choose another date.",
        "  breaks a rule: Out of its dates.",
        "  doubt: Close to another.",
        "  mended: Close to another.",
        "  no margin can be told, 2 points do not fit, 12 minutes more driving.",
    ]
    assert figures(replace(verdict, drive_change_minutes=-3.2, points_missed=0)).endswith(
        "told, 3 minutes less driving"
    )
    assert [margin_words(minutes) for minutes in (0.9, -0.1, 12.0)] == [
        "0 min to spare",
        "1 min too late",
        "12 min to spare",
    ]


def test_that_a_usual_unit_is_meant_where_none_is_typed() -> None:
    known = read_conditions({Quantity.WIND: "12", Quantity.RAIN: " "}, {Quantity.WIND: "mph"})
    assert [one.measured for one in known] == [Speed(12.0, "mph")]
    with pytest.raises(InputError, match="wind"):
        read_conditions({Quantity.WIND: "12"})


def test_that_a_route_without_points_is_told_in_a_line() -> None:
    season = problem(volunteers=[volunteer("V1")]).season
    bare = Route("R9", "", ())
    said = route_line(bare, replace(season, routes=(*season.routes, bare)), Plan())
    assert said.startswith("R9: 0 points, ")
