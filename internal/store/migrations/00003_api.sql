-- +goose Up

-- What other programs show to work for someone; of each only its hash.
CREATE TABLE tokens (
    hash    TEXT NOT NULL PRIMARY KEY,
    id      TEXT NOT NULL UNIQUE,
    account TEXT NOT NULL REFERENCES accounts (id),
    name    TEXT NOT NULL,
    scopes  TEXT NOT NULL,
    made    TEXT NOT NULL,
    ends    TEXT NOT NULL,
    used    TEXT NOT NULL -- about when it was last shown, or empty
);
CREATE INDEX tokens_account ON tokens (account);

-- What was answered to a change that another program asked for under a key of its
-- own, so that asking again changes nothing and is answered the same. Written with
-- the change, or not at all.
CREATE TABLE answers (
    workshop TEXT   NOT NULL REFERENCES workshops (id),
    account  TEXT   NOT NULL,
    key      TEXT   NOT NULL,
    digest   TEXT   NOT NULL, -- of what was asked
    at       TEXT   NOT NULL,
    status   BIGINT NOT NULL,
    tag      TEXT   NOT NULL,
    body     TEXT   NOT NULL,
    PRIMARY KEY (workshop, account, key)
);
CREATE INDEX answers_at ON answers (workshop, at);

-- With what messages to an address are signed. The one before holds for a while.
CREATE TABLE secrets (
    workshop TEXT NOT NULL REFERENCES workshops (id),
    id       TEXT NOT NULL, -- of the record of the address
    secret   TEXT NOT NULL,
    former   TEXT NOT NULL,
    ends     TEXT NOT NULL, -- of the former
    PRIMARY KEY (workshop, id)
);

-- Messages to other programs: written with the change they tell of, sent after it,
-- those to one address one after the other.
CREATE TABLE messages (
    workshop TEXT   NOT NULL REFERENCES workshops (id),
    seq      BIGINT NOT NULL,
    hook     TEXT   NOT NULL, -- the record of the address
    event    TEXT   NOT NULL,
    made     TEXT   NOT NULL,
    state    TEXT   NOT NULL, -- waiting, sent, dead
    tries    BIGINT NOT NULL,
    next     TEXT   NOT NULL, -- not to be tried before
    tried    TEXT   NOT NULL, -- last, or empty
    status   BIGINT NOT NULL, -- what the other answered last; 0: nothing
    note     TEXT   NOT NULL, -- what went wrong last
    body     TEXT   NOT NULL,
    PRIMARY KEY (workshop, seq)
);
CREATE INDEX messages_hook ON messages (workshop, hook, seq);
CREATE INDEX messages_state ON messages (workshop, state, seq);
