package workshop

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"urdir/check"
	"urdir/internal/store"
	"urdir/internal/tables"
)

// What a table can bring in.
const (
	ImportYarn      = "yarn"      // lots, and what the shelf holds of each
	ImportCustomers = "customers" // names and how they are reached
	ImportPrices    = "prices"    // what is offered at which price
)

// ImportKinds is every kind of table.
var ImportKinds = []string{ImportYarn, ImportCustomers, ImportPrices}

// RowState is what a row of a table would do.
type RowState string

const (
	RowNew     RowState = "new"
	RowChanged RowState = "changed"
	RowSame    RowState = "same" // everything is there already
	RowWrong   RowState = "wrong"
)

// ImportRow is a row of a table and what it would do.
type ImportRow struct {
	Line     int // of the file, from 1
	Name     string
	State    RowState
	Changes  []FieldChange
	Problems check.Problems // their paths are the columns' names
}

// FieldChange is one thing that would be another.
type FieldChange struct{ Field, Was, Now string }

// Preview is what a table would do. Nothing of it is done.
type Preview struct {
	Kind                      string
	Rows                      []ImportRow
	New, Changed, Same, Wrong int
	Ignored                   []string // headings that say nothing here
	Mark                      string   // of the workshop it was reckoned for
}

// importColumn is a column by its name, and the headings it is known by, folded:
// those of its words in either language, and what people write.
type importColumn struct {
	name  string
	known []string
}

// importer is what one kind of table brings in.
type importer struct {
	right   right
	columns []importColumn
	must    string // the column no table of the kind is without
	// begin looks up what is there, and gives what reads a row of the table.
	begin func(h *House, tx *store.Tx, t *importTable) (rowReader, error)
}

// rowReader reads a row and says what it would do.
type rowReader func(r tables.Row, out *ImportRow) (change, error)

// change does what a row would do; nil does nothing.
type change func(tx *store.Tx) error

// importers is every kind of table.
var importers = map[string]importer{
	ImportYarn:      {editYarn, yarnColumns, "label", yarnRows},
	ImportCustomers: {editSales, customerColumns, "name", customerRows},
	ImportPrices:    {editSales, priceColumns, "price", priceRows},
}

// importTable is a table that is being read.
type importTable struct {
	sheet   tables.Sheet
	at      map[string]int // column by name
	numbers tables.Numbers
	dates   tables.Dates
	seen    map[string]int // line by what names a row
	ids     map[string][]string
}

// cell gives a row's cell of a column by its name.
func (t *importTable) cell(r tables.Row, column string) tables.Cell {
	if i, ok := t.at[column]; ok {
		return r.Cell(i)
	}
	return tables.Cell{}
}

// set takes a cell's text over what was there; an empty cell leaves it.
func (t *importTable) set(r tables.Row, column string, field *string, out *ImportRow) {
	if now := t.cell(r, column).Text; now != "" && now != *field {
		out.Changes = append(out.Changes, FieldChange{column, *field, now})
		*field = now
	}
}

// number reads a cell's number; ok is false for an empty cell and for one that is
// none, which is a problem of the row.
func (t *importTable) number(r tables.Row, column string, out *ImportRow) (v float64, ok bool) {
	c := t.cell(r, column)
	if c.Text == "" {
		return 0, false
	}
	v, wrong := t.numbers.Parse(c)
	tables.Wrong(&out.Problems, column, wrong, c)
	return v, wrong == ""
}

// date takes a cell's date over what was there.
func (t *importTable) date(r tables.Row, column string, field *string, out *ImportRow) {
	c := t.cell(r, column)
	now, wrong := t.dates.Parse(c)
	tables.Wrong(&out.Problems, column, wrong, c)
	if now != "" && now != *field {
		out.Changes = append(out.Changes, FieldChange{column, *field, now})
		*field = now
	}
}

// find gives the id of what a row names: by its id if the table has one, else by
// its name. Empty: it is new. A name of several is a problem of the row, and so
// is a row for the second time.
func (t *importTable) find(r tables.Row, name string, exists func(id string) bool, out *ImportRow) string {
	key := Fold(name)
	id := t.cell(r, "id").Text
	if id != "" {
		key = "id " + id
	}
	if before, twice := t.seen[key]; twice {
		out.Problems.Wrong("", "import-twice", check.Args{"line": before})
	}
	t.seen[key] = r.Line
	if id != "" {
		if !exists(id) {
			out.Problems.Wrong("id", "import-unknown", check.Args{"text": id})
		}
		return id
	}
	switch ids := t.ids[key]; len(ids) {
	case 0:
		return ""
	case 1:
		return ids[0]
	default:
		out.Problems.Wrong("", "import-many", check.Args{"text": name, "number": len(ids)})
		return ""
	}
}

// PreviewImport says what a CSV or XLSX table of a kind would do, row by row, and
// what is wrong with it. Nothing is written.
func (h *House) PreviewImport(ctx context.Context, p Person, kind string, body []byte) (out Preview, _ error) {
	how, err := importAllowed(p, "PreviewImport", kind)
	if err != nil {
		return out, err
	}
	err = h.view(ctx, p, "PreviewImport", func(tx *store.Tx) error {
		out, _, err = h.readImport(tx, kind, how, body)
		return err
	})
	return out, err
}

