-- How this device proves to its crew mates that it is itself, and whom it takes at their word.

-- The key is the 32 bytes of an Ed25519 private key; the certificate is kept as it was first made, since crew mates
-- know it by the SHA-256 of its bytes.
CREATE TABLE link_identity (
    only        INTEGER NOT NULL PRIMARY KEY CHECK (only = 1),
    key         BLOB    NOT NULL CHECK (length(key) = 32),
    certificate BLOB    NOT NULL
) STRICT;

-- Tablets that were paired with this one. One certificate stands for one device, and one device for one certificate.
CREATE TABLE pin (
    device      BLOB NOT NULL PRIMARY KEY CHECK (length(device) = 16),
    fingerprint BLOB NOT NULL UNIQUE CHECK (length(fingerprint) = 32),
    name        TEXT NOT NULL,
    paired_at   TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- Where a paired tablet was reached, the newest first by `used`.
CREATE TABLE pin_address (
    device  BLOB    NOT NULL REFERENCES pin (device) ON DELETE CASCADE,
    address TEXT    NOT NULL,
    used    INTEGER NOT NULL,
    PRIMARY KEY (device, address)
) STRICT, WITHOUT ROWID;
