-- Who may work at the office's pages, who is signed in, other programs' tokens, and what was done.
-- Times are seconds since 1970, UTC. Secrets are kept as SHA-256, passwords as Argon2id.

CREATE TABLE account (
    id        BLOB    NOT NULL PRIMARY KEY,
    name      TEXT    NOT NULL UNIQUE COLLATE NOCASE,
    role      TEXT    NOT NULL,
    password  TEXT    NOT NULL,
    active    INTEGER NOT NULL DEFAULT 1,
    made_at   INTEGER NOT NULL
) STRICT;

CREATE TABLE session (
    secret    BLOB    NOT NULL PRIMARY KEY,
    account   BLOB    NOT NULL REFERENCES account (id) ON DELETE CASCADE,
    csrf      TEXT    NOT NULL,
    made_at   INTEGER NOT NULL,
    used_at   INTEGER NOT NULL
) STRICT;
CREATE INDEX session_of_account ON session (account);

CREATE TABLE api_token (
    id         BLOB    NOT NULL PRIMARY KEY,
    secret     BLOB    NOT NULL UNIQUE,
    name       TEXT    NOT NULL,
    role       TEXT    NOT NULL,
    made_at    INTEGER NOT NULL,
    revoked_at INTEGER
) STRICT;

CREATE TABLE audit (
    id     INTEGER PRIMARY KEY AUTOINCREMENT,
    at     INTEGER NOT NULL,
    who    TEXT    NOT NULL,
    did    TEXT    NOT NULL,
    about  TEXT    NOT NULL
) STRICT;
