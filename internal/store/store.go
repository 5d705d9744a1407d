// Package store keeps a workshop in a database: SQLite by default, PostgreSQL
// for several servers that share one workshop, with the same statements.
//
// Things that are described are records: a JSON body, and columns for what
// lists need of it. Quantities that must add up are rows of their own (Move).
// Nothing is overwritten without its former body going to the history, in the
// same transaction.
//
// Begin with Open, then View and Update.
package store

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"strings"

	_ "github.com/jackc/pgx/v5/stdlib" // the driver "pgx"
	"github.com/pressly/goose/v3"
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

func connect(address string) (*DB, error) {
	if strings.HasPrefix(address, "postgres://") || strings.HasPrefix(address, "postgresql://") {
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
func (db *DB) Ping(ctx context.Context) error { return db.read.PingContext(ctx) }

// migrate runs the migrations that have not run yet, and guards the tables.
func (db *DB) migrate(ctx context.Context) error {
	dialect := goose.DialectSQLite3
	if db.postgres {
		dialect = goose.DialectPostgres
	}
	files, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return err
	}
	p, err := goose.NewProvider(dialect, db.write, files)
	if err != nil {
		return fmt.Errorf("migrations: %w", err)
	}
	if _, err := p.Up(ctx); err != nil {
		return fmt.Errorf("migrate: %w", err)
	}
	if db.postgres {
		return db.guard(ctx)
	}
	return nil
}

// guarded are the tables whose every row belongs to one workshop.
var guarded = []string{"records", "history", "moves", "stock", "counters", "files"}

// guard has PostgreSQL itself keep workshops apart: a transaction sees and
// writes only the rows of the workshop it is for. FORCE holds the owner of the
// tables to it as well; only a superuser is not bound.
func (db *DB) guard(ctx context.Context) error {
	for _, t := range guarded {
		_, err := db.write.ExecContext(ctx, fmt.Sprintf(`
			ALTER TABLE %[1]s ENABLE ROW LEVEL SECURITY;
			ALTER TABLE %[1]s FORCE ROW LEVEL SECURITY;
			DROP POLICY IF EXISTS own ON %[1]s;
			CREATE POLICY own ON %[1]s USING (workshop = current_setting('urdir.workshop', true))
				WITH CHECK (workshop = current_setting('urdir.workshop', true))`, t))
		if err != nil {
			return fmt.Errorf("guard %s: %w", t, err)
		}
	}
	return nil
}

// View runs f on a steady state of a workshop. Nothing f writes stays.
func (db *DB) View(ctx context.Context, workshop string, f func(*Tx) error) error {
	tx, err := db.read.BeginTx(ctx, &sql.TxOptions{ReadOnly: db.postgres, Isolation: db.steady()})
	if err != nil {
		return wrap(err)
	}
	defer func() { _ = tx.Rollback() }() // nothing was written
	t := &Tx{tx: tx, ctx: ctx, workshop: workshop}
	if err := t.enter(db.postgres); err != nil {
		return err
	}
	return f(t)
}

func (db *DB) steady() sql.IsolationLevel {
	if db.postgres {
		return sql.LevelRepeatableRead
	}
	return sql.LevelDefault // SQLite has no other
}

// Update runs f; if f gives no error, what it wrote is on disk when Update
// returns, and the act is in the history.
func (db *DB) Update(ctx context.Context, workshop string, act Act, f func(*Tx) error) error {
	tx, err := db.write.BeginTx(ctx, nil)
	if err != nil {
		return wrap(err)
	}
	t := &Tx{tx: tx, ctx: ctx, workshop: workshop, act: act}
	if err := t.enter(db.postgres); err != nil {
		return errors.Join(err, tx.Rollback())
	}
	if err := f(t); err != nil {
		_ = tx.Rollback() // the error that matters is f's
		return err
	}
	return wrap(tx.Commit())
}
