PRAGMA foreign_keys=OFF;
BEGIN TRANSACTION;
CREATE TABLE goose_db_version (
		id INTEGER PRIMARY KEY AUTOINCREMENT,
		version_id INTEGER NOT NULL,
		is_applied INTEGER NOT NULL,
		tstamp TIMESTAMP DEFAULT (datetime('now'))
	);
INSERT INTO goose_db_version VALUES(1,0,1,'2026-11-28 11:47:16');
INSERT INTO goose_db_version VALUES(2,1,1,'2026-11-28 11:47:16');
INSERT INTO goose_db_version VALUES(3,2,1,'2026-11-28 11:47:16');
INSERT INTO goose_db_version VALUES(4,3,1,'2026-11-28 11:47:16');
INSERT INTO goose_db_version VALUES(5,4,1,'2026-11-28 11:47:16');
INSERT INTO goose_db_version VALUES(6,5,1,'2026-11-28 11:47:16');
CREATE TABLE workshops (
    id   TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    made TEXT NOT NULL
);
INSERT INTO workshops VALUES('w-shore','Taller w-shore','2031-05-06T12:00:00.123456Z');
INSERT INTO workshops VALUES('w-hill','Taller w-hill','2031-05-06T12:00:00.123456Z');
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
INSERT INTO records VALUES('w-shore','order','o1',1,'c1','open','2031-05-01','faja ñandú 50% a_b \','{"note":"línea 1\nlínea 2 '' \" \\ 🧵"}');
INSERT INTO records VALUES('w-shore','order','o2',2,'c1','woven','2031-05-02','faja ñandú 50% a_b \','{"note":"línea 1\nlínea 2 '' \" \\ 🧵"}');
INSERT INTO records VALUES('w-hill','order','o1',1,'c1','open','2031-05-01','faja ñandú 50% a_b \','{"note":"línea 1\nlínea 2 '' \" \\ 🧵"}');
INSERT INTO records VALUES('w-hill','order','o2',2,'c1','woven','2031-05-02','faja ñandú 50% a_b \','{"note":"línea 1\nlínea 2 '' \" \\ 🧵"}');
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
INSERT INTO history VALUES('w-shore',1,'2031-05-06T12:00:00.123456Z','a-1','season.keep','order','o1',1,'');
INSERT INTO history VALUES('w-shore',2,'2031-05-06T12:00:00.123456Z','a-1','season.keep','order','o2',1,'');
INSERT INTO history VALUES('w-shore',3,'2031-05-06T12:00:00.123456Z','a-1','season.keep','order','o2',2,'{"note":"línea 1\nlínea 2 '' \" \\ 🧵"}');
INSERT INTO history VALUES('w-shore',4,'2031-05-06T12:00:00.123456Z','a-1','season.keep','order','o3',1,'');
INSERT INTO history VALUES('w-shore',5,'2031-05-06T12:00:00.123456Z','a-1','season.keep','order','o3',2,'{"note":"línea 1\nlínea 2 '' \" \\ 🧵"}');
INSERT INTO history VALUES('w-shore',6,'2031-05-06T12:00:00.123456Z','a-1','season.keep','order','o3',0,'{"note":"línea 1\nlínea 2 '' \" \\ 🧵"}');
INSERT INTO history VALUES('w-hill',1,'2031-05-06T12:00:00.123456Z','a-1','season.keep','order','o1',1,'');
INSERT INTO history VALUES('w-hill',2,'2031-05-06T12:00:00.123456Z','a-1','season.keep','order','o2',1,'');
INSERT INTO history VALUES('w-hill',3,'2031-05-06T12:00:00.123456Z','a-1','season.keep','order','o2',2,'{"note":"línea 1\nlínea 2 '' \" \\ 🧵"}');
INSERT INTO history VALUES('w-hill',4,'2031-05-06T12:00:00.123456Z','a-1','season.keep','order','o3',1,'');
INSERT INTO history VALUES('w-hill',5,'2031-05-06T12:00:00.123456Z','a-1','season.keep','order','o3',2,'{"note":"línea 1\nlínea 2 '' \" \\ 🧵"}');
INSERT INTO history VALUES('w-hill',6,'2031-05-06T12:00:00.123456Z','a-1','season.keep','order','o3',0,'{"note":"línea 1\nlínea 2 '' \" \\ 🧵"}');
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
INSERT INTO moves VALUES('w-shore',1,'2031-05-06T12:00:00.123456Z','a-1','season.keep','red',5000000000000,'outside','shelf');
INSERT INTO moves VALUES('w-shore',2,'2031-05-06T12:00:00.123456Z','a-1','season.keep','red',1250001,'shelf','weaver');
INSERT INTO moves VALUES('w-shore',3,'2031-05-06T12:00:00.123456Z','a-1','season.keep','red',1250001,'weaver','outside');
INSERT INTO moves VALUES('w-hill',1,'2031-05-06T12:00:00.123456Z','a-1','season.keep','red',5000000000000,'outside','shelf');
INSERT INTO moves VALUES('w-hill',2,'2031-05-06T12:00:00.123456Z','a-1','season.keep','red',1250001,'shelf','weaver');
INSERT INTO moves VALUES('w-hill',3,'2031-05-06T12:00:00.123456Z','a-1','season.keep','red',1250001,'weaver','outside');
CREATE TABLE stock (
    workshop   TEXT   NOT NULL REFERENCES workshops (id),
    place      TEXT   NOT NULL,
    lot        TEXT   NOT NULL,
    milligrams BIGINT NOT NULL,
    PRIMARY KEY (workshop, place, lot)
);
INSERT INTO stock VALUES('w-shore','outside','red',-4999998749999);
INSERT INTO stock VALUES('w-shore','shelf','red',4999998749999);
INSERT INTO stock VALUES('w-shore','weaver','red',0);
INSERT INTO stock VALUES('w-hill','outside','red',-4999998749999);
INSERT INTO stock VALUES('w-hill','shelf','red',4999998749999);
INSERT INTO stock VALUES('w-hill','weaver','red',0);
CREATE TABLE counters (
    workshop TEXT   NOT NULL REFERENCES workshops (id),
    name     TEXT   NOT NULL,
    last     BIGINT NOT NULL,
    PRIMARY KEY (workshop, name)
);
INSERT INTO counters VALUES('w-shore','user.order',3);
INSERT INTO counters VALUES('w-shore','history',6);
INSERT INTO counters VALUES('w-shore','moves',3);
INSERT INTO counters VALUES('w-shore','number.R.2031',1);
INSERT INTO counters VALUES('w-shore','entries',1);
INSERT INTO counters VALUES('w-shore','messages',1);
INSERT INTO counters VALUES('w-hill','user.order',3);
INSERT INTO counters VALUES('w-hill','history',6);
INSERT INTO counters VALUES('w-hill','moves',3);
INSERT INTO counters VALUES('w-hill','number.R.2031',1);
INSERT INTO counters VALUES('w-hill','entries',1);
INSERT INTO counters VALUES('w-hill','messages',1);
CREATE TABLE files (
    workshop TEXT NOT NULL REFERENCES workshops (id),
    id       TEXT NOT NULL,
    type     TEXT NOT NULL,
    body     BYTEA NOT NULL,
    PRIMARY KEY (workshop, id)
);
INSERT INTO files VALUES('w-shore','f1','image/png',X'89504e470d0a1a0a00ff27');
INSERT INTO files VALUES('w-hill','f1','image/png',X'89504e470d0a1a0a00ff27');
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
INSERT INTO accounts VALUES('a-w-shore','w-shore','maru.w-shore','Maru','lead','','es','x',0);
INSERT INTO accounts VALUES('a-w-hill','w-hill','maru.w-hill','Maru','lead','','es','x',0);
CREATE TABLE keys (
    hash    TEXT PRIMARY KEY,
    account TEXT NOT NULL REFERENCES accounts (id),
    use     TEXT NOT NULL, -- session, card
    made    TEXT NOT NULL,
    ends    TEXT NOT NULL
);
INSERT INTO keys VALUES('k-w-shore','a-w-shore','card','2031-05-06T12:00:00.123456Z','2031-05-06T13:00:00.123456Z');
INSERT INTO keys VALUES('k-w-hill','a-w-hill','card','2031-05-06T12:00:00.123456Z','2031-05-06T13:00:00.123456Z');
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
INSERT INTO entries VALUES('w-shore',1,'2031-05-06T12:00:00.123456Z','a-1','season.keep','2031-05-06','ñandú ''pago'' 🧵','r1','job:o1:r1','pay r1',0,'');
INSERT INTO entries VALUES('w-hill',1,'2031-05-06T12:00:00.123456Z','a-1','season.keep','2031-05-06','ñandú ''pago'' 🧵','r1','job:o1:r1','pay r1',0,'');
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
INSERT INTO lines VALUES('w-shore',1,1,'2031-05-06','liabilities:members','USD',1250,'job 1','{"member":"m ñ","season":"2031"}');
INSERT INTO lines VALUES('w-shore',1,2,'2031-05-06','assets:cash','USD',-1250,'','');
INSERT INTO lines VALUES('w-hill',1,1,'2031-05-06','liabilities:members','USD',1250,'job 1','{"member":"m ñ","season":"2031"}');
INSERT INTO lines VALUES('w-hill',1,2,'2031-05-06','assets:cash','USD',-1250,'','');
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
INSERT INTO sums VALUES('w-shore','','liabilities:members','','USD','2031-05-06',1250,0);
INSERT INTO sums VALUES('w-shore','member','liabilities:members','m ñ','USD','2031-05-06',1250,0);
INSERT INTO sums VALUES('w-shore','season','liabilities:members','2031','USD','2031-05-06',1250,0);
INSERT INTO sums VALUES('w-shore','','assets:cash','','USD','2031-05-06',0,1250);
INSERT INTO sums VALUES('w-hill','','liabilities:members','','USD','2031-05-06',1250,0);
INSERT INTO sums VALUES('w-hill','member','liabilities:members','m ñ','USD','2031-05-06',1250,0);
INSERT INTO sums VALUES('w-hill','season','liabilities:members','2031','USD','2031-05-06',1250,0);
INSERT INTO sums VALUES('w-hill','','assets:cash','','USD','2031-05-06',0,1250);
CREATE TABLE items (
    workshop TEXT   NOT NULL REFERENCES workshops (id),
    account  TEXT   NOT NULL,
    item     TEXT   NOT NULL,
    currency TEXT   NOT NULL,
    minor    BIGINT NOT NULL,
    PRIMARY KEY (workshop, account, item, currency)
);
INSERT INTO items VALUES('w-shore','liabilities:members','job 1','USD',1250);
INSERT INTO items VALUES('w-hill','liabilities:members','job 1','USD',1250);
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
INSERT INTO numbers VALUES('w-shore','R',2031,1,'receipt','r1','2031-05-06T12:00:00.123456Z');
INSERT INTO numbers VALUES('w-hill','R',2031,1,'receipt','r1','2031-05-06T12:00:00.123456Z');
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
INSERT INTO tokens VALUES('t-w-shore','t-w-shore','a-w-shore','cuentas','orders:read','2031-05-06T12:00:00.123456Z','2031-05-06T13:00:00.123456Z','');
INSERT INTO tokens VALUES('t-w-hill','t-w-hill','a-w-hill','cuentas','orders:read','2031-05-06T12:00:00.123456Z','2031-05-06T13:00:00.123456Z','');
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
INSERT INTO answers VALUES('w-shore','a-1','k1','d','2031-05-06T12:00:00.123456Z',201,'"1"','{"name":"Ñandú"}');
INSERT INTO answers VALUES('w-hill','a-1','k1','d','2031-05-06T12:00:00.123456Z',201,'"1"','{"name":"Ñandú"}');
CREATE TABLE secrets (
    workshop TEXT NOT NULL REFERENCES workshops (id),
    id       TEXT NOT NULL, -- of the record of the address
    secret   TEXT NOT NULL,
    former   TEXT NOT NULL,
    ends     TEXT NOT NULL, -- of the former
    PRIMARY KEY (workshop, id)
);
INSERT INTO secrets VALUES('w-shore','h1','now','before','2031-05-06T12:00:00.123456Z');
INSERT INTO secrets VALUES('w-hill','h1','now','before','2031-05-06T12:00:00.123456Z');
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
INSERT INTO messages VALUES('w-shore',1,'h1','order.confirmed','2031-05-06T12:00:00.123456Z','waiting',0,'2031-05-06T12:00:00.123456Z','',0,'','{"order":"o1"}');
INSERT INTO messages VALUES('w-hill',1,'h1','order.confirmed','2031-05-06T12:00:00.123456Z','waiting',0,'2031-05-06T12:00:00.123456Z','',0,'','{"order":"o1"}');
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
INSERT INTO tellings VALUES('w-shore','a-1','t1','p1',3,'d','2031-05-06T12:00:00.123456Z',0,'así no');
INSERT INTO tellings VALUES('w-hill','a-1','t1','p1',3,'d','2031-05-06T12:00:00.123456Z',0,'así no');
CREATE TABLE tries (
    name TEXT   NOT NULL PRIMARY KEY, -- hash of whose tries: an address's, a login's
    free BIGINT NOT NULL              -- when all tries are back; milliseconds since 1970
);
INSERT INTO tries VALUES('h-maru',1935835260123);
DELETE FROM sqlite_sequence;
INSERT INTO sqlite_sequence VALUES('goose_db_version',6);
CREATE INDEX records_sort ON records (workshop, kind, sort, id);
CREATE INDEX records_state ON records (workshop, kind, state, sort, id);
CREATE INDEX records_parent ON records (workshop, kind, parent, sort, id);
CREATE INDEX history_record ON history (workshop, kind, id, seq);
CREATE INDEX moves_lot ON moves (workshop, lot, seq);
CREATE INDEX moves_from ON moves (workshop, from_place, lot);
CREATE INDEX moves_to ON moves (workshop, to_place, lot);
CREATE INDEX stock_lot ON stock (workshop, lot);
CREATE INDEX accounts_workshop ON accounts (workshop, name);
CREATE INDEX keys_account ON keys (account, use);
CREATE INDEX entries_date ON entries (workshop, date, seq);
CREATE UNIQUE INDEX entries_reverses ON entries (workshop, reverses) WHERE reverses <> 0;
CREATE INDEX entries_source ON entries (workshop, source, seq) WHERE source <> '';
CREATE INDEX entries_settles ON entries (workshop, settles, seq) WHERE settles <> '';
CREATE INDEX entries_document ON entries (workshop, document, seq) WHERE document <> '';
CREATE INDEX entries_closes ON entries (workshop, seq) WHERE closes <> '';
CREATE INDEX lines_account ON lines (workshop, account, date, entry);
CREATE INDEX lines_item ON lines (workshop, item, account, date) WHERE item <> '';
CREATE INDEX items_open ON items (workshop, account, item) WHERE minor <> 0;
CREATE INDEX tokens_account ON tokens (account);
CREATE INDEX answers_at ON answers (workshop, at);
CREATE INDEX messages_hook ON messages (workshop, hook, seq);
CREATE INDEX messages_state ON messages (workshop, state, seq);
CREATE INDEX tellings_device ON tellings (workshop, account, device, n);
CREATE INDEX tellings_at ON tellings (workshop, at);
CREATE INDEX tries_free ON tries (free);
COMMIT;
