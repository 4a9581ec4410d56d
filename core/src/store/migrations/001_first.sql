-- The first schema. Ids and hashes are blobs: 16 bytes a UUID or an actor, 32 a SHA-256.

CREATE TABLE device (
    only INTEGER PRIMARY KEY CHECK (only = 1),
    id   BLOB NOT NULL CHECK (length(id) = 16)
) STRICT;

-- The writers' ids that this device has used, one a start of the program: none is ever used again.
CREATE TABLE own_actor (
    actor BLOB NOT NULL PRIMARY KEY CHECK (length(actor) = 16),
    boot  BLOB NOT NULL CHECK (length(boot) = 16)
) STRICT, WITHOUT ROWID;

-- `gaps` is 1 while some change of the job waits for an ancestor or is damaged. At 0 the newest change of each writer
-- says how far that writer has come, and nobody needs to read the whole job to know.
CREATE TABLE job (
    id   BLOB    NOT NULL PRIMARY KEY CHECK (length(id) = 16),
    gaps INTEGER NOT NULL DEFAULT 0 CHECK (gaps IN (0, 1))
) STRICT, WITHOUT ROWID;

-- The journal's changes, each the exact bytes of one. The hash is the key; actor and number stand before it so
-- that a job lies together on the disk, and an append goes to the end of its writer's run and not to a random
-- page.
CREATE TABLE change (
    job   BLOB    NOT NULL REFERENCES job (id),
    actor BLOB    NOT NULL CHECK (length(actor) = 16),
    seq   INTEGER NOT NULL CHECK (seq > 0),
    hash  BLOB    NOT NULL CHECK (length(hash) = 32),
    bytes BLOB    NOT NULL,
    PRIMARY KEY (job, actor, seq, hash)
) STRICT, WITHOUT ROWID;

-- Rows of `change` that were found not to be what their hash says, word for word as they were found. The row
-- stays in `change` until the same change arrives whole from a peer; what is here stays for good.
CREATE TABLE bad_change (
    job    BLOB    NOT NULL,
    actor  BLOB    NOT NULL,
    seq    INTEGER NOT NULL,
    hash   BLOB    NOT NULL,
    bytes  BLOB    NOT NULL,
    reason TEXT    NOT NULL,
    PRIMARY KEY (job, actor, seq, hash)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER change_is_never_deleted BEFORE DELETE ON change
BEGIN
    SELECT RAISE(ABORT, 'a change is never deleted');
END;

CREATE TRIGGER change_is_never_rewritten BEFORE UPDATE ON change
WHEN NOT EXISTS (
    SELECT 1 FROM bad_change b
    WHERE b.job = old.job AND b.actor = old.actor AND b.seq = old.seq AND b.hash = old.hash
)
BEGIN
    SELECT RAISE(ABORT, 'a change is never rewritten');
END;

CREATE TRIGGER bad_change_is_never_deleted BEFORE DELETE ON bad_change
BEGIN
    SELECT RAISE(ABORT, 'what was found damaged is kept');
END;

CREATE TABLE peer (
    device     BLOB NOT NULL PRIMARY KEY CHECK (length(device) = 16),
    name       TEXT NOT NULL,
    person     TEXT,
    office     INTEGER NOT NULL DEFAULT 0 CHECK (office IN (0, 1)),
    last_heard TEXT
) STRICT, WITHOUT ROWID;

CREATE TABLE peer_address (
    device  BLOB NOT NULL REFERENCES peer (device),
    address TEXT NOT NULL,
    PRIMARY KEY (device, address)
) STRICT, WITHOUT ROWID;

-- What each peer last said that it has committed. Replaced as a whole by the next thing it says, so it may shrink.
-- The job is not a reference: a peer may hold a job of which nothing has arrived here yet.
CREATE TABLE custody (
    job   BLOB    NOT NULL CHECK (length(job) = 16),
    peer  BLOB    NOT NULL REFERENCES peer (device),
    actor BLOB    NOT NULL CHECK (length(actor) = 16),
    seq   INTEGER NOT NULL CHECK (seq > 0),
    hash  BLOB    NOT NULL CHECK (length(hash) = 32),
    PRIMARY KEY (job, peer, actor)
) STRICT, WITHOUT ROWID;

CREATE TABLE blob (
    sha256 BLOB NOT NULL PRIMARY KEY CHECK (length(sha256) = 32),
    bytes  BLOB NOT NULL
) STRICT;

-- Records as they were signed, byte for byte. One job can have two of one revision: signed apart.
CREATE TABLE signed_record (
    job      BLOB    NOT NULL REFERENCES job (id),
    revision INTEGER NOT NULL CHECK (revision > 0),
    digest   BLOB    NOT NULL CHECK (length(digest) = 32),
    bytes    BLOB    NOT NULL,
    PRIMARY KEY (job, revision, digest)
) STRICT;

CREATE INDEX signed_record_by_digest ON signed_record (digest);

CREATE TRIGGER signed_record_is_never_deleted BEFORE DELETE ON signed_record
BEGIN
    SELECT RAISE(ABORT, 'a signed record is never deleted');
END;

CREATE TRIGGER signed_record_is_never_rewritten BEFORE UPDATE ON signed_record
BEGIN
    SELECT RAISE(ABORT, 'a signed record is never rewritten');
END;

CREATE TABLE setting (
    key   TEXT NOT NULL PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;
