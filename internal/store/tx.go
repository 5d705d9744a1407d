package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"
	"time"
)

// Act is what someone does in one Update.
type Act struct {
	At   time.Time
	Who  string // account
	What string // a word like "order.save"
}

// Tx is a transaction on one workshop.
type Tx struct {
	tx       *sql.Tx
	ctx      context.Context
	workshop string
	act      Act
	changed  []Changed
	told     bool
}

// Workshop is the workshop the transaction is for.
func (t *Tx) Workshop() string { return t.workshop }

// ErrNotFound says that there is no such record.
var ErrNotFound = errors.New("not found")

// ErrExists says that something of this name is there already.
var ErrExists = errors.New("exists already")

// ErrAway says that the database does not answer or cannot write now; trying
// again later may help.
var ErrAway = errors.New("the database does not answer")

// Conflict says that someone else changed the record since it was read. Now is
// the record as it is.
type Conflict struct{ Now Record }

func (c *Conflict) Error() string {
	return fmt.Sprintf("%s %s: changed by someone else, now at revision %d", c.Now.Kind, c.Now.ID, c.Now.Revision)
}

// timeText is how points in time are kept: sortable, to the microsecond, UTC.
const timeText = "2006-01-02T15:04:05.000000Z"

func stamp(t time.Time) string { return t.UTC().Format(timeText) }

func unstamp(s string) time.Time {
	t, err := time.Parse(timeText, s)
	if err != nil {
		return time.Time{}
	}
	return t
}

func (t *Tx) exec(query string, args ...any) (int64, error) {
	r, err := t.tx.ExecContext(t.ctx, query, args...)
	if err != nil {
		return 0, wrap(err)
	}
	n, err := r.RowsAffected()
	return n, wrap(err)
}

// next gives the next number of a name. The row stays locked until the
// transaction ends, so numbers have no gaps.
func (t *Tx) next(name string) (int64, error) {
	var n int64
	err := t.tx.QueryRowContext(t.ctx, `
		INSERT INTO counters (workshop, name, last) VALUES ($1, $2, 1)
		ON CONFLICT (workshop, name) DO UPDATE SET last = counters.last + 1
		RETURNING last`, t.workshop, name).Scan(&n)
	return n, wrap(err)
}

// Next gives the next number of a name that users see, like orders and pieces.
func (t *Tx) Next(name string) (int64, error) { return t.next("user." + name) }

// rows runs a query and scans every row.
func rows[T any](t *Tx, scan func(*sql.Rows) (T, error), query string, args ...any) ([]T, error) {
	rs, err := t.tx.QueryContext(t.ctx, query, args...)
	if err != nil {
		return nil, wrap(err)
	}
	defer func() { _ = rs.Close() }() // rs.Err tells what matters
	var out []T
	for rs.Next() {
		v, err := scan(rs)
		if err != nil {
			return nil, wrap(err)
		}
		out = append(out, v)
	}
	return out, wrap(rs.Err())
}

// Mark is how much was ever done in the workshop: it grows with every change,
// so that what was reckoned at a mark still holds while the mark is the same.
func (t *Tx) Mark() (string, error) {
	found, err := rows(t, func(r *sql.Rows) (string, error) {
		var name string
		var last int64
		err := r.Scan(&name, &last)
		return fmt.Sprintf("%s %d;", name, last), err
	}, `SELECT name, last FROM counters WHERE workshop = $1 AND name IN ('entries', 'history', 'moves') ORDER BY name`, t.workshop)
	return strings.Join(found, ""), err
}
