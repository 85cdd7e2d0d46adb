-- What is known of an evening's conditions, for every route (route is empty) or for one; a figure with its unit,
-- a word, or both. And who has left, arrived, or is safe home. Rows may outlive the route or person they name:
-- what was seen and said stays true.

CREATE TABLE condition (
    date TEXT NOT NULL,
    route TEXT NOT NULL,
    quantity TEXT NOT NULL,
    value REAL,
    unit TEXT,
    seen TEXT,
    PRIMARY KEY (date, route, quantity)
) STRICT, WITHOUT ROWID;

CREATE TABLE check_in (
    date TEXT NOT NULL,
    route TEXT NOT NULL,
    volunteer TEXT NOT NULL,
    stage TEXT NOT NULL,
    when_utc TEXT NOT NULL,
    PRIMARY KEY (date, route, volunteer, stage)
) STRICT, WITHOUT ROWID;
