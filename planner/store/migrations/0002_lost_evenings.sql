-- What the coordinator expects of the weather. season.weather_persistence is NULL where nothing is said; else
-- lost_evening holds every half-month: 1 is 1 to 15 January, 2 the rest of January, and so on to 24.

ALTER TABLE season ADD COLUMN weather_persistence REAL;

CREATE TABLE lost_evening (
    half_month INTEGER NOT NULL CHECK (half_month BETWEEN 1 AND 24),
    chance REAL NOT NULL,
    PRIMARY KEY (half_month)
) STRICT, WITHOUT ROWID;
