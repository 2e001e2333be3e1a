-- What people were told, whom it reached, who answered. Rows are only ever added.
CREATE TABLE message (
  number INTEGER PRIMARY KEY,
  id     TEXT NOT NULL UNIQUE CHECK (length(id) = 32 AND id NOT GLOB '*[^0-9a-f]*'),
  kind   TEXT NOT NULL CHECK (kind IN
    ('evening', 'change', 'all clear', 'night', 'morning', 'no plan', 'blind', 'sees again', 'upkeep')),
  night  TEXT NOT NULL CHECK (length(night) = 10),
  urgent INTEGER NOT NULL CHECK (urgent IN (0, 1)),
  at     INTEGER NOT NULL CHECK (at BETWEEN -2208988800 AND 7258118400),
  until  INTEGER NOT NULL CHECK (until BETWEEN -2208988800 AND 7258118400),
  about  TEXT NOT NULL,
  text   TEXT NOT NULL CHECK (text <> '')
) STRICT;
CREATE INDEX message_at ON message (at);

-- Each try to hand a message to somebody.
CREATE TABLE delivery (
  number    INTEGER PRIMARY KEY,
  message   TEXT NOT NULL REFERENCES message (id),
  recipient TEXT NOT NULL CHECK (recipient <> ''),
  at        INTEGER NOT NULL CHECK (at BETWEEN -2208988800 AND 7258118400),
  refused   TEXT CHECK (refused <> '')
) STRICT;
CREATE INDEX delivery_message ON delivery (message);

-- Who said that they have seen it.
CREATE TABLE seen (
  message TEXT PRIMARY KEY REFERENCES message (id),
  at      INTEGER NOT NULL CHECK (at BETWEEN -2208988800 AND 7258118400)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER message_kept BEFORE DELETE ON message BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER message_same BEFORE UPDATE ON message BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER delivery_kept BEFORE DELETE ON delivery BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER delivery_same BEFORE UPDATE ON delivery BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER seen_kept BEFORE DELETE ON seen BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER seen_same BEFORE UPDATE ON seen BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
