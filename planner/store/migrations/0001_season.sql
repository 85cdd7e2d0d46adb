-- Dates are ISO text, moments ISO text in UTC, and season.zone is the zone they are told in.
-- Every table has a declared key, which the recording of changes needs. Keys between tables are judged
-- when a transaction ends, so that rows may be written in any order. Nothing cascades: a change that the
-- program did not make itself could not be undone cleanly.

CREATE TABLE season (
    id INTEGER PRIMARY KEY CHECK (id = 1),
    name TEXT NOT NULL,
    zone TEXT NOT NULL,
    first_date TEXT NOT NULL,
    last_date TEXT NOT NULL,
    protocol TEXT NOT NULL,
    coordinator_name TEXT NOT NULL,
    coordinator_telephone TEXT NOT NULL,
    coordinator_email TEXT NOT NULL,
    roads_source TEXT,
    roads_hash TEXT,
    roads_attribution TEXT,
    notes TEXT NOT NULL
) STRICT;

CREATE TABLE visit_range (
    number INTEGER NOT NULL,
    first_date TEXT NOT NULL,
    last_date TEXT NOT NULL,
    PRIMARY KEY (number)
) STRICT, WITHOUT ROWID;

CREATE TABLE route (
    code TEXT NOT NULL,
    position INTEGER NOT NULL,
    name TEXT NOT NULL,
    people INTEGER NOT NULL,
    lead TEXT NOT NULL,
    PRIMARY KEY (code)
) STRICT, WITHOUT ROWID;

CREATE TABLE point (
    route TEXT NOT NULL REFERENCES route (code) DEFERRABLE INITIALLY DEFERRED,
    number INTEGER NOT NULL,
    position INTEGER NOT NULL,
    latitude REAL NOT NULL,
    longitude REAL NOT NULL,
    note TEXT NOT NULL,
    PRIMARY KEY (route, number)
) STRICT, WITHOUT ROWID;

CREATE TABLE route_need (
    route TEXT NOT NULL REFERENCES route (code) DEFERRABLE INITIALLY DEFERRED,
    need TEXT NOT NULL,
    PRIMARY KEY (route, need)
) STRICT, WITHOUT ROWID;

CREATE TABLE route_visit_range (
    route TEXT NOT NULL REFERENCES route (code) DEFERRABLE INITIALLY DEFERRED,
    position INTEGER NOT NULL,
    number INTEGER NOT NULL,
    first_date TEXT NOT NULL,
    last_date TEXT NOT NULL,
    PRIMARY KEY (route, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE volunteer (
    code TEXT NOT NULL,
    position INTEGER NOT NULL,
    name TEXT NOT NULL,
    latitude REAL NOT NULL,
    longitude REAL NOT NULL,
    telephone TEXT NOT NULL,
    email TEXT NOT NULL,
    drive_limit_minutes REAL NOT NULL,
    visits_limit INTEGER NOT NULL,
    vehicle TEXT NOT NULL,
    PRIMARY KEY (code)
) STRICT, WITHOUT ROWID;

CREATE TABLE training (
    volunteer TEXT NOT NULL REFERENCES volunteer (code) DEFERRABLE INITIALLY DEFERRED,
    training TEXT NOT NULL,
    PRIMARY KEY (volunteer, training)
) STRICT, WITHOUT ROWID;

-- The lines of a volunteer's dates in their order: a later one wins. weekdays: digits, 0 is Monday.
CREATE TABLE availability (
    volunteer TEXT NOT NULL REFERENCES volunteer (code) DEFERRABLE INITIALLY DEFERRED,
    line INTEGER NOT NULL,
    first_date TEXT NOT NULL,
    last_date TEXT NOT NULL,
    weekdays TEXT NOT NULL,
    daylight INTEGER NOT NULL,
    dusk INTEGER NOT NULL,
    dawn INTEGER NOT NULL,
    PRIMARY KEY (volunteer, line)
) STRICT, WITHOUT ROWID;

CREATE TABLE planned_visit (
    route TEXT NOT NULL REFERENCES route (code) DEFERRABLE INITIALLY DEFERRED,
    number INTEGER NOT NULL REFERENCES visit_range (number) DEFERRABLE INITIALLY DEFERRED,
    lead TEXT NOT NULL REFERENCES volunteer (code) DEFERRABLE INITIALLY DEFERRED,
    second TEXT REFERENCES volunteer (code) DEFERRABLE INITIALLY DEFERRED,
    date TEXT NOT NULL,
    light_window TEXT NOT NULL,
    reserve_date TEXT,
    setup_date TEXT,
    status TEXT NOT NULL,
    pinned INTEGER NOT NULL,
    PRIMARY KEY (route, number)
) STRICT, WITHOUT ROWID;

-- What was put on paper, for whom, and which step of the season it shows. Paper that is out stays out:
-- undoing a step leaves this table alone.
CREATE TABLE print_run (
    number INTEGER PRIMARY KEY,
    volunteer TEXT NOT NULL,
    revision INTEGER NOT NULL,
    when_utc TEXT NOT NULL,
    content_hash TEXT NOT NULL
) STRICT;

-- AUTOINCREMENT: a number is never given twice, even after undone steps are dropped, so that a number names
-- one state of the season for good.
CREATE TABLE step (
    number INTEGER PRIMARY KEY AUTOINCREMENT,
    label TEXT NOT NULL,
    when_utc TEXT NOT NULL,
    tables TEXT NOT NULL,
    changeset BLOB NOT NULL,
    undone INTEGER NOT NULL DEFAULT 0
) STRICT;
