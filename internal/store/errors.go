package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net"

	"github.com/jackc/pgx/v5/pgconn"
	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// wrap turns what the drivers say into the errors of this package.
func wrap(err error) error {
	switch {
	case err == nil:
		return nil
	case errors.Is(err, sql.ErrNoRows):
		return ErrNotFound
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return err
	case taken(err):
		return fmt.Errorf("%w: %w", ErrExists, err)
	case away(err):
		return fmt.Errorf("%w: %w", ErrAway, err)
	}
	return err
}

// taken says whether a key was there already.
func taken(err error) bool {
	var pg *pgconn.PgError
	if errors.As(err, &pg) {
		return pg.Code == "23505" // unique_violation
	}
	var lite *sqlite.Error
	return errors.As(err, &lite) &&
		(lite.Code() == sqlite3.SQLITE_CONSTRAINT_PRIMARYKEY || lite.Code() == sqlite3.SQLITE_CONSTRAINT_UNIQUE)
}

// away says whether the fault is of the database and may pass: no connection, a
// full disk, too busy.
func away(err error) bool {
	var lite *sqlite.Error
	if errors.As(err, &lite) {
		switch lite.Code() & 0xff {
		case sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_BUSY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_READONLY:
			return true
		}
		return false
	}
	var pg *pgconn.PgError
	if errors.As(err, &pg) {
		switch pg.Code[:2] {
		case "08", "53", "57", "58", "40": // connection, resources, shutdown, system, serialisation
			return true
		}
		return false
	}
	var connect *pgconn.ConnectError
	var netErr net.Error
	return errors.As(err, &connect) || errors.As(err, &netErr)
}
