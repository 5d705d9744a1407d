package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"urdir/check"
	"urdir/internal/archive"
	"urdir/internal/store"
)

// home is where a workshop is kept, as typed.
type home struct{ data, db string }

func (k *home) flags(a *app, c *cobra.Command) {
	c.Flags().StringVar(&k.data, "data", "urdir-data", a.words.T("serve-flag-data", nil))
	c.Flags().StringVar(&k.db, "db", "", a.words.T("serve-flag-db", nil))
}

// address is a database's address or path.
func (k home) address() string {
	if k.db != "" {
		return k.db
	}
	return filepath.Join(k.data, "urdir.sqlite")
}

// make has the folder there.
func (k home) make() error {
	if store.IsPostgres(k.address()) {
		return nil
	}
	dir := filepath.Dir(k.address())
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return mistake("--data", "file-unwritable", check.Args{"file": dir, "reason": err.Error()})
	}
	return nil
}

// open opens a database that must be there, or makes it.
func (k home) open(ctx context.Context, there bool) (*store.DB, error) {
	if _, err := os.Stat(k.address()); err != nil && there && !store.IsPostgres(k.address()) {
		switch {
		case !errors.Is(err, fs.ErrNotExist):
			return nil, mistake("--data", "database-closed", check.Args{"reason": err.Error()})
		case k.db != "":
			return nil, mistake("--db", "data-none", check.Args{"folder": k.db})
		}
		return nil, mistake("--data", "data-none", check.Args{"folder": k.data})
	}
	if err := k.make(); err != nil {
		return nil, err
	}
	db, err := store.Open(ctx, k.address())
	if err != nil {
		return nil, mistake("--db", "database-closed", check.Args{"reason": err.Error()})
	}
	return db, nil
}

// toldFaults turns what is wrong with a file into problems with their places.
func toldFaults(err error) error {
	if found, ok := errors.AsType[archive.Faults](err); ok {
		return placed(found)
	}
	if errors.Is(err, store.ErrAway) {
		return mistake("--db", "database-closed", check.Args{"reason": err.Error()})
	}
	return err
}

// placed is faults as problems with their places.
func placed(found archive.Faults) error {
	out := make(stopped, len(found))
	for i, f := range found {
		out[i] = located{File: f.File, Line: f.Line, Problem: f.Problem}
	}
	return out
}

// printReport says what went out or came in.
func (a *app) printReport(key string, r archive.Report) error {
	if a.json {
		return a.printJSON(map[string]any{"file": r.File, "bytes": r.Bytes, "workshops": r.Workshops, "aside": r.Aside})
	}
	fmt.Fprintln(a.out, a.words.T(key, check.Args{"file": r.File, "kilobytes": int((r.Bytes + 1023) / 1024), "workshops": r.Workshops}))
	if r.Aside != "" {
		fmt.Fprintln(a.out, a.words.T("restore-aside", check.Args{"file": r.Aside}))
	}
	return nil
}
