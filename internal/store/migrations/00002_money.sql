-- +goose Up

-- Money that went from account to account: an entry is one event, its lines add
-- up to nothing in each currency. A row is never changed; a mistake is reversed
-- by another entry.
CREATE TABLE entries (
    workshop TEXT   NOT NULL REFERENCES workshops (id),
    seq      BIGINT NOT NULL,
    at       TEXT   NOT NULL, -- when it was written
    who      TEXT   NOT NULL,
    act      TEXT   NOT NULL,
    date     TEXT   NOT NULL, -- of the event
    text     TEXT   NOT NULL,
    document TEXT   NOT NULL, -- number of its paper, or empty
    source   TEXT   NOT NULL, -- the fact it was written for, or empty
    settles  TEXT   NOT NULL, -- what is paid once and not twice, or empty
    reverses BIGINT NOT NULL, -- the entry it undoes, or 0
    closes   TEXT   NOT NULL, -- the period it closes or opens again, or empty
    PRIMARY KEY (workshop, seq)
);
CREATE INDEX entries_date ON entries (workshop, date, seq);
CREATE UNIQUE INDEX entries_reverses ON entries (workshop, reverses) WHERE reverses <> 0;
CREATE INDEX entries_source ON entries (workshop, source, seq) WHERE source <> '';
CREATE INDEX entries_settles ON entries (workshop, settles, seq) WHERE settles <> '';
CREATE INDEX entries_document ON entries (workshop, document, seq) WHERE document <> '';
CREATE INDEX entries_closes ON entries (workshop, seq) WHERE closes <> '';

-- What an entry moves: a debit is above nothing, a credit below. Amounts are in
-- the smallest unit of their currency, so sums are exact.
CREATE TABLE lines (
    workshop TEXT   NOT NULL REFERENCES workshops (id),
    entry    BIGINT NOT NULL,
    n        BIGINT NOT NULL, -- from 1
    date     TEXT   NOT NULL, -- of the entry
    account  TEXT   NOT NULL,
    currency TEXT   NOT NULL,
    minor    BIGINT NOT NULL CHECK (minor <> 0),
    item     TEXT   NOT NULL, -- in an account kept item by item
    tags     TEXT   NOT NULL, -- JSON, or empty
    PRIMARY KEY (workshop, entry, n)
);
CREATE INDEX lines_account ON lines (workshop, account, date, entry);
CREATE INDEX lines_item ON lines (workshop, item, account, date) WHERE item <> '';

-- What was moved on each day: of an account (tag and value empty), and of it by
-- each tag. Kept beside the lines so that a balance need not add up ten years.
-- Check compares the two.
CREATE TABLE sums (
    workshop TEXT   NOT NULL REFERENCES workshops (id),
    tag      TEXT   NOT NULL,
    account  TEXT   NOT NULL,
    value    TEXT   NOT NULL,
    currency TEXT   NOT NULL,
    date     TEXT   NOT NULL,
    debit    BIGINT NOT NULL,
    credit   BIGINT NOT NULL,
    PRIMARY KEY (workshop, tag, account, value, currency, date)
);

-- What is open of each item of an account that is kept item by item.
CREATE TABLE items (
    workshop TEXT   NOT NULL REFERENCES workshops (id),
    account  TEXT   NOT NULL,
    item     TEXT   NOT NULL,
    currency TEXT   NOT NULL,
    minor    BIGINT NOT NULL,
    PRIMARY KEY (workshop, account, item, currency)
);
CREATE INDEX items_open ON items (workshop, account, item) WHERE minor <> 0;

-- Papers that are numbered without gaps: each series counts from 1 in each year.
-- The last number of each is in counters.
CREATE TABLE numbers (
    workshop TEXT   NOT NULL REFERENCES workshops (id),
    series   TEXT   NOT NULL,
    year     BIGINT NOT NULL,
    n        BIGINT NOT NULL,
    kind     TEXT   NOT NULL, -- the record it is on
    id       TEXT   NOT NULL,
    at       TEXT   NOT NULL,
    PRIMARY KEY (workshop, series, year, n)
);
