-- What comes back from the field. Percentages, counts, photos and cells that could not be read are JSON: they are
-- always read and written with their sheet or record. Rows may outlive the route or person they name: what was
-- written down stays true.

ALTER TABLE season ADD COLUMN drive_factor_source TEXT NOT NULL DEFAULT '';

-- The part of the survey that a route is counted to; empty: none is said.
ALTER TABLE route ADD COLUMN area TEXT NOT NULL DEFAULT '';

CREATE TABLE habitat_sheet (
    route TEXT NOT NULL,
    visit INTEGER NOT NULL,
    point INTEGER NOT NULL,
    observer TEXT NOT NULL,
    date TEXT,
    covers TEXT NOT NULL,
    grazed_percent INTEGER,
    livestock INTEGER,
    note TEXT NOT NULL,
    species TEXT NOT NULL,
    photos TEXT NOT NULL,
    unread TEXT NOT NULL,
    state TEXT NOT NULL,
    confirmed TEXT,
    PRIMARY KEY (route, visit, point, observer)
) STRICT, WITHOUT ROWID;

CREATE TABLE visit_record (
    route TEXT NOT NULL,
    visit INTEGER NOT NULL,
    date TEXT NOT NULL,
    team TEXT NOT NULL,
    counts TEXT NOT NULL,
    weather_first TEXT NOT NULL,
    weather_last TEXT NOT NULL,
    stopped TEXT,
    left_utc TEXT,
    home_utc TEXT,
    distance_km REAL,
    second_km REAL,
    note TEXT NOT NULL,
    state TEXT NOT NULL,
    stood TEXT,
    let_stand TEXT NOT NULL,
    PRIMARY KEY (route, visit, date)
) STRICT, WITHOUT ROWID;

-- Dates given up before anybody went out. setup 1: that of a set-up on a day of its own.
CREATE TABLE cancelled_visit (
    route TEXT NOT NULL,
    visit INTEGER NOT NULL,
    date TEXT NOT NULL,
    setup INTEGER NOT NULL,
    reason TEXT NOT NULL,
    when_utc TEXT NOT NULL,
    PRIMARY KEY (route, visit, date, setup)
) STRICT, WITHOUT ROWID;

-- The step since which cancelled visits are kept: what an older release did up to it is not known. 0: all are.
CREATE TABLE cancelled_since (id INTEGER PRIMARY KEY CHECK (id = 1), step INTEGER NOT NULL) STRICT;

INSERT INTO cancelled_since (id, step) SELECT 1, coalesce(max(number), 0) FROM step;

-- point 0: every point of the route.
CREATE TABLE absent_class (
    route TEXT NOT NULL,
    class_code TEXT NOT NULL,
    point INTEGER NOT NULL,
    PRIMARY KEY (route, class_code, point)
) STRICT, WITHOUT ROWID;

-- scope: season, route or class; name: empty, a route's code, or a highway class; most: the end of the factor's range.
CREATE TABLE drive_factor (
    scope TEXT NOT NULL,
    name TEXT NOT NULL,
    factor REAL NOT NULL,
    legs INTEGER NOT NULL,
    most REAL,
    PRIMARY KEY (scope, name)
) STRICT, WITHOUT ROWID;

-- What people were last told of an outing. What went out stays out: undoing a step leaves this table alone.
CREATE TABLE told (
    volunteer TEXT NOT NULL,
    route TEXT NOT NULL,
    visit INTEGER NOT NULL,
    kind TEXT NOT NULL,
    sequence INTEGER NOT NULL,
    content TEXT NOT NULL,
    cancelled INTEGER NOT NULL,
    when_utc TEXT NOT NULL,
    before TEXT NOT NULL,
    PRIMARY KEY (volunteer, route, visit, kind)
) STRICT, WITHOUT ROWID;

-- Files that went out, by name and SHA-256, so that the program deletes no other; and from where the last ones did, so
-- that two copies of a season are noticed. Neither is undone.
CREATE TABLE written_file (
    name TEXT NOT NULL,
    content_hash TEXT NOT NULL,
    PRIMARY KEY (name, content_hash)
) STRICT, WITHOUT ROWID;

CREATE TABLE sent_from (
    id INTEGER PRIMARY KEY CHECK (id = 1),
    machine TEXT NOT NULL,
    path TEXT NOT NULL
) STRICT;

-- Names the season for good in what goes out, whatever it is called later: drawn once, never written again.
CREATE TABLE season_identity (id INTEGER PRIMARY KEY CHECK (id = 1), code TEXT NOT NULL) STRICT;

INSERT INTO season_identity (id, code) VALUES (1, lower(hex(randomblob(16))));
