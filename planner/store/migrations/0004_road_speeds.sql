-- What the coordinator knows better than the table of speeds: km/h by highway class, and a factor for all roads.

ALTER TABLE season ADD COLUMN road_speed_factor REAL NOT NULL DEFAULT 1.0;

CREATE TABLE road_speed (
    kind TEXT NOT NULL,
    kmh REAL NOT NULL,
    PRIMARY KEY (kind)
) STRICT, WITHOUT ROWID;
