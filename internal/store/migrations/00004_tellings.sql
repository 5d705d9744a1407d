-- +goose Up

-- What a member's telephone told, by the key it made for it, so that what comes
-- again changes nothing and is answered the same. Written with what was told, or,
-- if that was refused, by itself.
CREATE TABLE tellings (
    workshop TEXT   NOT NULL REFERENCES workshops (id),
    account  TEXT   NOT NULL,
    key      TEXT   NOT NULL,
    device   TEXT   NOT NULL, -- the browser, by the name it gave itself; empty: a form
    n        BIGINT NOT NULL, -- the device counts what it tells; 0: a form
    digest   TEXT   NOT NULL, -- of what was told
    at       TEXT   NOT NULL, -- when it came
    taken    BIGINT NOT NULL, -- 1, or 0: refused
    said     TEXT   NOT NULL, -- why it was refused, in words
    PRIMARY KEY (workshop, account, key)
);
CREATE INDEX tellings_device ON tellings (workshop, account, device, n);
CREATE INDEX tellings_at ON tellings (workshop, at);
