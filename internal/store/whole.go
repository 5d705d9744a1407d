package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Reader reads all that is kept, as it was at one moment.
type Reader struct {
	tx       *sql.Tx
	ctx      context.Context
	postgres bool
}

// Read runs f on a steady state of the whole database.
func (db *DB) Read(ctx context.Context, f func(*Reader) error) error {
	tx, err := db.read.BeginTx(ctx, &sql.TxOptions{ReadOnly: db.postgres, Isolation: db.level(sql.LevelRepeatableRead)})
	if err != nil {
		return wrap(err)
	}
	defer func() { _ = tx.Rollback() }() // nothing was written
	return f(&Reader{tx, ctx, db.postgres})
}

// Workshops lists the workshops by id.
func (r *Reader) Workshops() (out []Workshop, err error) {
	err = r.each(`SELECT id, name FROM workshops ORDER BY id`, nil, func(rs *sql.Rows) error {
		var w Workshop
		err = rs.Scan(&w.ID, &w.Name)
		out = append(out, w)
		return err
	})
	return out, err
}

// Rows gives some columns of the rows a workshop has in a table, in the order of
// its key. Values are string, int64 or []byte; the slice is used again.
func (r *Reader) Rows(workshop string, t Table, columns []string, f func(row []any) error) error {
	if err := setWorkshop(r.ctx, r.tx, r.postgres, workshop); err != nil {
		return err
	}
	row, into := make([]any, len(columns)), make([]any, len(columns))
	texts, wholes, bodies := make([]string, len(columns)), make([]int64, len(columns)), make([][]byte, len(columns))
	for i, name := range columns {
		c, ok := t.Column(name)
		if !ok {
			return fmt.Errorf("store: table %s has no column %s", t.Name, name)
		}
		into[i] = map[ColumnType]any{TextColumn: &texts[i], WholeColumn: &wholes[i], BytesColumn: &bodies[i]}[c.Type]
	}
	query := `SELECT ` + strings.Join(columns, ", ") + ` FROM ` + t.Name + ` WHERE ` + t.Of + ` ORDER BY ` + strings.Join(t.Key, ", ")
	return r.each(query, []any{workshop}, func(rs *sql.Rows) error {
		if err := rs.Scan(into...); err != nil {
			return err
		}
		for i := range into {
			switch into[i].(type) {
			case *string:
				row[i] = texts[i]
			case *int64:
				row[i] = wholes[i]
			default:
				row[i] = append([]byte{}, bodies[i]...) // empty is not NULL
			}
		}
		return f(row)
	})
}

func (r *Reader) each(query string, args []any, f func(*sql.Rows) error) error {
	rs, err := r.tx.QueryContext(r.ctx, query, args...)
	if err != nil {
		return wrap(err)
	}
	defer func() { _ = rs.Close() }() // rs.Err tells what matters
	for rs.Next() {
		if err := f(rs); err != nil {
			return wrap(err)
		}
	}
	return wrap(rs.Err())
}

// setWorkshop tells PostgreSQL for which workshop a transaction goes on.
func setWorkshop(ctx context.Context, tx *sql.Tx, postgres bool, workshop string) error {
	if !postgres {
		return nil
	}
	_, err := tx.ExecContext(ctx, `SELECT set_config('urdir.workshop', $1, true)`, workshop)
	return wrap(err)
}

// Put keeps one row of a table as it is given; values are string, int64 or []byte.
// Rows of a workshop come after the workshop.
type Put func(table string, columns []string, row []any) error

// Fill keeps rows, all of them or none. A workshop that is there already is
// ErrExists.
func (db *DB) Fill(ctx context.Context, rows func(Put) error) error {
	tx, err := db.write.BeginTx(ctx, nil)
	if err != nil {
		return wrap(err)
	}
	defer func() { _ = tx.Rollback() }() // after Commit it does nothing
	if err := fill(ctx, tx, db.postgres, rows); err != nil {
		return err
	}
	return wrap(tx.Commit())
}

