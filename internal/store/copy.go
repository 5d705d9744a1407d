package store

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// ErrInUse says that another program has the database open.
var ErrInUse = errors.New("another program has the database open")

// Snapshot writes all that is kept, as it was at one moment, into a new SQLite
// file; others go on reading and writing. The file is on disk when Snapshot
// returns.
func (db *DB) Snapshot(ctx context.Context, path string) error {
	if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s: %w", path, cmp.Or(err, fs.ErrExist))
	}
	var err error
	if db.postgres {
		err = db.copyInto(ctx, path)
	} else {
		_, err = db.read.ExecContext(ctx, `VACUUM INTO $1`, path)
		err = wrap(err)
	}
	if err != nil {
		return errors.Join(fmt.Errorf("copy into %s: %w", path, err), drop(path))
	}
	return Sync(path)
}

// copyInto makes a SQLite file of the same version with every row.
func (db *DB) copyInto(ctx context.Context, path string) error {
	into, err := Open(ctx, path)
	if err != nil {
		return err
	}
	err = db.Read(ctx, func(r *Reader) error {
		all, failed := r.Workshops()
		if failed != nil {
			return failed
		}
		return into.Fill(ctx, func(put Put) error { return r.CopyTo(put, all) })
	})
	return errors.Join(err, into.Close())
}

// drop takes away a SQLite file and what belongs to it, dropLog only the latter.
func drop(path string) error { return errors.Join(dropLog(path), remove(path)) }

func dropLog(path string) error { return errors.Join(remove(path+"-wal"), remove(path+"-shm")) }

// remove takes a file away that may be gone.
func remove(name string) error {
	if err := os.Remove(name); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// Sync has a file, and its name in its folder, on disk.
func Sync(path string) error {
	names := []string{path, filepath.Dir(path)}
	if runtime.GOOS == "windows" { // a folder cannot be synced there; its names are
		names = names[:1]
	}
	for _, name := range names {
		f, err := os.Open(name)
		if err != nil {
			return err
		}
		if err := errors.Join(f.Sync(), f.Close()); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
	}
	return nil
}

// Swap puts a SQLite file in the place of another, which is kept under the name
// aside. At any moment one of the two is there, whole. ErrInUse: a program has
// the other one open, and nothing was changed.
func Swap(ctx context.Context, path, by, aside string) error {
	if err := Sync(by); err != nil {
		return err
	}
	if _, err := os.Lstat(path); err == nil {
		if err = putAside(ctx, path, aside); err != nil {
			return err
		}
	} else if !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if err := os.Rename(by, path); err != nil {
		return err
	}
	return Sync(path)
}

// putAside gives a SQLite file a second name. What its log holds is written into
// it; that is refused while another program has it open. If it is too damaged to
// be read, its log is put aside as it is.
func putAside(ctx context.Context, path, aside string) error {
	const log = "-wal"
	if err := secondName(path, aside); err != nil {
		return err
	}
	if err := secondName(path+log, aside+log); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	err := writeLog(ctx, path)
	if lite, is := errors.AsType[*sqlite.Error](err); is {
		switch lite.Code() & 0xff {
		case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED:
			return errors.Join(fmt.Errorf("%s: %w", path, ErrInUse), drop(aside))
		case sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT:
			return errors.Join(Sync(aside), dropLog(path)) // another file's log would spoil the new one
		}
	}
	if err != nil {
		return errors.Join(err, drop(aside))
	}
	return errors.Join(dropLog(aside), Sync(aside)) // the file has it all
}

// writeLog writes what the log of a SQLite file holds into the file, and takes it
// away; no other program may have the file open.
func writeLog(ctx context.Context, path string) error {
	db, err := sql.Open("sqlite", sqliteAddress(path, "exclusive"))
	if err != nil {
		return err
	}
	db.SetMaxOpenConns(1) // the settings are of a connection
	_, err = db.ExecContext(ctx, `PRAGMA busy_timeout = 500`)
	if err == nil {
		_, err = db.ExecContext(ctx, `PRAGMA journal_mode = DELETE`)
	}
	return errors.Join(err, db.Close())
}

// secondName links a file, or copies it where there are no links.
func secondName(name, second string) error {
	err := os.Link(name, second)
	if err == nil || errors.Is(err, fs.ErrNotExist) || errors.Is(err, fs.ErrExist) {
		return err
	}
	from, err := os.Open(name)
	if err != nil {
		return err
	}
	defer func() { _ = from.Close() }() // only read
	to, err := os.OpenFile(second, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(to, from)
	return errors.Join(err, to.Sync(), to.Close())
}
