// Package store keeps a workshop in a database: SQLite by default, PostgreSQL
// for several servers that share one workshop, with the same statements.
//
// Things that are described are records: a JSON body, and columns for what
// lists need of it. Quantities that must add up are rows of their own (Move,
// Posting).
// Nothing is overwritten without its former body going to the history, in the
// same transaction.
//
// Begin with Open, then View and Update.
package store

import (
	"cmp"
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"strings"

	_ "github.com/jackc/pgx/v5/stdlib" // the driver "pgx"
	"github.com/pressly/goose/v3"
	"go.opentelemetry.io/otel"
	_ "modernc.org/sqlite" // the driver "sqlite"
)

//go:embed migrations/*.sql
var migrations embed.FS

// DB is an open database. It may be used by many goroutines.
type DB struct {
	read, write *sql.DB // the same for PostgreSQL
	postgres    bool
}

// Open opens the database at a path (SQLite; the file is made if it is not
// there) or at a postgres:// address, and brings its tables up to date.
func Open(ctx context.Context, address string) (*DB, error) {
	db, err := connect(address)
	if err != nil {
		return nil, err
	}
	if err := db.migrate(ctx); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	return db, nil
}

// Look opens a database as it is, of whatever version: nothing is made or
// changed. A path at which there is no file is an error; a file that is no
// database is one as soon as it is read.
func Look(ctx context.Context, address string) (*DB, error) {
	if !IsPostgres(address) {
		if _, err := os.Stat(address); err != nil {
			return nil, err
		}
	}
	db, err := connect(address)
	if err != nil {
		return nil, err
	}
	if db.postgres {
		if err := db.Ping(ctx); err != nil {
			return nil, errors.Join(err, db.Close())
		}
	}
	return db, nil
}

func connect(address string) (*DB, error) {
	if IsPostgres(address) {
		pool, err := sql.Open("pgx", address)
		if err != nil {
			return nil, fmt.Errorf("open %s: %w", redact(address), err)
		}
		pool.SetMaxOpenConns(20)
		pool.SetMaxIdleConns(20)
		return &DB{pool, pool, true}, nil
	}
	// One writer: SQLite has one at a time, and queues better in Go than by
	// polling a lock.
	write, err := sql.Open("sqlite", sqliteAddress(address, "immediate"))
	if err != nil {
		return nil, fmt.Errorf("open %s: %w", address, err)
	}
	write.SetMaxOpenConns(1)
	read, err := sql.Open("sqlite", sqliteAddress(address, "deferred"))
	if err != nil {
		return nil, fmt.Errorf("open %s: %w", address, err)
	}
	read.SetMaxOpenConns(8)
	read.SetMaxIdleConns(8)
	return &DB{read, write, false}, nil
}

// sqliteAddress names the settings every connection must have; set by a
// statement they would reach only one of the pool.
func sqliteAddress(path, lock string) string {
	return "file:" + (&url.URL{Path: path}).EscapedPath() +
		"?_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)&_pragma=busy_timeout(5000)&_pragma=foreign_keys(1)&_txlock=" + lock
}

// redact leaves the password out of an address that goes into a message.
func redact(address string) string {
	if u, err := url.Parse(address); err == nil {
		return u.Redacted()
	}
	return "the database"
}

// Close closes the database.
func (db *DB) Close() error {
	if db.postgres {
		return db.write.Close()
	}
	return errors.Join(db.read.Close(), db.write.Close())
}

// Ping says whether the database answers.
func (db *DB) Ping(ctx context.Context) error { return wrap(db.read.PingContext(ctx)) }

