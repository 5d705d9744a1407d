package store

import (
	"context"
	"database/sql"
	"fmt"
	"io/fs"
)

// Limit has a SQLite file grow to some pages at most, as a full disk would.
func (db *DB) Limit(ctx context.Context, pages int) error {
	_, err := db.write.ExecContext(ctx, fmt.Sprintf(`PRAGMA max_page_count = %d`, pages))
	return err
}

// Pools gives the pools of connections.
func (db *DB) Pools() []*sql.DB { return []*sql.DB{db.read, db.write} }

// Migrations gives the names of the migrations, the newest last.
func Migrations() ([]string, error) { return fs.Glob(migrations, "migrations/*.sql") }

// Over is a database reached by a pool of a test's own.
func Over(pool *sql.DB, postgres bool) *DB { return &DB{pool, pool, postgres} }
