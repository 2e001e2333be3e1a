-- Readings of machines. Unlike the diary these rows change: readings of ten minutes are one row, later of an hour, and go in
-- the end; what a night came to stands in the diary.
CREATE TABLE sensor (
  name       TEXT PRIMARY KEY CHECK (name <> ''),
  last_at    INTEGER,
  last_c     REAL,
  odd_at     INTEGER,
  odd_c      REAL,
  odd_count  INTEGER NOT NULL DEFAULT 0,
  refused_at INTEGER,
  refused_c  REAL,
  refused    INTEGER NOT NULL DEFAULT 0
) STRICT;

CREATE TABLE slot (
  sensor     TEXT NOT NULL REFERENCES sensor (name),
  begins     INTEGER NOT NULL,
  seconds    INTEGER NOT NULL CHECK (seconds > 0),
  last_at    INTEGER NOT NULL,
  count      INTEGER NOT NULL CHECK (count > 0),
  mean_c     REAL NOT NULL,
  least_c    REAL NOT NULL,
  greatest_c REAL NOT NULL,
  PRIMARY KEY (sensor, begins)
) STRICT, WITHOUT ROWID;

-- Files of loggers that were taken, so that none is read twice.
CREATE TABLE file (
  sha256   TEXT PRIMARY KEY CHECK (length(sha256) = 64),
  name     TEXT NOT NULL,
  taken_at INTEGER NOT NULL,
  fault    TEXT
) STRICT;
