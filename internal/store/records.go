package store

import (
	"database/sql"
	"errors"
	"fmt"
	"strings"
	"time"
)

// Record is something described. Kind and ID name it; Revision grows by one
// with every change and is 0 for one not yet kept.
type Record struct {
	Kind, ID string
	Revision int64
	Parent   string // the record it is part of, or empty
	State    string // what lists filter by, or empty
	Sort     string // the order of lists
	Words    string // what a search finds it by, folded
	Body     string // JSON
}

const recordColumns = `kind, id, revision, parent, state, sort, words, body`

func scanRecord(r *sql.Rows) (Record, error) {
	var v Record
	err := r.Scan(&v.Kind, &v.ID, &v.Revision, &v.Parent, &v.State, &v.Sort, &v.Words, &v.Body)
	return v, err
}

// Get gives one record, or ErrNotFound.
func (t *Tx) Get(kind, id string) (Record, error) {
	found, err := rows(t, scanRecord, `SELECT `+recordColumns+` FROM records
		WHERE workshop = $1 AND kind = $2 AND id = $3`, t.workshop, kind, id)
	if err == nil && len(found) == 0 {
		err = fmt.Errorf("%s %s: %w", kind, id, ErrNotFound)
	}
	if err != nil {
		return Record{}, err
	}
	return found[0], nil
}

// Put keeps a record and gives its new revision. A record with revision 0 is
// new (ErrExists if it is not); any other must be at the revision it was read
// at, else the error is a *Conflict.
func (t *Tx) Put(r Record) (int64, error) {
	if r.Revision == 0 {
		revision, err := t.insert(r)
		if err != nil {
			return 0, err
		}
		return revision, t.remember(r.Kind, r.ID, revision, "")
	}
	now, err := t.at(r.Kind, r.ID, r.Revision)
	if err != nil {
		return 0, err
	}
	_, err = t.exec(`UPDATE records SET revision = revision + 1, parent = $4, state = $5, sort = $6, words = $7, body = $8
		WHERE workshop = $1 AND kind = $2 AND id = $3`,
		t.workshop, r.Kind, r.ID, r.Parent, r.State, r.Sort, r.Words, r.Body)
	if err != nil {
		return 0, err
	}
	return r.Revision + 1, t.remember(r.Kind, r.ID, r.Revision+1, now.Body)
}

// insert keeps a new record. One that was removed and comes again goes on where
// its revisions ended, so that nobody takes it for the one they read.
func (t *Tx) insert(r Record) (revision int64, err error) {
	err = t.tx.QueryRowContext(t.ctx, `
		INSERT INTO records (workshop, `+recordColumns+`) VALUES ($1, $2, $3,
			(SELECT coalesce(max(revision), 0) + 1 FROM history WHERE workshop = $1 AND kind = $2 AND id = $3), $4, $5, $6, $7, $8)
		ON CONFLICT DO NOTHING RETURNING revision`,
		t.workshop, r.Kind, r.ID, r.Parent, r.State, r.Sort, r.Words, r.Body).Scan(&revision)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, fmt.Errorf("%s %s: %w", r.Kind, r.ID, ErrExists)
	}
	return revision, wrap(err)
}

// at gives a record if it is at a revision.
func (t *Tx) at(kind, id string, revision int64) (Record, error) {
	now, err := t.Get(kind, id)
	if err == nil && now.Revision != revision {
		err = &Conflict{now}
	}
	return now, err
}

// Remove takes a record away; its last body stays in the history.
func (t *Tx) Remove(kind, id string, revision int64) error {
	now, err := t.at(kind, id, revision)
	if err != nil {
		return err
	}
	if _, err := t.exec(`DELETE FROM records WHERE workshop = $1 AND kind = $2 AND id = $3`, t.workshop, kind, id); err != nil {
		return err
	}
	return t.remember(kind, id, 0, now.Body)
}

// Query says which records a list has. Empty fields do not narrow it.
type Query struct {
	Kind   string
	Parent string
	States []string
	Words  []string // each must be in the record's words; folded
	After  string   // the cursor a former List gave
	Limit  int      // 0: all
	Down   bool     // last first
}

// cut parts a cursor's fields. Only the last may hold it.
const cut = "\x1f"

