"""The tables of the season file that hold the season and the plan, and writing only what differs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import apsw

Value = str | int | float | None
Row = tuple[Value, ...]
Rows = Mapping[str, Iterable[Row]]
"""Rows by table name, each in the order of that table's columns."""


@dataclass(frozen=True, slots=True)
class Table:
    """One table: its columns in order, the key columns first."""

    name: str
    keys: int
    columns: tuple[str, ...]

    @property
    def _select(self) -> str:
        return f"SELECT {', '.join(self.columns)} FROM {self.name}"

    @property
    def _where(self) -> str:
        return "WHERE " + " AND ".join(f"{column} = ?" for column in self.columns[: self.keys])

    def read(self, connection: apsw.Connection, order: str) -> list[Row]:
        """Return all rows, ordered by those columns."""
        return list(connection.execute(f"{self._select} ORDER BY {order}"))

    def write(self, connection: apsw.Connection, rows: Iterable[Row]) -> None:
        """Make the table hold exactly these rows; those that stay as they are, are not touched."""
        wanted = {row[: self.keys]: row for row in rows}
        present = {row[: self.keys]: row for row in connection.execute(self._select)}
        for key in present.keys() - wanted.keys():
            connection.execute(f"DELETE FROM {self.name} {self._where}", key)
        for key, row in wanted.items():
            if key not in present:
                self._insert(connection, row)
            elif row != present[key]:
                self._update(connection, row)

    def _insert(self, connection: apsw.Connection, row: Row) -> None:
        marks = ", ".join("?" * len(self.columns))
        connection.execute(f"INSERT INTO {self.name} ({', '.join(self.columns)}) VALUES ({marks})", row)

    def _update(self, connection: apsw.Connection, row: Row) -> None:
        settings = ", ".join(f"{column} = ?" for column in self.columns[self.keys :])
        connection.execute(f"UPDATE {self.name} SET {settings} {self._where}", (*row[self.keys :], *row[: self.keys]))


def _table(name: str, keys: str, others: str = "") -> Table:
    key_columns = tuple(keys.split())
    return Table(name, len(key_columns), key_columns + tuple(others.split()))


SEASON_TABLES = (
    _table(
        "season",
        "id",
        "name zone first_date last_date protocol coordinator_name coordinator_telephone coordinator_email"
        " roads_source roads_hash roads_attribution notes weather_persistence road_speed_factor"
        " drive_factor_source",
    ),
    _table("lost_evening", "half_month", "chance"),
    _table("road_speed", "kind", "kmh"),
    _table("absent_class", "route class_code point"),
    _table("drive_factor", "scope name", "factor legs most"),
    _table("visit_range", "number", "first_date last_date"),
    _table("route", "code", "position name people lead area"),
    _table("point", "route number", "position latitude longitude note"),
    _table("route_need", "route need"),
    _table("route_visit_range", "route position", "number first_date last_date"),
    _table(
        "volunteer",
        "code",
        "position name latitude longitude telephone email drive_limit_minutes visits_limit vehicle",
    ),
    _table("training", "volunteer training"),
    _table("availability", "volunteer line", "first_date last_date weekdays daylight dusk dawn"),
)
PLAN_TABLE = _table(
    "planned_visit", "route number", "lead second date light_window reserve_date setup_date status pinned"
)
CONDITION_TABLE = _table("condition", "date route quantity", "value unit seen")
CHECK_IN_TABLE = _table("check_in", "date route volunteer stage", "when_utc")
HABITAT_SHEET_TABLE = _table(
    "habitat_sheet",
    "route visit point observer",
    "date covers grazed_percent livestock note species photos unread state confirmed",
)
VISIT_RECORD_TABLE = _table(
    "visit_record",
    "route visit date",
    "team counts weather_first weather_last stopped left_utc home_utc distance_km second_km note state stood let_stand",
)
CANCELLED_VISIT_TABLE = _table("cancelled_visit", "route visit date setup", "reason when_utc")
TOLD_TABLE = _table("told", "volunteer route visit kind", "sequence content cancelled when_utc before")
RECORDED_TABLES = (
    *SEASON_TABLES,
    PLAN_TABLE,
    CONDITION_TABLE,
    CHECK_IN_TABLE,
    HABITAT_SHEET_TABLE,
    VISIT_RECORD_TABLE,
    CANCELLED_VISIT_TABLE,
)
"""The tables whose changes are kept, so that they can be undone."""
