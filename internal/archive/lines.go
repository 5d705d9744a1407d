package archive

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"urdir/check"
	"urdir/internal/store"
)

// table reads the lines of one table and puts each.
func (in *incoming) table(t store.Table) error {
	name := tablesFolder + t.Name + ".jsonl"
	if _, there := in.entries[name]; !there {
		if _, told := in.m.Tables[t.Name]; told {
			return in.faults.wrong(name, 0, "export-table-missing", nil)
		}
		return nil // not of that version, or left out
	}
	r, err := in.open(name, maxTotal)
	if err != nil {
		return in.faults.wrong(name, 0, "export-unreadable", check.Args{"reason": err.Error()})
	}
	defer func() { _ = r.Close() }() // only read
	tally := tableTally{Sums: map[string]int64{}}
	lines := bufio.NewScanner(r)
	lines.Buffer(make([]byte, 1<<16), maxLine)
	for n := 1; lines.Scan(); n++ {
		if err := in.row(t, name, n, lines.Bytes(), &tally); err != nil {
			return err
		}
	}
	in.tallies[t.Name] = tally
	switch err := lines.Err(); {
	case errors.Is(err, bufio.ErrTooLong):
		return in.faults.wrong(name, int(tally.Rows)+1, "export-line-long", check.Args{"most": maxLine >> 20})
	case errors.Is(err, errBomb):
		return in.faults.wrong(in.file, 0, "export-bomb", check.Args{"name": name})
	case err != nil:
		return in.faults.wrong(name, 0, "export-unreadable", check.Args{"reason": err.Error()})
	}
	return nil
}

// row reads one line and puts it.
func (in *incoming) row(t store.Table, file string, line int, text []byte, tally *tableTally) error {
	tally.Rows++
	fields, err := readLine(text)
	if err != nil {
		return in.faults.wrong(file, line, "export-line", check.Args{"reason": err.Error()})
	}
	columns, values := []string{}, []any{}
	out := outColumns(t, true)
	for _, c := range out {
		v, there := fields[c.Name]
		delete(fields, c.Name)
		if !there {
			if c.Secret && !in.m.Accounts {
				v = "" // nobody signs in by it
			} else if in.old() {
				continue // a later version's; the tables know what it is without
			} else if err := in.faults.wrong(file, line, "export-column-missing", check.Args{"column": c.Name}); err != nil {
				return err
			} else {
				continue
			}
		}
		if !fits(c, v) {
			if err := in.faults.wrong(file, line, "export-value", check.Args{"column": c.Name, "text": fmt.Sprintf("%.60v", v)}); err != nil {
				return err
			}
			continue
		}
		if n, is := v.(json.Number); is {
			v, _ = n.Int64() // fits has seen it
		}
		columns, values = append(columns, c.Name), append(values, v)
		if whole, is := v.(int64); is && c.Sum {
			tally.Sums[c.Name] += whole
		}
	}
	for name := range fields {
		if err := in.faults.wrong(file, line, "export-column-unknown", check.Args{"column": fmt.Sprintf("%.60s", name)}); err != nil {
			return err
		}
	}
	if len(columns) < len(out) && !in.old() {
		return nil
	}
	return in.keep(t, file, line, columns, values)
}

// old says whether the export is of a former version of the tables.
func (in *incoming) old() bool {
	newest, err := store.Newest()
	return err == nil && in.m.Schema < newest
}

// keep puts a row that reads well, if it is of a workshop of the export.
func (in *incoming) keep(t store.Table, file string, line int, columns []string, values []any) error {
	of := func(column string) string {
		if i := slices.Index(columns, column); i >= 0 {
			return fmt.Sprint(values[i])
		}
		return ""
	}
	workshop := of("workshop")
	if t.Name == "workshops" {
		workshop = of("id")
	}
	if workshop != "" && !in.known[workshop] {
		return in.faults.wrong(file, line, "export-workshop", check.Args{"text": fmt.Sprintf("%.60s", workshop)})
	}
	if i := slices.Index(columns, "path"); t.Name == "files" && i >= 0 {
		body, err := in.body(file, line, of("path"), of("sha256"))
		if body == nil {
			return err
		}
		columns, values = append(columns[:i:i], "body"), append(values[:i:i], any(body))
	}
	err := in.put(t.Name, columns, values)
	switch {
	case errors.Is(err, store.ErrExists):
		return in.faults.wrong(file, line, "export-row-twice", nil)
	case errors.Is(err, store.ErrAway):
		return err
	case err != nil:
		return in.faults.wrong(file, line, "export-row", check.Args{"reason": err.Error()})
	}
	return nil
}

// readLine reads a JSON object of texts and whole numbers; names twice in it are
// refused, as which of them is meant is anybody's guess.
func readLine(text []byte) (map[string]any, error) {
	if !utf8.Valid(text) {
		return nil, errors.New("not UTF-8")
	}
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	if t, err := d.Token(); err != nil || t != json.Delim('{') {
		return nil, errors.New("no JSON object")
	}
	out := map[string]any{}
	for d.More() {
		name, err := d.Token()
		if err != nil {
			return nil, err
		}
		value, err := d.Token()
		if err != nil {
			return nil, err
		}
		if _, nested := value.(json.Delim); nested {
			return nil, fmt.Errorf("%q is neither text nor a number", name)
		}
		key, _ := name.(string) // of an object it is
		if _, twice := out[key]; twice {
			return nil, fmt.Errorf("%q twice", key)
		}
		out[key] = value
	}
	if _, err := d.Token(); err != nil {
		return nil, err
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return nil, errors.New("more than one JSON object")
	}
	return out, nil
}

// fits says whether a value is one of a column.
func fits(c store.Column, v any) bool {
	if c.Type == store.WholeColumn {
		n, is := v.(json.Number)
		if !is {
			return false
		}
		_, err := n.Int64()
		return err == nil
	}
	s, is := v.(string)
	return is && !strings.ContainsRune(s, 0)
}
