-- +goose Up

-- A workshop is what everything belongs to.
CREATE TABLE workshops (
    id   TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    made TEXT NOT NULL
);

-- Described things (customers, orders, cloths, members, pieces ...): a JSON
-- body, and beside it what lists and searches need of it.
CREATE TABLE records (
    workshop TEXT   NOT NULL REFERENCES workshops (id),
    kind     TEXT   NOT NULL,
    id       TEXT   NOT NULL,
    revision BIGINT NOT NULL,
    parent   TEXT   NOT NULL, -- the record it is part of, or empty
    state    TEXT   NOT NULL, -- what lists filter by, or empty
    sort     TEXT   NOT NULL, -- the order of lists
    words    TEXT   NOT NULL, -- what a search finds it by, folded
    body     TEXT   NOT NULL,
    PRIMARY KEY (workshop, kind, id)
);
CREATE INDEX records_sort ON records (workshop, kind, sort, id);
CREATE INDEX records_state ON records (workshop, kind, state, sort, id);
CREATE INDEX records_parent ON records (workshop, kind, parent, sort, id);

-- Who did what when. A row is never changed; body is the record before the act,
-- empty if there was none.
CREATE TABLE history (
    workshop TEXT   NOT NULL REFERENCES workshops (id),
    seq      BIGINT NOT NULL,
    at       TEXT   NOT NULL,
    who      TEXT   NOT NULL,
    act      TEXT   NOT NULL,
    kind     TEXT   NOT NULL,
    id       TEXT   NOT NULL,
    revision BIGINT NOT NULL, -- after the act; 0 if it was removed
    body     TEXT   NOT NULL,
    PRIMARY KEY (workshop, seq)
);
CREATE INDEX history_record ON history (workshop, kind, id, seq);

-- Material that went from one place to another. A row is never changed; a
-- mistake is moved back. Milligrams are whole, so sums are exact.
CREATE TABLE moves (
    workshop   TEXT   NOT NULL REFERENCES workshops (id),
    seq        BIGINT NOT NULL,
    at         TEXT   NOT NULL,
    who        TEXT   NOT NULL,
    act        TEXT   NOT NULL,
    lot        TEXT   NOT NULL,
    milligrams BIGINT NOT NULL CHECK (milligrams > 0),
    from_place TEXT   NOT NULL,
    to_place   TEXT   NOT NULL CHECK (to_place <> from_place),
    PRIMARY KEY (workshop, seq)
);
CREATE INDEX moves_lot ON moves (workshop, lot, seq);
CREATE INDEX moves_from ON moves (workshop, from_place, lot);
CREATE INDEX moves_to ON moves (workshop, to_place, lot);

-- What lies where now: the sum of the moves, kept beside them so that a list
-- need not add up a season. Check compares the two.
CREATE TABLE stock (
    workshop   TEXT   NOT NULL REFERENCES workshops (id),
    place      TEXT   NOT NULL,
    lot        TEXT   NOT NULL,
    milligrams BIGINT NOT NULL,
    PRIMARY KEY (workshop, place, lot)
);
CREATE INDEX stock_lot ON stock (workshop, lot);

-- The last number given out, by name: orders, pieces, history, moves.
CREATE TABLE counters (
    workshop TEXT   NOT NULL REFERENCES workshops (id),
    name     TEXT   NOT NULL,
    last     BIGINT NOT NULL,
    PRIMARY KEY (workshop, name)
);

-- Pictures and other files.
CREATE TABLE files (
    workshop TEXT NOT NULL REFERENCES workshops (id),
    id       TEXT NOT NULL,
    type     TEXT NOT NULL,
    body     BYTEA NOT NULL,
    PRIMARY KEY (workshop, id)
);

-- Who may sign in. This table and the next are read before it is known which
-- workshop someone belongs to.
CREATE TABLE accounts (
    id       TEXT PRIMARY KEY,
    workshop TEXT NOT NULL REFERENCES workshops (id),
    login    TEXT NOT NULL UNIQUE, -- folded
    name     TEXT NOT NULL,
    role     TEXT NOT NULL,
    member   TEXT NOT NULL, -- the member's record, or empty
    lang     TEXT NOT NULL,
    secret   TEXT NOT NULL, -- argon2id, or empty: only by card
    closed   BIGINT NOT NULL DEFAULT 0
);
CREATE INDEX accounts_workshop ON accounts (workshop, name);

-- Keys are what a browser, a card or a link shows instead of a passphrase. Only
-- their SHA-256 is kept.
CREATE TABLE keys (
    hash    TEXT PRIMARY KEY,
    account TEXT NOT NULL REFERENCES accounts (id),
    use     TEXT NOT NULL, -- session, card
    made    TEXT NOT NULL,
    ends    TEXT NOT NULL
);
CREATE INDEX keys_account ON keys (account, use);
