package store

import (
	"context"
	"database/sql"
	"fmt"
	"time"
)

// Faults is what is wrong with what a workshop keeps, a line for each.
type Faults struct {
	Stock   []string // what lies where, and its moves
	Books   []string // entries of money, and what is kept beside them
	Numbers []string // of papers
	History []string
}

// Examine looks at each of them.
func (t *Tx) Examine() (f Faults, err error) {
	for _, c := range []struct {
		into  *[]string
		check func() ([]string, error)
	}{
		{&f.Stock, t.checkStock},
		{&f.Stock, func() ([]string, error) { return t.checkCount("moves", "there are %d moves; %d were made") }},
		{&f.History, func() ([]string, error) {
			return t.checkCount("history", "the history has %d entries; %d were written")
		}},
		{&f.Books, func() ([]string, error) { return t.checkCount("entries", "the books have %d entries; %d were written") }},
		{&f.Books, t.checkMoney},
		{&f.Numbers, t.checkNumbers},
	} {
		found, err := c.check()
		if err != nil {
			return f, err
		}
		*c.into = append(*c.into, found...)
	}
	return f, nil
}

// LastAct is when the last thing was done; zero if nothing was.
func (t *Tx) LastAct() (time.Time, error) {
	var at string
	err := t.tx.QueryRowContext(t.ctx, `SELECT coalesce(max(at), '') FROM history WHERE workshop = $1`, t.workshop).Scan(&at)
	return unstamp(at), wrap(err)
}

// VerifyFile has SQLite look at every page and every reference of its file, and
// gives a line for each fault. PostgreSQL looks after its own.
func (db *DB) VerifyFile(ctx context.Context) ([]string, error) {
	if db.postgres {
		return nil, nil
	}
	return db.verifyFile(ctx)
}

// Verify looks whether everything is whole: the file itself, the books of every
// workshop (Check), and that its history goes on without a gap up to what is
// there now. It gives a line for each fault.
func (db *DB) Verify(ctx context.Context) (faults []string, err error) {
	if faults, err = db.VerifyFile(ctx); err != nil || len(faults) > 0 {
		return faults, err
	}
	all, err := db.Workshops(ctx)
	if err != nil {
		return nil, err
	}
	for _, w := range all {
		err := db.View(ctx, w.ID, func(tx *Tx) error {
			books, err := tx.Check()
			if err != nil {
				return err
			}
			gaps, err := tx.Gaps()
			for _, f := range append(books, gaps...) {
				faults = append(faults, w.Name+": "+f)
			}
			return err
		})
		if err != nil {
			return nil, err
		}
	}
	return faults, nil
}

// verifyFile has SQLite look at every page and every reference.
func (db *DB) verifyFile(ctx context.Context) (faults []string, err error) {
	for _, pragma := range []string{`SELECT integrity_check FROM pragma_integrity_check WHERE integrity_check <> 'ok' LIMIT 20`,
		`SELECT "table" || ' row ' || coalesce(rowid, 0) || ' refers to nothing in ' || parent FROM pragma_foreign_key_check LIMIT 20`} {
		rs, err := db.read.QueryContext(ctx, pragma)
		if err != nil {
			return nil, wrap(err)
		}
		for rs.Next() {
			var s string
			if err := rs.Scan(&s); err != nil {
				return nil, wrap(err)
			}
			faults = append(faults, s)
		}
		if err := rs.Err(); err != nil {
			return nil, wrap(err)
		}
	}
	return faults, nil
}

// Gaps compares the history with what is there: its lines are numbered from 1,
// the last of each record says whether it is there, and nothing is there that
// never began.
func (t *Tx) Gaps() (faults []string, err error) {
	var lines, last int64
	err = t.tx.QueryRowContext(t.ctx, `SELECT count(*), coalesce(max(seq), 0) FROM history WHERE workshop = $1 AND seq > 0`, t.workshop).Scan(&lines, &last)
	if err != nil {
		return nil, wrap(err)
	}
	if lines != last {
		faults = append(faults, fmt.Sprintf("the history has %d lines and goes up to number %d", lines, last))
	}
	for _, c := range []struct{ fault, query string }{
		{"%s %s is there and never began", `SELECT kind, id FROM records r WHERE workshop = $1 AND NOT EXISTS
			(SELECT 1 FROM history h WHERE h.workshop = $1 AND h.kind = r.kind AND h.id = r.id AND h.revision BETWEEN 1 AND r.revision)`},
		{"%s %s is gone, and the history does not say so", `SELECT kind, id FROM history h WHERE workshop = $1 AND revision > 0
			AND NOT EXISTS (SELECT 1 FROM records r WHERE r.workshop = $1 AND r.kind = h.kind AND r.id = h.id)
			AND NOT EXISTS (SELECT 1 FROM history x WHERE x.workshop = $1 AND x.kind = h.kind AND x.id = h.id AND x.seq > h.seq)`},
	} {
		found, err := rows(t, func(r *sql.Rows) (string, error) {
			var kind, id string
			err := r.Scan(&kind, &id)
			return fmt.Sprintf(c.fault, kind, id), err
		}, c.query+` ORDER BY kind, id LIMIT 20`, t.workshop)
		if err != nil {
			return nil, err
		}
		faults = append(faults, found...)
	}
	return faults, nil
}
