package store

import (
	"database/sql"
	"encoding/json"
	"fmt"
	"slices"
	"time"
)

// Posting is an entry of the books of money: what happened, and its lines, which
// add up to nothing in each currency. It is never changed.
type Posting struct {
	Seq      int64
	At       time.Time // when it was written
	Who, Act string
	Date     string // of the event
	Text     string
	Document string
	Source   string // the fact it was written for, or empty
	Settles  string
	Reverses int64
	Closes   string
	Lines    []PostingLine
}

// PostingLine moves an amount of an account: a debit is above nothing, a credit
// below.
type PostingLine struct {
	Account  string
	Currency string
	Minor    int64
	Item     string
	Tags     map[string]string
}

// ClosingTag is the tag by which the lines of closings are summed up.
const ClosingTag = "closes"

// Post writes an entry and gives its number. That it balances is looked at here
// too, since nobody can mend it afterwards; what else it must be is the caller's.
func (t *Tx) Post(e Posting) (int64, error) {
	off := map[string]int64{}
	for _, l := range e.Lines {
		off[l.Currency] += l.Minor
	}
	for code, minor := range off {
		if minor != 0 {
			return 0, fmt.Errorf("store: an entry off by %d %s", minor, code)
		}
	}
	seq, err := t.next("entries")
	if err != nil {
		return 0, err
	}
	_, err = t.exec(`INSERT INTO entries (workshop, seq, at, who, act, date, text, document, source, settles, reverses, closes)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)`,
		t.workshop, seq, stamp(t.act.At), t.act.Who, t.act.What, e.Date, e.Text, e.Document, e.Source, e.Settles, e.Reverses, e.Closes)
	if err != nil {
		return 0, err
	}
	for i, l := range e.Lines {
		if err := t.line(seq, i+1, e, l); err != nil {
			return 0, err
		}
	}
	return seq, nil
}

// line writes a line, and adds it to the sums and items beside.
func (t *Tx) line(seq int64, n int, e Posting, l PostingLine) error {
	tags := ""
	if len(l.Tags) > 0 {
		b, err := json.Marshal(l.Tags)
		if err != nil {
			return err
		}
		tags = string(b)
	}
	_, err := t.exec(`INSERT INTO lines (workshop, entry, n, date, account, currency, minor, item, tags) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
		t.workshop, seq, n, e.Date, l.Account, l.Currency, l.Minor, l.Item, tags)
	if err != nil {
		return err
	}
	for _, k := range sumKeys(e.Closes, l.Tags) {
		_, err = t.exec(`INSERT INTO sums (workshop, tag, account, value, currency, date, debit, credit) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)
			ON CONFLICT (workshop, tag, account, value, currency, date) DO UPDATE SET debit = sums.debit + $7, credit = sums.credit + $8`,
			t.workshop, k[0], l.Account, k[1], l.Currency, e.Date, max(0, l.Minor), max(0, -l.Minor))
		if err != nil {
			return err
		}
	}
	if l.Item == "" {
		return nil
	}
	_, err = t.exec(`INSERT INTO items (workshop, account, item, currency, minor) VALUES ($1, $2, $3, $4, $5)
		ON CONFLICT (workshop, account, item, currency) DO UPDATE SET minor = items.minor + $5`,
		t.workshop, l.Account, l.Item, l.Currency, l.Minor)
	return err
}

// sumKeys is the tags and values a line is summed up by, the empty ones first.
func sumKeys(closes string, tags map[string]string) [][2]string {
	keys := [][2]string{{}}
	if closes != "" {
		keys = append(keys, [2]string{ClosingTag, closes})
	}
	names := make([]string, 0, len(tags))
	for k := range tags {
		names = append(names, k)
	}
	slices.Sort(names) // rows are locked in one order
	for _, k := range names {
		keys = append(keys, [2]string{k, tags[k]})
	}
	return keys
}

const postingColumns = `seq, at, who, act, date, text, document, source, settles, reverses, closes`

func scanPosting(r *sql.Rows) (Posting, error) {
	var e Posting
	var at string
	err := r.Scan(&e.Seq, &at, &e.Who, &e.Act, &e.Date, &e.Text, &e.Document, &e.Source, &e.Settles, &e.Reverses, &e.Closes)
	e.At = unstamp(at)
	return e, err
}

// Posting gives an entry, or ErrNotFound.
func (t *Tx) Posting(seq int64) (Posting, error) {
	found, err := t.postings(`AND seq = $2`, seq)
	if err == nil && len(found) == 0 {
		err = fmt.Errorf("entry %d: %w", seq, ErrNotFound)
	}
	if err != nil {
		return Posting{}, err
	}
	return found[0], nil
}

// postings reads entries with their lines.
func (t *Tx) postings(where string, args ...any) ([]Posting, error) {
	out, err := rows(t, scanPosting, `SELECT `+postingColumns+` FROM entries WHERE workshop = $1 `+where, append([]any{t.workshop}, args...)...)
	if err != nil {
		return nil, err
	}
	return out, t.readLines(out)
}

func readTags(text string) (tags map[string]string, err error) {
	if text != "" {
		err = json.Unmarshal([]byte(text), &tags)
	}
	return tags, err
}

// Undone gives the entry that undoes another, or 0.
func (t *Tx) Undone(seq int64) (int64, error) {
	found, err := rows(t, scanInt, `SELECT seq FROM entries WHERE workshop = $1 AND reverses = $2 AND reverses <> 0`, t.workshop, seq)
	if err != nil || len(found) == 0 {
		return 0, err
	}
	return found[0], nil
}

func scanInt(r *sql.Rows) (n int64, err error) {
	err = r.Scan(&n)
	return n, err
}

// PostedFor gives the entries that were written for a fact, or for all facts
// whose name begins so, and were not undone, in order.
func (t *Tx) PostedFor(source string, begins bool) ([]Posting, error) {
	where := `AND source <> '' AND source = $2`
	args := []any{source}
	if begins { // as a range, which the index serves
		where, args = `AND source <> '' AND source >= $2 AND source < $3`, append(args, source+"\U0010FFFF")
	}
	return t.postings(where+` AND reverses = 0 AND NOT EXISTS
		(SELECT 1 FROM entries r WHERE r.workshop = $1 AND r.reverses = entries.seq AND r.reverses <> 0) ORDER BY seq`, args...)
}

// Settled says whether something was paid and its payment not undone.
func (t *Tx) Settled(name string) (bool, error) {
	found, err := rows(t, scanInt, `SELECT reverses FROM entries WHERE workshop = $1 AND settles = $2 AND settles <> '' ORDER BY seq DESC LIMIT 1`, t.workshop, name)
	return len(found) > 0 && found[0] == 0, err
}

// Closings gives the closings that were not undone, in order.
func (t *Tx) Closings() ([]Posting, error) {
	return t.postings(`AND closes <> '' AND reverses = 0 AND NOT EXISTS
		(SELECT 1 FROM entries r WHERE r.workshop = $1 AND r.reverses = entries.seq AND r.reverses <> 0) ORDER BY seq`)
}