// List gives records in the order of Sort, and where to go on: empty at the end.
func (t *Tx) List(q Query) (found []Record, next string, err error) {
	where, args := q.where(t.workshop)
	order := " ORDER BY sort, id, kind"
	if q.Down {
		order = " ORDER BY sort DESC, id DESC, kind DESC"
	}
	if q.Limit > 0 {
		args = append(args, q.Limit+1)
		order += fmt.Sprintf(" LIMIT $%d", len(args))
	}
	found, err = rows(t, scanRecord, `SELECT `+recordColumns+` FROM records WHERE `+where+order, args...)
	if err == nil && q.Limit > 0 && len(found) > q.Limit {
		found = found[:q.Limit]
		last := found[q.Limit-1]
		next = strings.Join([]string{last.Kind, last.ID, last.Sort}, cut)
	}
	return found, next, err
}

// Count is how many records List gives without a limit.
func (t *Tx) Count(q Query) (n int, err error) {
	q.After = ""
	where, args := q.where(t.workshop)
	err = t.tx.QueryRowContext(t.ctx, `SELECT count(*) FROM records WHERE `+where, args...).Scan(&n)
	return n, wrap(err)
}

func (q Query) where(workshop string) (string, []any) {
	parts, args := []string{"workshop = $1"}, []any{workshop}
	add := func(part string, values ...any) {
		for _, v := range values {
			args = append(args, v)
			part = strings.Replace(part, "?", fmt.Sprintf("$%d", len(args)), 1)
		}
		parts = append(parts, part)
	}
	if q.Kind != "" {
		add("kind = ?", q.Kind)
	}
	if q.Parent != "" {
		add("parent = ?", q.Parent)
	}
	if len(q.States) > 0 {
		values := make([]any, len(q.States))
		for i, s := range q.States {
			values[i] = s
		}
		add("state IN (?"+strings.Repeat(", ?", len(values)-1)+")", values...)
	}
	for _, w := range q.Words {
		add(`words LIKE ? ESCAPE '\'`, "%"+strings.NewReplacer(`\`, `\\`, "%", `\%`, "_", `\_`).Replace(w)+"%")
	}
	if after := strings.SplitN(q.After, cut, 3); len(after) == 3 {
		sign := ">"
		if q.Down {
			sign = "<"
		}
		add("(sort, id, kind) "+sign+" (?, ?, ?)", after[2], after[1], after[0])
	}
	return strings.Join(parts, " AND "), args
}

// Entry is one line of the history.
type Entry struct {
	Seq      int64
	At       time.Time
	Who      string
	Act      string
	Kind, ID string
	Revision int64  // after the act; 0 if it was removed
	Before   string // the body before it; empty if there was none
}

// remember writes the act into the history.
func (t *Tx) remember(kind, id string, revision int64, before string) error {
	if t.act.What == "" {
		return errors.New("store: a change outside Update")
	}
	t.changed = append(t.changed, Changed{kind, id, before})
	seq, err := t.next("history")
	if err != nil {
		return err
	}
	_, err = t.exec(`INSERT INTO history (workshop, seq, at, who, act, kind, id, revision, body) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
		t.workshop, seq, stamp(t.act.At), t.act.Who, t.act.What, kind, id, revision, before)
	return err
}

// History gives what was done to a record, or with an empty kind to all of the
// workshop, the last first. A limit of 0 gives all.
func (t *Tx) History(kind, id string, limit int) ([]Entry, error) {
	q, args := `SELECT seq, at, who, act, kind, id, revision, body FROM history WHERE workshop = $1`, []any{t.workshop}
	if kind != "" {
		q, args = q+` AND kind = $2 AND id = $3`, append(args, kind, id)
	}
	q += ` ORDER BY seq DESC`
	if limit > 0 {
		args = append(args, limit)
		q += fmt.Sprintf(` LIMIT $%d`, len(args))
	}
	return rows(t, func(r *sql.Rows) (Entry, error) {
		var e Entry
		var at string
		err := r.Scan(&e.Seq, &at, &e.Who, &e.Act, &e.Kind, &e.ID, &e.Revision, &e.Before)
		e.At = unstamp(at)
		return e, err
	}, q, args...)
}
