package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"fmt"
	"io"
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
	if pg, ok := errors.AsType[*pgconn.PgError](err); ok {
		return pg.Code == "23505" // unique_violation
	}
	lite, ok := errors.AsType[*sqlite.Error](err)
	return ok &&
		(lite.Code() == sqlite3.SQLITE_CONSTRAINT_PRIMARYKEY || lite.Code() == sqlite3.SQLITE_CONSTRAINT_UNIQUE)
}

// away says whether the fault is of the database and may pass: no connection, a
// full disk, too busy.
func away(err error) bool {
	if lite, ok := errors.AsType[*sqlite.Error](err); ok {
		switch lite.Code() & 0xff {
		case sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_BUSY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_READONLY:
			return true
		}
		return false
	}
	if pg, ok := errors.AsType[*pgconn.PgError](err); ok {
		switch pg.Code[:2] {
		case "08", "53", "57", "58", "40": // connection, resources, shutdown, system, serialisation
			return true
		}
		return false
	}
	_, unconnected := errors.AsType[*pgconn.ConnectError](err)
	_, cut := errors.AsType[net.Error](err)
	return unconnected || cut || errors.Is(err, io.ErrUnexpectedEOF) ||
		errors.Is(err, driver.ErrBadConn) || pgconn.SafeToRetry(err) // the last: the connection was closed before
}
