"""Today, the letters and the paper say the same times."""

from __future__ import annotations

import datetime as dt
import re

from planner.desktop.desk import Desk
from planner.desktop.look.colours import LIGHT
from planner.desktop.today.outings_model import Column, OutingsModel
from planner.domain.outing import Outing
from planner.domain.plan import Plan
from planner.printing.times import LocalClock
from planner.printing.timetable import timetable
from planner.scheduling import outing_for, setup_outing_for
from planner.usecases.evening.outings import outing_dates, outings_on
from planner.usecases.evening.watch import EveningRecords, outings_now
from planner.usecases.sending.after_change import letters_after


def on_paper(outing: Outing, clock: LocalClock) -> tuple[str, str]:
    """Return when somebody leaves and is due home, in the figures that are printed."""
    keys = [timetable(outing).key]
    if outing.overcast is not None:
        keys.append(timetable(outing.overcast, overcast=True).key)
    leave, due = min(key.leave_home_utc for key in keys), max(key.due_home_utc for key in keys)
    return clock.show(leave).clock, clock.show(due).clock


def test_that_today_the_letters_and_the_paper_agree_on_every_outing(desk: Desk) -> None:
    problem, plan = desk.session.problem, desk.session.snapshot.plan
    assert problem is not None
    season = problem.season
    model = OutingsModel(season.tzinfo, LIGHT)
    before = dt.datetime.combine(season.dates.first, dt.time(12), dt.UTC)
    letters = {one.volunteer: one.text for one in letters_after(problem, (Plan(), plan), (), before)}
    seconds = set()
    for date in outing_dates(plan):
        clock = LocalClock(season.tzinfo, date)
        outings = outings_on(problem, plan, date)
        now = outings_now(outings, season.protocol, EveningRecords(), desk.now(), dt.timedelta(minutes=30))
        model.show(now, season.tzinfo)
        for row, one in enumerate(outings):
            visit = plan.by_key[one.key]
            make = outing_for if one.counts else setup_outing_for
            timed = [make(problem, visit, goer.code) for goer in one.people]
            seconds |= {outing.due_home_utc.second for outing in timed}
            printed = [on_paper(outing, clock) for outing in timed]
            shown = str(model.index(row, Column.TIMES).data()).splitlines()
            assert shown == [f"{leave} – {due}" for leave, due in printed], one.key
            if one.counts:
                head = f"{season.route(one.key.route).title}, visit {one.key.number}\n"
                for goer, (leave, due) in zip(one.people, printed, strict=True):
                    (part,) = (part for part in letters[goer.code].split("\n\n") if part.startswith(head))
                    assert f"You are asked to go out on {date:%A} {date.day} {date:%B %Y}." in part
                    assert f"Leave home by {leave}." in part
                    # After midnight the day is said too.
                    assert re.search(rf"Due back at {due}(\.| on )", part)
    assert len(seconds) > 20, "the demo's moments are no whole minutes by themselves"
