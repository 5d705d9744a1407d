package store

import (
	"database/sql"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"
)

// Move is material that went from one place to another. What comes in from
// outside comes from the place "outside".
type Move struct {
	Seq        int64
	At         time.Time
	Who, Act   string
	Lot        string
	Milligrams int64 // above zero
	From, To   string
}

// Short says that a place does not hold as much as was to be taken from it.
type Short struct {
	Place, Lot   string
	Have, Wanted int64 // milligrams
}

func (s *Short) Error() string {
	return fmt.Sprintf("%s has %d mg of %s, not %d", s.Place, s.Have, s.Lot, s.Wanted)
}

// Turned begins the name of a place in which one lot becomes another: as much as
// comes of the one leaves as the other, so all lots together come to nothing.
const Turned = "dyed:"

// endless reports whether a place may give more of a lot than it holds: the world
// outside, and where lots are turned into others.
func endless(place string) bool { return place == "outside" || strings.HasPrefix(place, Turned) }

// Move moves material. The error is a *Short when there is not enough of it.
func (t *Tx) Move(lot string, milligrams int64, from, to string) error {
	if milligrams <= 0 || from == to {
		return fmt.Errorf("store: move of %d mg from %s to %s", milligrams, from, to)
	}
	if !endless(from) {
		var have int64
		err := t.tx.QueryRowContext(t.ctx, `SELECT coalesce(max(milligrams), 0) FROM stock WHERE workshop = $1 AND place = $2 AND lot = $3`,
			t.workshop, from, lot).Scan(&have)
		if err != nil {
			return wrap(err)
		}
		if have < milligrams {
			return &Short{from, lot, have, milligrams}
		}
	}
	if err := t.change(from, lot, -milligrams); err != nil {
		return err
	}
	if err := t.change(to, lot, milligrams); err != nil {
		return err
	}
	seq, err := t.next("moves")
	if err != nil {
		return err
	}
	_, err = t.exec(`INSERT INTO moves (workshop, seq, at, who, act, lot, milligrams, from_place, to_place)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
		t.workshop, seq, stamp(t.act.At), t.act.Who, t.act.What, lot, milligrams, from, to)
	return err
}

// change adds to what a place holds of a lot.
func (t *Tx) change(place, lot string, by int64) error {
	var now int64 // SQLite makes a sum that is no int64 a float, which Scan refuses
	err := t.tx.QueryRowContext(t.ctx, `
		INSERT INTO stock (workshop, place, lot, milligrams) VALUES ($1, $2, $3, $4)
		ON CONFLICT (workshop, place, lot) DO UPDATE SET milligrams = stock.milligrams + $4
		RETURNING milligrams`, t.workshop, place, lot, by).Scan(&now)
	return wrap(err)
}

// Stock is what a place holds of a lot.
type Stock struct {
	Place, Lot string
	Milligrams int64
}

// Held gives what lies at a place ("" for every place), of a lot ("" for every
// lot); places that hold nothing are left out.
func (t *Tx) Held(place, lot string) ([]Stock, error) {
	q, args := `SELECT place, lot, milligrams FROM stock WHERE workshop = $1 AND milligrams <> 0`, []any{t.workshop}
	if place != "" {
		args = append(args, place)
		q += fmt.Sprintf(` AND place = $%d`, len(args))
	}
	if lot != "" {
		args = append(args, lot)
		q += fmt.Sprintf(` AND lot = $%d`, len(args))
	}
	return rows(t, stockRow, q+` ORDER BY place, lot`, args...)
}

func stockRow(r *sql.Rows) (s Stock, err error) {
	err = r.Scan(&s.Place, &s.Lot, &s.Milligrams)
	return s, err
}

// HeldOf gives where lots lie, but in places whose names begin with a prefix: what
// went out of the house in pieces only becomes more.
func (t *Tx) HeldOf(but string, lots ...string) ([]Stock, error) {
	if len(lots) == 0 {
		return nil, nil
	}
	args := []any{t.workshop, utf8.RuneCountInString(but), but}
	in := oneOf(&args, lots)
	// Were it the order of an index, SQLite would go through all places for it instead
	// of those that have the lots.
	return rows(t, stockRow, `SELECT place, lot, milligrams FROM stock WHERE workshop = $1 AND lot `+in+` AND milligrams <> 0
		AND substr(place, 1, $2) <> $3 ORDER BY place || '', lot || ''`, args...)
}

// oneOf is the part of a statement that is true of some values; it adds them to the
// arguments.
func oneOf[T any](args *[]any, values []T) string {
	var in []string
	for _, v := range values {
		*args = append(*args, v)
		in = append(in, fmt.Sprintf("$%d", len(*args)))
	}
	return "IN (" + strings.Join(in, ", ") + ")"
}

// Moves gives the moves of a lot, or of a place, or with both empty all of
// them, in order.
func (t *Tx) Moves(lot, place string) ([]Move, error) {
	const columns = `seq, at, who, act, lot, milligrams, from_place, to_place`
	q, args, order := `SELECT `+columns+` FROM moves WHERE workshop = $1`, []any{t.workshop}, ` ORDER BY seq`
	if lot != "" {
		args = append(args, lot)
		q += fmt.Sprintf(` AND lot = $%d`, len(args))
		order += ` + 0` // not the key's, for which SQLite would read every move
	}
	if place != "" { // each half has an index; of an OR, SQLite takes one or none
		args = append(args, place)
		q = fmt.Sprintf(`SELECT %[1]s FROM (%[2]s AND from_place = $%[3]d UNION ALL %[2]s AND to_place = $%[3]d) part`, columns, q, len(args))
		order = ` ORDER BY seq + 0`
	}
	return rows(t, func(r *sql.Rows) (Move, error) {
		var m Move
		var at string
		err := r.Scan(&m.Seq, &at, &m.Who, &m.Act, &m.Lot, &m.Milligrams, &m.From, &m.To)
		m.At = unstamp(at)
		return m, err
	}, q+order, args...)
}

// Check compares what the places hold with the sum of the moves, and that
// no move and no entry of the history is missing, nor anything where lots are
// turned into others; and the same of the books of money, and their papers'
// numbers. It gives a line for each difference.
func (t *Tx) Check() (faults []string, err error) {
	f, err := t.Examine()
	return slices.Concat(f.Stock, f.History, f.Books, f.Numbers), err
}

// checkStock compares what the places hold with the sum of the moves.
func (t *Tx) checkStock() (faults []string, err error) {
	sums := map[[2]string]int64{}
	moves, err := t.Moves("", "")
	if err != nil {
		return nil, err
	}
	for _, m := range moves {
		sums[[2]string{m.From, m.Lot}] -= m.Milligrams
		sums[[2]string{m.To, m.Lot}] += m.Milligrams
	}
	held, err := t.Held("", "")
	if err != nil {
		return nil, err
	}
	turned := map[string]int64{}
	for _, s := range held {
		if strings.HasPrefix(s.Place, Turned) {
			turned[s.Place] += s.Milligrams
		}
		k := [2]string{s.Place, s.Lot}
		if sums[k] != s.Milligrams {
			faults = append(faults, fmt.Sprintf("%s holds %d mg of %s; its moves make %d", s.Place, s.Milligrams, s.Lot, sums[k]))
		}
		if s.Milligrams < 0 && !endless(s.Place) {
			faults = append(faults, fmt.Sprintf("%s holds less than nothing of %s", s.Place, s.Lot))
		}
		delete(sums, k)
	}
	for k, n := range sums {
		if n != 0 {
			faults = append(faults, fmt.Sprintf("%s should hold %d mg of %s and has nothing", k[0], n, k[1]))
		}
	}
	for place, n := range turned {
		if n != 0 {
			faults = append(faults, fmt.Sprintf("%s has %d mg more or less than came", place, n))
		}
	}
	slices.Sort(faults)
	return faults, nil
}

// checkCount compares how many rows a table has with the number of the last; the
// fault says the two numbers.
func (t *Tx) checkCount(table, fault string) ([]string, error) {
	var are, last int64
	err := t.tx.QueryRowContext(t.ctx, `SELECT (SELECT count(*) FROM `+table+` WHERE workshop = $1),
		coalesce((SELECT last FROM counters WHERE workshop = $1 AND name = $2), 0)`, t.workshop, table).Scan(&are, &last)
	if err != nil || are == last {
		return nil, wrap(err)
	}
	return []string{fmt.Sprintf(fault, are, last)}, nil
}
