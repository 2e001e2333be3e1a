-- What happened: one row an entry, its particulars in the table of its kind. Rows are only ever added.
CREATE TABLE entry (
  number  INTEGER PRIMARY KEY,
  id      TEXT NOT NULL UNIQUE CHECK (length(id) = 32 AND id NOT GLOB '*[^0-9a-f]*'),
  kind    TEXT NOT NULL CHECK (kind IN ('reading', 'cover', 'sighting', 'sheet', 'done', 'undo')),
  at      INTEGER NOT NULL CHECK (at BETWEEN -2208988800 AND 7258118400),
  written INTEGER NOT NULL CHECK (written BETWEEN -2208988800 AND 7258118400),
  note    TEXT CHECK (note <> '')
) STRICT;

CREATE TABLE reading (
  entry     INTEGER PRIMARY KEY REFERENCES entry (number),
  extreme   TEXT NOT NULL CHECK (extreme IN ('minimum', 'maximum')),
  celsius   REAL NOT NULL CHECK (celsius BETWEEN -90 AND 60),
  place     TEXT NOT NULL CHECK (place IN ('open', 'under')),
  bed       TEXT CHECK (bed <> ''),
  sheet     TEXT CHECK (sheet <> ''),
  CHECK (place = 'open' AND sheet IS NULL OR place = 'under' AND bed IS NOT NULL)
) STRICT;

CREATE TABLE cover (
  entry INTEGER PRIMARY KEY REFERENCES entry (number),
  act   TEXT NOT NULL CHECK (act IN ('covered', 'opened', 'half-open', 'vented')),
  bed   TEXT NOT NULL CHECK (bed <> ''),
  sheet TEXT CHECK (sheet <> '')
) STRICT;

CREATE TABLE sighting (
  entry INTEGER PRIMARY KEY REFERENCES entry (number),
  saw   TEXT NOT NULL CHECK (saw IN ('loss', 'snow-brushed', 'voles')),
  bed   TEXT NOT NULL CHECK (bed <> ''),
  share REAL CHECK (share BETWEEN 0 AND 1),
  CHECK ((saw = 'loss') = (share IS NOT NULL))
) STRICT;

CREATE TABLE sheet_state (
  entry INTEGER PRIMARY KEY REFERENCES entry (number),
  state TEXT NOT NULL CHECK (state IN ('damaged', 'retired')),
  sheet TEXT NOT NULL CHECK (sheet <> '')
) STRICT;

CREATE TABLE undo (
  entry   INTEGER PRIMARY KEY REFERENCES entry (number),
  strikes TEXT NOT NULL REFERENCES entry (id)
) STRICT;
CREATE INDEX undo_strikes ON undo (strikes);

-- Forecasts as they were read: the bytes themselves, compressed.
CREATE TABLE forecast (
  number  INTEGER PRIMARY KEY,
  sha256  TEXT NOT NULL UNIQUE CHECK (length(sha256) = 64 AND sha256 NOT GLOB '*[^0-9a-f]*'),
  source  TEXT NOT NULL,
  issued  INTEGER,
  read_at INTEGER NOT NULL,
  gz      BLOB NOT NULL
) STRICT;

-- Plans as they were made, with what they said.
CREATE TABLE plan (
  number           INTEGER PRIMARY KEY,
  id               TEXT NOT NULL UNIQUE CHECK (length(id) = 32 AND id NOT GLOB '*[^0-9a-f]*'),
  asked_at         INTEGER NOT NULL,
  written          INTEGER NOT NULL,
  night            TEXT NOT NULL CHECK (night GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
  dark             INTEGER NOT NULL,
  sunrise          INTEGER NOT NULL,
  program          TEXT NOT NULL,
  model            INTEGER NOT NULL CHECK (model > 0),
  forecast         TEXT REFERENCES forecast (sha256),
  forecast_low_c   REAL NOT NULL,
  garden_low_p10_c REAL NOT NULL,
  garden_low_p50_c REAL NOT NULL,
  garden_low_p90_c REAL NOT NULL,
  wind_m_s         REAL,
  cloud            REAL CHECK (cloud BETWEEN 0 AND 1),
  clear_calm       INTEGER NOT NULL CHECK (clear_calm IN (0, 1)),
  tasks            INTEGER NOT NULL CHECK (tasks >= 0),
  report           TEXT NOT NULL CHECK (json_valid(report))
) STRICT;
CREATE INDEX plan_night ON plan (night, asked_at);

-- What a plan said of each way to spend the night on each bed: way 0 is left as it lies, others are
-- covers put on; no cover is open.
CREATE TABLE said (
  plan           TEXT NOT NULL REFERENCES plan (id),
  bed            TEXT NOT NULL CHECK (bed <> ''),
  way            INTEGER NOT NULL CHECK (way >= 0),
  cover          TEXT CHECK (cover <> ''),
  layers         INTEGER NOT NULL,
  pieces         INTEGER NOT NULL,
  chosen         INTEGER NOT NULL CHECK (chosen IN (0, 1)),
  limit_c        REAL,
  chance_of_harm REAL NOT NULL CHECK (chance_of_harm BETWEEN 0 AND 1),
  air_p10_c      REAL NOT NULL,
  air_p50_c      REAL NOT NULL,
  air_p90_c      REAL NOT NULL,
  leaf_p10_c     REAL NOT NULL,
  leaf_p50_c     REAL NOT NULL,
  leaf_p90_c     REAL NOT NULL,
  PRIMARY KEY (plan, bed, way)
) STRICT, WITHOUT ROWID;

-- Tasks of a plan ticked off, by their place in the order of work, from 1.
CREATE TABLE done (
  entry INTEGER PRIMARY KEY REFERENCES entry (number),
  plan  TEXT NOT NULL REFERENCES plan (id),
  task  INTEGER NOT NULL CHECK (task >= 1)
) STRICT;

CREATE TRIGGER entry_kept BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER entry_same BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER reading_kept BEFORE DELETE ON reading BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER reading_same BEFORE UPDATE ON reading BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER cover_kept BEFORE DELETE ON cover BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER cover_same BEFORE UPDATE ON cover BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER sighting_kept BEFORE DELETE ON sighting BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER sighting_same BEFORE UPDATE ON sighting BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER sheet_state_kept BEFORE DELETE ON sheet_state BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER sheet_state_same BEFORE UPDATE ON sheet_state BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER undo_kept BEFORE DELETE ON undo BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER undo_same BEFORE UPDATE ON undo BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER forecast_kept BEFORE DELETE ON forecast BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER forecast_same BEFORE UPDATE ON forecast BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER plan_kept BEFORE DELETE ON plan BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER plan_same BEFORE UPDATE ON plan BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER said_kept BEFORE DELETE ON said BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER said_same BEFORE UPDATE ON said BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER done_kept BEFORE DELETE ON done BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER done_same BEFORE UPDATE ON done BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
