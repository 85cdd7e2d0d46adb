from __future__ import annotations

from pathlib import Path

import apsw
import pytest

from planner.domain.errors import SeasonFileError
from planner.store import SeasonFile
from planner.store.migrating import APPLICATION_ID, Migration, migrate, schema_version, shipped_migrations
from planner.store.opening import bring_up_to_date
from planner.store.tables import RECORDED_TABLES

NEXT = shipped_migrations()[-1].number + 1
A_COLUMN_MORE = Migration(NEXT, "ALTER TABLE route ADD COLUMN colour TEXT NOT NULL DEFAULT 'grey'")
A_FAILING_ONE = Migration(NEXT + 1, "ALTER TABLE route ADD COLUMN shade TEXT; SELECT no_such_thing FROM route")


def tables(connection: apsw.Connection) -> set[str]:
    rows = connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite%'")
    return {str(name) for (name,) in rows}


def test_that_migrations_are_numbered_from_one_without_a_hole() -> None:
    assert [migration.number for migration in shipped_migrations()] == list(range(1, len(shipped_migrations()) + 1))


def test_that_a_bare_database_becomes_a_season_file() -> None:
    connection = apsw.Connection(":memory:")
    migrate(connection, shipped_migrations())
    assert schema_version(connection) == shipped_migrations()[-1].number
    assert connection.pragma("application_id") == APPLICATION_ID
    kept_apart = {"print_run", "season_identity", "step", "told", "written_file", "sent_from", "cancelled_since"}
    assert tables(connection) == {table.name for table in RECORDED_TABLES} | kept_apart


def test_that_every_table_has_a_declared_key_and_the_columns_the_program_writes() -> None:
    connection = apsw.Connection(":memory:")
    migrate(connection, shipped_migrations())
    for table in RECORDED_TABLES:
        info = f"FROM pragma_table_info('{table.name}')"
        columns = connection.execute(f"SELECT name {info}").fetchall()
        assert {name for (name,) in columns} == set(table.columns)
        keys = connection.execute(f"SELECT name {info} WHERE pk ORDER BY pk").fetchall()
        assert [name for (name,) in keys] == list(table.columns[: table.keys])


def test_that_migrating_again_does_nothing() -> None:
    connection = apsw.Connection(":memory:")
    migrate(connection, shipped_migrations())
    changes = connection.total_changes()
    migrate(connection, shipped_migrations())
    assert connection.total_changes() == changes


def test_that_a_failing_migration_leaves_the_file_as_it_was() -> None:
    connection = apsw.Connection(":memory:")
    migrate(connection, shipped_migrations())
    with pytest.raises(apsw.SQLError, match="no_such_thing"):
        migrate(connection, [*shipped_migrations(), A_COLUMN_MORE, A_FAILING_ONE])
    assert schema_version(connection) == NEXT - 1
    columns = connection.execute("SELECT name FROM pragma_table_info('route')").fetchall()
    assert ("colour",) not in columns


def test_that_steps_of_an_older_file_still_undo_and_redo_after_a_column_was_added(staffed_file: SeasonFile) -> None:
    migrate(staffed_file._connection, [*shipped_migrations(), A_COLUMN_MORE])
    staffed_file.undo()
    assert staffed_file.season().routes == ()
    staffed_file.redo()
    assert len(staffed_file.season().routes) == 2


def test_that_an_older_file_is_migrated_when_it_is_opened(season_path: Path) -> None:
    connection = apsw.Connection(str(season_path))
    connection.pragma("application_id", APPLICATION_ID)
    connection.close()
    with SeasonFile.open(season_path) as file:
        assert file.history() == ()
        assert schema_version(file._connection) == shipped_migrations()[-1].number
    assert season_path.with_name("moths.dimpsy.backup-1").exists(), "the copy is made before migrating"


def test_that_an_older_file_that_may_not_be_written_is_refused(season_file: SeasonFile, season_path: Path) -> None:
    newer = [*shipped_migrations(), A_COLUMN_MORE]
    with pytest.raises(SeasonFileError, match=r"older Dimpsy .*Because\."):
        bring_up_to_date(season_file._connection, season_path, newer, "Because.")


def test_when_migrating_fails_on_opening_it_is_said_in_words(season_file: SeasonFile, season_path: Path) -> None:
    with pytest.raises(SeasonFileError, match="cannot be brought up to date"):
        bring_up_to_date(season_file._connection, season_path, [*shipped_migrations(), A_FAILING_ONE], "")
