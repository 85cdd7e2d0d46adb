"""Today, the letters and the paper say the same times."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from planner.desktop.desk import Desk
from planner.desktop.look.colours import LIGHT
from planner.desktop.today.outings_model import Column, OutingsModel
from planner.domain.outing import Outing
from planner.printing.times import LocalClock
from planner.printing.timetable import timetable
from planner.scheduling import Move, outing_for, setup_outing_for
from planner.usecases.evening import outing_dates, outings_on
from planner.usecases.notices import notices
from planner.usecases.watch import EveningRecords, outings_now


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
                told = notices(problem, [Move(one.key, visit, replace(visit, reserve=None))], [], "")
                letters = {letter.volunteer: letter.text for letter in told}
                for goer, (leave, due) in zip(one.people, printed, strict=True):
                    assert f"Leave home by {leave}; due back at {due}." in letters[goer.code]
    assert len(seconds) > 20, "the demo's moments are no whole minutes by themselves"