// migrate runs the migrations that have not run yet, and guards the tables.
func (db *DB) migrate(ctx context.Context) error {
	if db.postgres {
		// Servers that start together take turns; the end of the transaction
		// ends the turn.
		turn, err := db.write.BeginTx(ctx, nil)
		if err != nil {
			return wrap(err)
		}
		defer func() { _ = turn.Rollback() }() // nothing was written
		if _, err := turn.ExecContext(ctx, `SELECT pg_advisory_xact_lock(hashtext('urdir.migrate'))`); err != nil {
			return wrap(err)
		}
	}
	p, err := db.provider()
	if err != nil {
		return err
	}
	if err := up(ctx, p); err != nil {
		return fmt.Errorf("migrate: %w", wrap(err))
	}
	if !db.postgres {
		return nil
	}
	if err := db.orderByBytes(ctx); err != nil {
		return err
	}
	return db.guard(ctx)
}

// provider knows the migrations and which of them have run.
func (db *DB) provider() (*goose.Provider, error) {
	dialect := goose.DialectSQLite3
	if db.postgres {
		dialect = goose.DialectPostgres
	}
	files, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return nil, err
	}
	p, err := goose.NewProvider(dialect, db.write, files)
	if err != nil {
		return nil, fmt.Errorf("migrations: %w", err)
	}
	return p, nil
}

// up runs the migrations. One that fails because another program has just run it
// on the same SQLite file is no fault.
func up(ctx context.Context, p *goose.Provider) error {
	was, known, err := p.GetVersions(ctx)
	for err == nil && was < known {
		_, failed := p.Up(ctx)
		var is int64
		if is, _, err = p.GetVersions(ctx); err == nil && is == was {
			err = cmp.Or(failed, errors.New("the migrations do not go on"))
		}
		was = is
	}
	if err == nil && was > known {
		err = fmt.Errorf("the database is of version %d and this program knows only %d: a newer program has used it", was, known)
	}
	return err
}

// orderByBytes has PostgreSQL order text by its bytes, as SQLite does, and not as
// the server's language would.
func (db *DB) orderByBytes(ctx context.Context) error {
	rs, err := db.write.QueryContext(ctx, `
		SELECT format('ALTER TABLE %I ', table_name) || string_agg(format('ALTER COLUMN %I TYPE text COLLATE "C"', column_name), ', ')
		FROM information_schema.columns
		WHERE table_schema = current_schema() AND data_type = 'text' AND collation_name IS NULL
		GROUP BY table_name ORDER BY table_name`)
	if err != nil {
		return wrap(err)
	}
	defer func() { _ = rs.Close() }() // rs.Err tells what matters
	var alter []string
	for rs.Next() {
		var s string
		if err = rs.Scan(&s); err != nil {
			return wrap(err)
		}
		alter = append(alter, s)
	}
	if err = rs.Err(); err != nil || len(alter) == 0 {
		return wrap(err)
	}
	_, err = db.write.ExecContext(ctx, strings.Join(alter, ";"))
	return wrap(err)
}

// guarded are the tables whose every row belongs to one workshop.
var guarded = []string{"records", "history", "moves", "stock", "counters", "files", "entries", "lines", "sums", "items", "numbers", "answers", "secrets", "messages", "tellings"}

// guard has PostgreSQL itself keep workshops apart: a transaction sees and
// writes only the rows of the workshop it is for. FORCE holds the owner of the
// tables to it as well; only a superuser is not bound. A table that is guarded
// is left alone, as to guard it is to wait for all who use it.
func (db *DB) guard(ctx context.Context) error {
	for _, t := range guarded {
		var is bool
		err := db.write.QueryRowContext(ctx, `SELECT relrowsecurity AND relforcerowsecurity FROM pg_class WHERE oid = $1::regclass`, t).Scan(&is)
		if err != nil {
			return fmt.Errorf("guard %s: %w", t, wrap(err))
		}
		if is {
			continue
		}
		_, err = db.write.ExecContext(ctx, fmt.Sprintf(`
			ALTER TABLE %[1]s ENABLE ROW LEVEL SECURITY;
			ALTER TABLE %[1]s FORCE ROW LEVEL SECURITY;
			CREATE POLICY own ON %[1]s USING (workshop = current_setting('urdir.workshop', true))
				WITH CHECK (workshop = current_setting('urdir.workshop', true))`, t))
		if err != nil {
			return fmt.Errorf("guard %s: %w", t, wrap(err))
		}
	}
	return nil
}