func fill(ctx context.Context, tx *sql.Tx, postgres bool, rows func(Put) error) error {
	ready, on := map[string]*sql.Stmt{}, ""
	return rows(func(name string, columns []string, row []any) error {
		t, ok := TableNamed(name)
		if !ok || len(columns) != len(row) {
			return fmt.Errorf("store: a row of %d values for %d columns of %q", len(row), len(columns), name)
		}
		key := name + " " + strings.Join(columns, " ")
		if ready[key] == nil {
			places := make([]string, len(columns))
			for i, c := range columns {
				if _, ok := t.Column(c); !ok {
					return fmt.Errorf("store: table %s has no column %q", name, c)
				}
				places[i] = fmt.Sprintf("$%d", i+1)
			}
			statement, err := tx.PrepareContext(ctx, `INSERT INTO `+name+` (`+strings.Join(columns, ", ")+`) VALUES (`+strings.Join(places, ", ")+`)`)
			if err != nil {
				return wrap(err)
			}
			ready[key] = statement // closed with the transaction
		}
		for i, c := range columns {
			if w, is := row[i].(string); is && c == "workshop" && w != on {
				if err := setWorkshop(ctx, tx, postgres, w); err != nil {
					return err
				}
				on = w
			}
		}
		if _, err := ready[key].ExecContext(ctx, row...); err != nil {
			return fmt.Errorf("%s: %w", name, wrap(err))
		}
		return nil
	})
}

// Refill keeps rows in the place of all that is there, all of them or none, on
// PostgreSQL; a SQLite file is swapped (Swap). Nobody else writes from when keep
// begins, which is to put what is there aside.
func (db *DB) Refill(ctx context.Context, keep func() error, rows func(Put) error) error {
	if !db.postgres {
		return errors.New("store: Refill is for PostgreSQL")
	}
	tx, err := db.write.BeginTx(ctx, nil)
	if err != nil {
		return wrap(err)
	}
	defer func() { _ = tx.Rollback() }() // after Commit it does nothing
	var names []string
	for _, t := range Tables {
		names = append(names, t.Name)
	}
	if _, err = tx.ExecContext(ctx, `LOCK TABLE `+strings.Join(names, ", ")+` IN EXCLUSIVE MODE`); err != nil {
		return wrap(err)
	}
	if err = keep(); err != nil {
		return err
	}
	was, err := (&Reader{tx, ctx, true}).Workshops()
	if err != nil {
		return err
	}
	for _, w := range was {
		if err = setWorkshop(ctx, tx, true, w.ID); err != nil {
			return err
		}
		for _, t := range slices.Backward(Tables) {
			if _, err = tx.ExecContext(ctx, `DELETE FROM `+t.Name+` WHERE `+t.Of, w.ID); err != nil {
				return wrap(err)
			}
		}
	}
	if err := fill(ctx, tx, true, rows); err != nil {
		return err
	}
	return wrap(tx.Commit())
}

// CopyTo gives every row of some workshops to put.
func (r *Reader) CopyTo(put Put, workshops []Workshop) error {
	for _, t := range Tables {
		for _, w := range workshops {
			if err := r.Rows(w.ID, t, t.Names(), func(row []any) error { return put(t.Name, t.Names(), row) }); err != nil {
				return err
			}
		}
	}
	return nil
}

// Version is the version of the database's tables; Newest is that of this
// program's.
func (db *DB) Version(ctx context.Context) (int64, error) {
	p, err := db.provider()
	if err != nil {
		return 0, err
	}
	is, _, err := p.GetVersions(ctx)
	return is, wrap(err)
}

// Newest is described with Version.
func Newest() (int64, error) {
	db, err := connect(":memory:")
	if err != nil {
		return 0, err
	}
	defer func() { _ = db.Close() }() // nothing is in it
	p, err := db.provider()
	if err != nil {
		return 0, err
	}
	all := p.ListSources()
	return all[len(all)-1].Version, nil
}

// OpenAt makes a SQLite file with the tables of a former version, to be filled
// with what was written at that version; Open then brings it up to date.
func OpenAt(ctx context.Context, path string, version int64) (*DB, error) {
	db, err := connect(path)
	if err != nil {
		return nil, err
	}
	p, err := db.provider()
	if err == nil {
		_, err = p.UpTo(ctx, version)
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("migrate to version %d: %w", version, wrap(err)), db.Close())
	}
	return db, nil
}

// IsPostgres says whether an address is one of PostgreSQL, and not a path.
func IsPostgres(address string) bool {
	return strings.HasPrefix(address, "postgres://") || strings.HasPrefix(address, "postgresql://")
}

// Clock is the time by the database's server; zero for a file, which has none.
func (db *DB) Clock(ctx context.Context) (now time.Time, err error) {
	if db.postgres {
		err = db.read.QueryRowContext(ctx, `SELECT now()`).Scan(&now)
	}
	return now, wrap(err)
}
