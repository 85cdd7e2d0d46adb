"""The season's own form: each change is one step in words, and what is impossible is refused."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.domain.calendar import DateRange
from planner.domain.errors import RuleError
from planner.domain.lost_evenings import LostEvenings
from planner.store import SeasonFile
from planner.usecases.checking import check
from planner.usecases.season.form import (
    chances_of,
    expect_no_weather,
    expect_weather,
    note_on_season,
    rename_season,
    set_season_dates,
)

pytestmark = pytest.mark.xdist_group("reedhaven")


def test_that_a_new_name_is_one_step_that_can_be_undone(reedhaven: SeasonFile) -> None:
    before = reedhaven.season()
    changed = rename_season(reedhaven, "  Marsh dawns  ")
    assert reedhaven.history()[-1].label == changed.label == "Call the season 'Marsh dawns'"
    assert reedhaven.season() == replace(before, name="Marsh dawns") == changed.season
    reedhaven.undo()
    assert reedhaven.season() == before


def test_that_an_empty_name_is_refused(reedhaven: SeasonFile) -> None:
    with pytest.raises(RuleError, match="needs a name"):
        rename_season(reedhaven, "   ")


def test_that_what_is_so_already_is_no_step(reedhaven: SeasonFile) -> None:
    steps = len(reedhaven.history())
    assert rename_season(reedhaven, reedhaven.season().name).label == ""
    assert len(reedhaven.history()) == steps


def test_that_notes_are_kept(reedhaven: SeasonFile) -> None:
    note_on_season(reedhaven, "Ring the warden first.\n")
    assert reedhaven.season().notes == "Ring the warden first."


def test_that_dates_are_set_and_what_then_lies_outside_is_told(reedhaven: SeasonFile) -> None:
    season = reedhaven.season()
    second = season.visits[1]
    shorter = DateRange(second.last - dt.timedelta(days=1), second.last)
    set_season_dates(reedhaven, season.dates, {2: shorter})
    assert reedhaven.season().visits == (season.visits[0], shorter)
    assert any("lies outside the dates of visit 2" in finding.what for finding in check(reedhaven).findings)


def test_that_impossible_dates_are_refused(reedhaven: SeasonFile) -> None:
    season = reedhaven.season()
    first = season.dates.first
    with pytest.raises(RuleError, match="must lie inside the season"):
        set_season_dates(reedhaven, DateRange(first, first), {})
    with pytest.raises(RuleError, match="has visits 1 to 2, found 3"):
        set_season_dates(reedhaven, season.dates, {3: season.visits[0]})
    with pytest.raises(RuleError, match="mend the year"):
        set_season_dates(reedhaven, DateRange(first, first + dt.timedelta(days=400)), {})
    with pytest.raises(RuleError, match="1900 to 2099"):
        set_season_dates(reedhaven, DateRange(dt.date(1899, 1, 1), dt.date(1899, 2, 1)), {})
    assert reedhaven.season() == season


def test_that_the_weather_is_said_by_half_month_and_the_rest_stays(reedhaven: SeasonFile) -> None:
    assert {chance for _, chance in chances_of(reedhaven.season())} == {None}
    expect_weather(reedhaven, {17: 0.4}, 0.3)
    expect_weather(reedhaven, {18: 0.2}, 0.3)
    weather = reedhaven.season().lost_evenings
    assert weather == LostEvenings(tuple({17: 0.4, 18: 0.2}.get(n, 0.0) for n in range(24)), 0.3)
    assert dict(chances_of(reedhaven.season()))[18] == 0.2
    assert check(reedhaven).risk is not None
    expect_no_weather(reedhaven)
    assert reedhaven.season().lost_evenings is None


def test_that_a_chance_is_a_share_of_a_known_half_month(reedhaven: SeasonFile) -> None:
    with pytest.raises(RuleError, match="share from 0 to 1"):
        expect_weather(reedhaven, {3: 1.2})
    with pytest.raises(RuleError, match="numbered 0 to 23"):
        expect_weather(reedhaven, {24: 0.2})
