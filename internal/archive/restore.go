package archive

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"urdir/check"
	"urdir/internal/store"
)

// stampText is how a moment stands in a file's name: it sorts, and every file
// system takes it.
const stampText = "20060102T150405Z"

// Restore puts a backup in the place of all that a database holds. The backup is
// verified whole before anything is touched, and what was there is kept beside:
// of a SQLite file under another name, of PostgreSQL as a backup in the folder
// aside. No program may have the SQLite file open.
func Restore(ctx context.Context, file, address, aside string, now time.Time) (Report, error) {
	folder := aside
	if !store.IsPostgres(address) {
		folder = filepath.Dir(address) // a file is put in another's place on one disk
	}
	dir, err := os.MkdirTemp(folder, partPrefix)
	if err != nil {
		return Report{}, unwritable(folder, err)
	}
	defer func() { _ = os.RemoveAll(dir) }() // the database is out of it by then
	staged := filepath.Join(dir, databaseName)
	m, err := unpack(ctx, file, staged)
	if err != nil {
		return Report{}, err
	}
	r := m.report(file)
	if store.IsPostgres(address) {
		r.Aside = unused(filepath.Join(aside, "before-restore-"), now, backupEnd)
		return r, refill(ctx, address, staged, r.Aside, now)
	}
	if _, err = os.Lstat(address); err == nil {
		r.Aside = unused(address+".before-restore-", now, "")
	}
	err = store.Swap(ctx, address, staged, r.Aside)
	if errors.Is(err, store.ErrInUse) {
		return r, fault(address, "database-in-use", nil)
	}
	return r, unwritable(address, err)
}

// unused is a name with the time in it that no file has.
func unused(begin string, now time.Time, end string) string {
	begin += now.UTC().Format(stampText)
	name := begin + end
	for i := 2; ; i++ {
		if _, err := os.Lstat(name); err != nil {
			return name
		}
		name = fmt.Sprintf("%s-%d%s", begin, i, end)
	}
}

// unpack lays the database of a backup out, brings it up to date and verifies it.
func unpack(ctx context.Context, file, staged string) (backupManifest, error) {
	folder := filepath.Dir(filepath.Dir(staged)) // the one people know
	m, err := readBackup(file, func(r io.Reader) error {
		f, err := os.OpenFile(staged, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
		if err != nil {
			return unwritable(folder, err)
		}
		_, err = io.Copy(f, r)
		var read *readError
		if err = errors.Join(err, f.Close()); errors.As(err, &read) {
			return err
		}
		return unwritable(folder, err)
	})
	if err != nil {
		return m, err
	}
	is, err := lookAt(ctx, staged)
	if err == nil && len(is.Workshops) != len(m.Workshops) {
		err = fault(file, "backup-damaged", check.Args{"reason": "it does not hold the workshops it names"})
	}
	return m, err
}

// refill puts a laid out database in the place of what PostgreSQL holds, which
// goes into a backup before.
func refill(ctx context.Context, address, staged, aside string, now time.Time) error {
	to, err := store.Open(ctx, address)
	if err != nil {
		return fault("", "database-closed", check.Args{"reason": err.Error()})
	}
	from, err := store.Open(ctx, staged)
	if err != nil {
		return errors.Join(err, to.Close())
	}
	err = from.Read(ctx, func(r *store.Reader) error {
		all, failed := r.Workshops()
		if failed != nil {
			return failed
		}
		keep := func() error {
			_, failed := Backup(ctx, to, aside, now)
			return failed
		}
		return to.Refill(ctx, keep, func(put store.Put) error { return r.CopyTo(put, all) })
	})
	return errors.Join(err, from.Close(), to.Close())
}
