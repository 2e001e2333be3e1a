-- A thermometer may also be read for the air as it is, and the grower says from when on nights teach.

DROP TRIGGER reading_kept;
DROP TRIGGER reading_same;
ALTER TABLE reading RENAME TO reading_before;
CREATE TABLE reading (
  entry     INTEGER PRIMARY KEY REFERENCES entry (number),
  extreme   TEXT NOT NULL CHECK (extreme IN ('minimum', 'maximum', 'now')),
  celsius   REAL NOT NULL CHECK (celsius BETWEEN -90 AND 60),
  place     TEXT NOT NULL CHECK (place IN ('open', 'under')),
  bed       TEXT CHECK (bed <> ''),
  sheet     TEXT CHECK (sheet <> ''),
  CHECK (place = 'open' AND sheet IS NULL OR place = 'under' AND bed IS NOT NULL)
) STRICT;
INSERT INTO reading SELECT entry, extreme, celsius, place, bed, sheet FROM reading_before;
DROP TABLE reading_before;
CREATE TRIGGER reading_kept BEFORE DELETE ON reading BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER reading_same BEFORE UPDATE ON reading BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;

-- What readings under such covers had moved in what was said of the air, K; not known in older plans: nothing.
ALTER TABLE said ADD COLUMN taught_k REAL;

CREATE TABLE learning (
  number INTEGER PRIMARY KEY,
  at     INTEGER NOT NULL CHECK (at BETWEEN -2208988800 AND 7258118400),
  act    TEXT NOT NULL CHECK (act IN ('freeze', 'go on', 'forget'))
) STRICT;
CREATE TRIGGER learning_kept BEFORE DELETE ON learning BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER learning_same BEFORE UPDATE ON learning BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