// ApplyImport does what the preview of a table said, all of it or nothing. If
// anything was done in the workshop since, it is a Conflict: the preview is to be
// looked at again.
func (h *House) ApplyImport(ctx context.Context, p Person, kind string, body []byte, mark string) (out Preview, _ error) {
	how, err := importAllowed(p, "ApplyImport", kind)
	if err != nil {
		return out, err
	}
	err = h.update(ctx, p, "ApplyImport", func(tx *store.Tx) error {
		var changes []change
		if out, changes, err = h.readImport(tx, kind, how, body); err != nil {
			return err
		}
		if out.Mark != mark {
			return &Error{Code: Conflict, Now: out}
		}
		if err = invalid(out.problems()); err != nil {
			return err
		}
		for _, c := range changes {
			if err = c(tx); err != nil {
				return err
			}
		}
		return nil
	})
	return out, err
}

// importAllowed asks besides for the right of what the table brings.
func importAllowed(p Person, call, kind string) (importer, error) {
	if err := allowed(p, call); err != nil {
		return importer{}, err
	}
	how, ok := importers[kind]
	if !ok {
		return how, wrong("kind", "value-choice", check.Args{"text": kind, "choices": strings.Join(ImportKinds, ", ")})
	}
	if !slices.Contains(may[p.Role], how.right) {
		return how, &Error{Code: Denied}
	}
	return how, nil
}

// problems is what is wrong with all rows, each under its line.
func (v Preview) problems() (ps check.Problems) {
	for _, r := range v.Rows {
		ps.Under(fmt.Sprintf("line[%d]", r.Line), r.Problems)
	}
	return ps
}

// readImport reads a table and says what each row would do.
func (h *House) readImport(tx *store.Tx, kind string, how importer, body []byte) (out Preview, changes []change, err error) {
	out.Kind = kind
	sheet, ps := tables.Read(body)
	if err = invalid(ps); err != nil {
		return out, nil, err
	}
	t := importTable{sheet: sheet, at: map[string]int{}, seen: map[string]int{}, ids: map[string][]string{}}
	if out.Ignored, err = t.head(how); err != nil {
		return out, nil, err
	}
	if out.Mark, err = tx.Mark(); err != nil {
		return out, nil, err
	}
	read, err := how.begin(h, tx, &t)
	if err != nil {
		return out, nil, err
	}
	for _, r := range t.sheet.Rows {
		row := ImportRow{Line: r.Line, State: RowSame}
		do, err := read(r, &row)
		if err != nil {
			return out, nil, err
		}
		switch {
		case row.Problems.Failed():
			row.State = RowWrong
			out.Wrong++
		case row.State == RowNew:
			out.New++
		case len(row.Changes) > 0:
			row.State = RowChanged
			out.Changed++
		default:
			out.Same++
		}
		if do != nil && (row.State == RowNew || row.State == RowChanged) {
			changes = append(changes, do)
		}
		out.Rows = append(out.Rows, row)
	}
	return out, changes, nil
}

// headRows is within how many of the first rows the headings are looked for: above
// them people put a title.
const headRows = 10

// head finds the row of headings, the one of which most are known, and cuts the
// table off there.
func (t *importTable) head(how importer) (ignored []string, err error) {
	best, row := map[string]int{}, -1
	for i, r := range t.sheet.Rows[:min(headRows, len(t.sheet.Rows))] {
		at := map[string]int{}
		for column, c := range r.Cells {
			if name := how.column(c.Text); name != "" {
				if _, twice := at[name]; !twice {
					at[name] = column
				}
			}
		}
		if len(at) > len(best) {
			best, row = at, i
		}
	}
	if _, ok := best[how.must]; !ok {
		var known []string
		for _, c := range how.columns {
			known = append(known, c.known[0])
		}
		return nil, wrong("", "import-headings", check.Args{"known": strings.Join(known, ", ")})
	}
	for column, c := range t.sheet.Rows[row].Cells {
		if name := how.column(c.Text); c.Text != "" && (name == "" || best[name] != column) {
			ignored = append(ignored, c.Text)
		}
	}
	t.at, t.sheet.Rows = best, t.sheet.Rows[row+1:]
	if len(t.sheet.Rows) == 0 {
		return nil, wrong("", "table-empty", nil)
	}
	var all []int
	for _, column := range best {
		all = append(all, column)
	}
	t.numbers, t.dates = tables.NumbersOf(t.sheet, all...), tables.DatesOf(t.sheet, all...)
	return ignored, nil
}

// column is the name of the column a heading means, or empty.
func (how importer) column(heading string) string {
	heading = strings.Trim(Fold(heading), " .:*")
	for _, c := range how.columns {
		if slices.Contains(c.known, heading) {
			return c.name
		}
	}
	return ""
}
