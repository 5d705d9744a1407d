package store

import (
	"fmt"
	"strings"
)

// Written is a text that someone wrote, and where it stands. Kind and ID name the
// record it is of, and Body is what stands in the same row, if it is of one.
type Written struct{ Table, Column, Kind, ID, Body, Text string }

// Redact has f rewrite everything people wrote in the workshop, its history too,
// and gives how many rows are others. It is for those who ask to be forgotten;
// the history does not say what it said before, only that it was done.
func (t *Tx) Redact(f func(Written) string) (changed int, err error) {
	if t.act.What == "" {
		return 0, fmt.Errorf("store: a change outside Update")
	}
	for _, table := range Tables {
		n, err := t.redactTable(table, f)
		if err != nil {
			return 0, fmt.Errorf("%s: %w", table.Name, err)
		}
		changed += n
	}
	return changed, nil
}

// redactTable rewrites one table. All of it is read before the first row is
// written, as a row may not be changed under a cursor.
func (t *Tx) redactTable(table Table, f func(Written) string) (changed int, err error) {
	var prose []string
	for _, c := range table.Columns {
		if c.Prose {
			prose = append(prose, c.Name)
		}
	}
	if len(prose) == 0 {
		return 0, nil
	}
	columns := table.Names()
	at := map[string]int{}
	for i, c := range columns {
		at[c] = i
	}
	type row struct{ was, now []any }
	var found []row
	r := Reader{t.tx, t.ctx, false} // the workshop is set
	err = r.Rows(t.workshop, table, columns, func(values []any) error {
		was := append([]any{}, values...)
		now := append([]any{}, values...)
		w := Written{Table: table.Name}
		if i, ok := at["kind"]; ok {
			w.Kind, w.ID = was[i].(string), was[at["id"]].(string)
		}
		if i, ok := at["body"]; ok {
			w.Body = was[i].(string)
		}
		same := true
		for _, c := range prose {
			w.Column, w.Text = c, was[at[c]].(string)
			now[at[c]] = f(w)
			same = same && now[at[c]] == was[at[c]]
		}
		if !same {
			found = append(found, row{was, now})
		}
		return nil
	})
	if err != nil {
		return 0, err
	}
	for _, x := range found {
		var sets, where []string
		var args []any
		for _, c := range prose {
			args = append(args, x.now[at[c]])
			sets = append(sets, fmt.Sprintf("%s = $%d", c, len(args)))
		}
		for _, c := range table.Key {
			args = append(args, x.was[at[c]])
			where = append(where, fmt.Sprintf("%s = $%d", c, len(args)))
		}
		if _, err := t.exec(`UPDATE `+table.Name+` SET `+strings.Join(sets, ", ")+` WHERE `+strings.Join(where, " AND "), args...); err != nil {
			return 0, err
		}
	}
	return len(found), nil
}
