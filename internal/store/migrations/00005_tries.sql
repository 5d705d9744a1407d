-- +goose Up

-- Who may try again when: sign-ins and other things that could be guessed. A row is
-- of no use once its time is past, and no part of any workshop's data.
CREATE TABLE tries (
    name TEXT   NOT NULL PRIMARY KEY, -- hash of whose tries: an address's, a login's
    free BIGINT NOT NULL              -- when all tries are back; milliseconds since 1970
);
CREATE INDEX tries_free ON tries (free);
