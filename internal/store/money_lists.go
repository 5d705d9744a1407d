package store

import (
	"database/sql"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// PostingQuery says which entries a list has. Empty fields do not narrow it.
type PostingQuery struct {
	Account  string // a line of it is in
	Document string
	From, To string // dates, both with
	After    string // the cursor a former Postings gave
	Limit    int    // 0: all
	Down     bool   // last first
	// Wanted picks entries by what they say; of so many that are looked at (Looked), not
	// of all. Lines are not read yet.
	Wanted func(Posting) bool
}

// Looked is how many entries a list with Wanted looks at; where to go on is where it
// stopped looking. It keeps looking for words within a moment in books of any size.
const Looked = 20_000

// Postings gives entries by date, and where to go on: empty at the end.
func (t *Tx) Postings(q PostingQuery) (found []Posting, next string, err error) {
	if q.Wanted != nil {
		return t.wanted(q)
	}
	where, args := q.where(t.workshop)
	found, err = rows(t, scanPosting, `SELECT `+postingColumns+` FROM entries WHERE `+where, args...)
	if err != nil {
		return nil, "", err
	}
	if q.Limit > 0 && len(found) > q.Limit {
		found = found[:q.Limit]
		next = found[q.Limit-1].cursor()
	}
	return found, next, t.readLines(found)
}

// cursor is where a list goes on after an entry.
func (e Posting) cursor() string { return e.Date + cut + strconv.FormatInt(e.Seq, 10) }

// wanted looks through entries a thousand at a time until there are enough that are
// wanted, or enough were looked at.
func (t *Tx) wanted(q PostingQuery) (found []Posting, next string, err error) {
	const step = 1000
	most := q.Limit
	for looked := 0; looked < Looked; looked += step {
		q.Limit = step - 1
		where, args := q.where(t.workshop)
		some, err := rows(t, scanPosting, `SELECT `+postingColumns+` FROM entries WHERE `+where, args...)
		if err != nil {
			return nil, "", err
		}
		for i, e := range some {
			if !q.Wanted(e) {
				continue
			}
			if found = append(found, e); most > 0 && len(found) == most {
				if i < len(some)-1 || len(some) == step {
					next = e.cursor()
				}
				return found, next, t.readLines(found)
			}
		}
		if len(some) < step {
			return found, "", t.readLines(found)
		}
		q.After = some[len(some)-1].cursor()
	}
	return found, q.After, t.readLines(found)
}

// where is the conditions, order and limit. The entries of an account are found
// by its lines, which are in the order of the list.
func (q PostingQuery) where(workshop string) (string, []any) {
	date, seq := "date", "seq"
	if q.Account != "" {
		date, seq = "l.date", "l.entry"
	}
	parts, args := []string{}, []any{workshop}
	add := func(part string, values ...any) {
		for _, v := range values {
			args = append(args, v)
			part = strings.Replace(part, "?", fmt.Sprintf("$%d", len(args)), 1)
		}
		parts = append(parts, part)
	}
	if q.Account != "" {
		add("l.account = ?", q.Account)
	}
	if q.Document != "" {
		add("document <> '' AND document = ?", q.Document)
	}
	if q.From != "" {
		add(date+" >= ?", q.From)
	}
	if q.To != "" {
		add(date+" <= ?", q.To)
	}
	sign, order := ">", date+", "+seq
	if q.Down {
		sign, order = "<", date+" DESC, "+seq+" DESC"
	}
	if d, n, ok := strings.Cut(q.After, cut); ok {
		if at, err := strconv.ParseInt(n, 10, 64); err == nil {
			add("("+date+", "+seq+") "+sign+" (?, ?)", d, at)
		}
	}
	limit := ""
	if q.Limit > 0 {
		args = append(args, q.Limit+1)
		limit = fmt.Sprintf(" LIMIT $%d", len(args))
	}
	narrow := strings.Join(append([]string{""}, parts...), " AND ")
	if q.Account == "" {
		return "workshop = $1" + narrow + " ORDER BY " + order + limit, args
	}
	down := ""
	if q.Down {
		down = " DESC"
	}
	return "workshop = $1 AND seq IN (SELECT entry FROM (SELECT DISTINCT l.date, l.entry FROM lines l WHERE l.workshop = $1" + narrow +
		" ORDER BY " + order + limit + ") page) ORDER BY date" + down + ", seq" + down, args
}

// EachPosting goes through all entries in the order of their numbers, a page at a
// time, until f gives an error.
func (t *Tx) EachPosting(f func(Posting) error) error {
	const page = 1000
	for last := int64(0); ; {
		found, err := t.postingsAfter(last, page)
		if err != nil {
			return err
		}
		for _, e := range found {
			if err := f(e); err != nil {
				return err
			}
			last = e.Seq
		}
		if len(found) < page {
			return nil
		}
	}
}

// postingsAfter reads entries with their lines.
func (t *Tx) postingsAfter(last int64, limit int) ([]Posting, error) {
	out, err := rows(t, scanPosting, `SELECT `+postingColumns+` FROM entries WHERE workshop = $1 AND seq > $2 ORDER BY seq LIMIT $3`, t.workshop, last, limit)
	if err != nil || len(out) == 0 {
		return nil, err
	}
	return out, t.readLines(out)
}

// readLines reads the lines of entries, a few hundred in a statement.
func (t *Tx) readLines(es []Posting) error {
	byNumber := make(map[int64]*Posting, len(es))
	for i := range es {
		byNumber[es[i].Seq] = &es[i]
	}
	type numbered struct {
		entry int64
		line  PostingLine
	}
	for part := range slices.Chunk(es, 500) {
		numbers, args := make([]int64, len(part)), []any{t.workshop}
		for i, e := range part {
			numbers[i] = e.Seq
		}
		in := oneOf(&args, numbers)
		lines, err := rows(t, func(r *sql.Rows) (n numbered, err error) {
			var tags string
			if err = r.Scan(&n.entry, &n.line.Account, &n.line.Currency, &n.line.Minor, &n.line.Item, &tags); err == nil {
				n.line.Tags, err = readTags(tags)
			}
			return n, err
		}, `SELECT entry, account, currency, minor, item, tags FROM lines WHERE workshop = $1 AND entry `+in+` ORDER BY entry, n`, args...)
		if err != nil {
			return err
		}
		for _, n := range lines {
			e := byNumber[n.entry]
			e.Lines = append(e.Lines, n.line)
		}
	}
	return nil
}

// Sum is what was moved in an account, in one currency.
type Sum struct {
	Account, Value, Currency string
	Debit, Credit            int64
}

// Sums adds up what was moved in a time (empty: without end), by account and
// currency, and with a tag by its values as well; value and account narrow it.
func (t *Tx) Sums(tag, account, value, from, to string) ([]Sum, error) {
	q, args := `SELECT account, value, currency, sum(debit), sum(credit) FROM sums WHERE workshop = $1 AND tag = $2`, []any{t.workshop, tag}
	for _, c := range []struct{ part, value string }{{"account =", account}, {"value =", value}, {"date >=", from}, {"date <=", to}} {
		if c.value != "" {
			args = append(args, c.value)
			q += fmt.Sprintf(" AND %s $%d", c.part, len(args))
		}
	}
	return rows(t, sumRow, q+sumsBy, args...)
}

const sumsBy = ` GROUP BY account, value, currency ORDER BY account, value, currency`

// SumsOf adds up all that was moved in an account with some values of a tag.
func (t *Tx) SumsOf(tag, account string, values ...string) ([]Sum, error) {
	if len(values) == 0 {
		return nil, nil
	}
	args := []any{t.workshop, tag, account}
	in := oneOf(&args, values)
	return rows(t, sumRow, `SELECT account, value, currency, sum(debit), sum(credit) FROM sums WHERE workshop = $1 AND tag = $2 AND account = $3 AND value `+in+sumsBy, args...)
}

func sumRow(r *sql.Rows) (s Sum, err error) {
	err = r.Scan(&s.Account, &s.Value, &s.Currency, &s.Debit, &s.Credit)
	return s, err
}

// Item is what is open of an item of an account.
type Item struct {
	Account, Item, Currency string
	Minor                   int64
}

// OpenItems gives the items that are open, of an account ("" for all), or one item.
func (t *Tx) OpenItems(account, item string) ([]Item, error) {
	q, args := `SELECT account, item, currency, minor FROM items WHERE workshop = $1 AND minor <> 0`, []any{t.workshop}
	for _, c := range []struct{ part, value string }{{"account =", account}, {"item =", item}} {
		if c.value != "" {
			args = append(args, c.value)
			q += fmt.Sprintf(" AND %s $%d", c.part, len(args))
		}
	}
	return rows(t, func(r *sql.Rows) (i Item, err error) {
		err = r.Scan(&i.Account, &i.Item, &i.Currency, &i.Minor)
		return i, err
	}, q+` ORDER BY account, item, currency`, args...)
}

// ItemUntil is what was open of an item at the end of a day.
func (t *Tx) ItemUntil(i Item, date string) (minor int64, err error) {
	err = t.tx.QueryRowContext(t.ctx, `SELECT coalesce(sum(minor), 0) FROM lines WHERE workshop = $1 AND item <> '' AND item = $2 AND account = $3 AND currency = $4 AND date <= $5`,
		t.workshop, i.Item, i.Account, i.Currency, date).Scan(&minor)
	return minor, wrap(err)
}