// tracer tells how long reading and acts take, if someone watches; see front.Tracing.
var tracer = otel.Tracer("urdir/internal/store")

// View runs f on a steady state of a workshop. Nothing f writes stays. In an
// Update's own context f sees what that has written so far.
func (db *DB) View(ctx context.Context, workshop string, f func(*Tx) error) error {
	if t, err := joins(ctx, workshop); t != nil || err != nil {
		return joined(err, t, f)
	}
	ctx, span := tracer.Start(ctx, "read")
	defer span.End()
	tx, err := db.read.BeginTx(ctx, &sql.TxOptions{ReadOnly: db.postgres, Isolation: db.level(sql.LevelRepeatableRead)})
	if err != nil {
		return wrap(err)
	}
	defer func() { _ = tx.Rollback() }() // nothing was written
	t := &Tx{tx: tx, ctx: ctx, workshop: workshop}
	if db.postgres {
		if _, err := t.exec(`SELECT set_config('urdir.workshop', $1, true)`, workshop); err != nil {
			return err
		}
	}
	return f(t)
}

// level is an isolation level where there is a choice; SQLite has one, the
// strictest.
func (db *DB) level(l sql.IsolationLevel) sql.IsolationLevel {
	if db.postgres {
		return l
	}
	return sql.LevelDefault
}

// Update runs f; if f gives no error, what it wrote is on disk when Update
// returns, and the act is in the history. A workshop has one Update at a time,
// so what f has read still holds when it writes, and none waits for another in a
// ring. In the context of another Update (Tx.Context) it is a part of that: kept
// with it, or not at all.
func (db *DB) Update(ctx context.Context, workshop string, act Act, f func(*Tx) error) error {
	if t, err := joins(ctx, workshop); t != nil || err != nil {
		return joined(err, t, func(t *Tx) error { return t.as(act, f) })
	}
	ctx, span := tracer.Start(ctx, "act "+act.What)
	defer span.End()
	tx, err := db.write.BeginTx(ctx, &sql.TxOptions{Isolation: db.level(sql.LevelReadCommitted)})
	if err != nil {
		return wrap(err)
	}
	defer func() { _ = tx.Rollback() }() // after Commit it does nothing; else f's error or panic matters
	t := &Tx{tx: tx, ctx: ctx, workshop: workshop, act: act}
	if db.postgres { // SQLite has one writer anyhow
		if _, err := t.exec(`SELECT set_config('urdir.workshop', $1, true), pg_advisory_xact_lock(hashtextextended($1, 0))`, workshop); err != nil {
			return err
		}
	}
	if err := f(t); err != nil {
		return err
	}
	return wrap(tx.Commit())
}

// Turn takes the turn at something that only one of several servers is to do at a
// time; ok is false if another has it. It is given back with done, or when the
// program ends. A file has one server, and so the turn always.
func (db *DB) Turn(ctx context.Context, name string) (done func() error, ok bool, err error) {
	if !db.postgres {
		return func() error { return nil }, true, nil
	}
	c, err := db.write.Conn(ctx)
	if err != nil {
		return nil, false, wrap(err)
	}
	if err = c.QueryRowContext(ctx, `SELECT pg_try_advisory_lock(hashtext($1))`, "urdir."+name).Scan(&ok); err != nil || !ok {
		return nil, false, errors.Join(wrap(err), c.Close())
	}
	return func() error {
		_, err := c.ExecContext(context.WithoutCancel(ctx), `SELECT pg_advisory_unlock(hashtext($1))`, "urdir."+name)
		return errors.Join(wrap(err), c.Close())
	}, true, nil
}
