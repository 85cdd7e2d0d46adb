"""Cancelled visits, areas, and what went out from where: kept, undone or not, unknown in older files."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import replace
from pathlib import Path

import apsw
import pytest

from planner.domain.errors import SeasonFileError
from planner.domain.field.cancelled import CancelledVisit, CancelReason
from planner.domain.field.told import SentFrom, WrittenFile
from planner.domain.plan import VisitKey
from planner.forms import protocol_to_plain
from planner.store import SeasonFile
from planner.store.history import keep_step
from planner.store.migrating import migrate, shipped_migrations
from tests.unit.store.season_strategies import SMALL_PROTOCOL, SMALL_SEASON, small_route

DAY = dt.date(2027, 6, 4)
NINE = dt.datetime(2027, 6, 3, 21, 5, tzinfo=dt.UTC)
STORM = CancelledVisit(VisitKey("R1", 1), DAY, CancelReason.WEATHER, NINE)
SETUP = replace(STORM, setup=True)
ROAD = CancelledVisit(VisitKey("R0", 2), DAY, CancelReason.ROAD, NINE)
FILES = [WrittenFile("R1 visit 1.gpx", "a" * 64), WrittenFile("R1 visit 1.gpx", "b" * 64)]


def test_that_cancelled_visits_come_back_by_date_and_are_undone_with_their_step(season_file: SeasonFile) -> None:
    for kept in ((STORM,), (ROAD, STORM, SETUP), ()):
        with season_file.step("Cancel") as step:
            season_file.save_cancelled(reversed(kept))
        assert step.changed.tables == {"cancelled_visit"}
        assert season_file.cancelled() == kept
    season_file.undo()
    assert season_file.cancelled() == (ROAD, STORM, SETUP)
    season_file.undo()
    season_file.undo()
    assert season_file.cancelled() == ()
    season_file.redo()
    assert season_file.cancelled() == (STORM,)
    assert season_file.cancelled_since == 0


def test_that_files_that_went_out_and_from_where_are_kept_once_and_never_undone(season_file: SeasonFile) -> None:
    assert (season_file.written_files, season_file.sent_from) == (frozenset(), None)
    for place in (SentFrom("one", "/a"), SentFrom("two", "/b")):
        with season_file.step("Send") as step:
            season_file.record_told((), FILES, place)
        assert not step.changed
        assert season_file.sent_from == place
    with season_file.step("Rename"):
        season_file.save_season(replace(SMALL_SEASON, name="Other"))
        season_file.record_told((), FILES[:1])
    season_file.undo()
    assert season_file.written_files == set(FILES)
    assert season_file.sent_from == SentFrom("two", "/b")


def test_that_the_area_of_a_route_is_kept_and_undone(season_file: SeasonFile) -> None:
    for area in ("Wyke Side", "Nord-Ost <&> 北", ""):
        with season_file.step("Area"):
            season_file.save_season(replace(SMALL_SEASON, routes=(replace(small_route("R1"), area=area),)))
        assert season_file.season().routes[0].area == area
    season_file.undo()
    assert season_file.season().routes[0].area == "Nord-Ost <&> 北"


@pytest.mark.parametrize(
    "damage",
    [
        "UPDATE cancelled_visit SET reason = 'boredom'",
        "UPDATE cancelled_visit SET when_utc = '2027-06-03T21:05:00'",
        "DELETE FROM cancelled_since",
    ],
)
def test_that_what_was_made_impossible_from_outside_is_said(season_path: Path, damage: str) -> None:
    with SeasonFile.create(season_path, SMALL_SEASON) as file, file.step("Cancel"):
        file.save_cancelled([STORM])
    connection = apsw.Connection(str(season_path))
    connection.execute(damage)
    connection.close()
    with SeasonFile.open(season_path) as file, pytest.raises(SeasonFileError, match="damaged"):
        (file.cancelled(), file.cancelled_since)


def test_that_an_older_file_knows_no_area_and_no_cancelled_visit_and_says_since_when_it_does(season_path: Path) -> None:
    """As the release before left it: a route in a step of its own, which still undoes."""
    connection = apsw.Connection(str(season_path))
    migrate(connection, shipped_migrations()[:4])
    dates = [text for one in SMALL_SEASON.visits for text in (one.first.isoformat(), one.last.isoformat())]
    with connection:
        connection.execute(
            "INSERT INTO season (id, name, zone, first_date, last_date, protocol, coordinator_name,"
            " coordinator_telephone, coordinator_email, notes)"
            " VALUES (1, 'Before', 'Europe/London', ?, ?, ?, '', '', '', '')",
            (dates[0], dates[-1], json.dumps(protocol_to_plain(SMALL_PROTOCOL))),
        )
        connection.execute("INSERT INTO visit_range VALUES (1, ?, ?), (2, ?, ?)", dates)
    with connection:
        # The tables of that release: those that there were.
        recording = apsw.Session(connection, "main")
        recording.attach("route")
        connection.execute("INSERT INTO route VALUES ('R1', 0, 'Ling', 1, '')")
        kept = keep_step(connection, "Weather cancels R1 visit 1", recording.changeset())
        recording.close()
    connection.close()
    with SeasonFile.open(season_path) as file:
        assert file.season().routes[0].area == ""
        assert file.cancelled() == ()
        assert file.cancelled_since == kept.number
        file.undo()
        assert file.season().routes == ()
        file.redo()
        assert file.season().routes[0].name == "Ling"
