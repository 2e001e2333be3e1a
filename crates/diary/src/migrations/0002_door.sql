-- Who may come in from the network. Neither passwords nor visits are part of what is exported.

-- The password, as an argon2id hash in the usual text form; one row at most.
CREATE TABLE password (
    one  INTEGER PRIMARY KEY CHECK (one = 1),
    hash TEXT NOT NULL CHECK (hash LIKE '$argon2id$%')
) STRICT;

-- Visits by the SHA-256 of their random token, in hexadecimal; moments in seconds since 1970, UTC.
CREATE TABLE visit (
    token_sha256 TEXT PRIMARY KEY CHECK (length(token_sha256) = 64),
    begun        INTEGER NOT NULL,
    until        INTEGER NOT NULL CHECK (until > begun)
) STRICT, WITHOUT ROWID;
