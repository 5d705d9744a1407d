package store

import (
	"database/sql"
	"fmt"
)

// Number is the number of a paper, on the record it is on.
type Number struct {
	Series   string
	Year     int
	N        int64
	Kind, ID string
}

// counter is the name of the counter of a series in a year.
func (n Number) counter() string { return fmt.Sprintf("number.%s.%d", n.Series, n.Year) }

// NextNumber gives the next number of a series in a year, to be kept with
// KeepNumber in the same transaction. Nobody else gets one of the series until it
// ends, so that there are no gaps.
func (t *Tx) NextNumber(series string, year int) (Number, error) {
	n := Number{Series: series, Year: year}
	var err error
	n.N, err = t.next(n.counter())
	return n, err
}

// KeepNumber keeps which record has a number.
func (t *Tx) KeepNumber(n Number) error {
	_, err := t.exec(`INSERT INTO numbers (workshop, series, year, n, kind, id, at) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		t.workshop, n.Series, n.Year, n.N, n.Kind, n.ID, stamp(t.act.At))
	return err
}

// Numbers gives every number that was given out, in order.
func (t *Tx) Numbers() ([]Number, error) {
	return rows(t, func(r *sql.Rows) (n Number, err error) {
		err = r.Scan(&n.Series, &n.Year, &n.N, &n.Kind, &n.ID)
		return n, err
	}, `SELECT series, year, n, kind, id FROM numbers WHERE workshop = $1 ORDER BY series, year, n`, t.workshop)
}
