package archive

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"strconv"
	"unicode/utf8"

	"urdir/internal/store"
	"urdir/internal/tables"
)

// writer writes rows in one of the two forms.
type writer interface {
	end() string
	begin(to *bytes.Buffer, columns []store.Column)
	row(values []any) error
	err() error
}

// jsonLines is one JSON object a line, its names in the order of the columns.
type jsonLines struct {
	to    *bytes.Buffer
	names []string
}

func (j *jsonLines) end() string { return ".jsonl" }
func (j *jsonLines) err() error  { return nil }

func (j *jsonLines) begin(to *bytes.Buffer, columns []store.Column) {
	j.to = to
	for _, c := range columns {
		j.names = append(j.names, c.Name)
	}
}

func (j *jsonLines) row(values []any) error {
	for i, v := range values {
		j.to.WriteString(map[bool]string{true: "{", false: ","}[i == 0] + strconv.Quote(j.names[i]) + ":")
		switch v := v.(type) {
		case int64:
			j.to.WriteString(strconv.FormatInt(v, 10))
		case string:
			if !utf8.ValidString(v) {
				return fmt.Errorf("%s is no text: %q", j.names[i], v)
			}
			e := json.NewEncoder(j.to)
			e.SetEscapeHTML(false)
			if err := e.Encode(v); err != nil {
				return err
			}
			j.to.Truncate(j.to.Len() - 1) // the encoder's end of line
		default:
			return fmt.Errorf("%s: a %T", j.names[i], v)
		}
	}
	j.to.WriteString("}\n")
	return nil
}

// csvLines is RFC 4180 in UTF-8, for people and their spreadsheets: text that one
// would take for a formula is marked as text, so it is not read back.
type csvLines struct{ w *csv.Writer }

func (c *csvLines) end() string { return ".csv" }

func (c *csvLines) err() error {
	c.w.Flush()
	return c.w.Error()
}

func (c *csvLines) begin(to *bytes.Buffer, columns []store.Column) {
	c.w = csv.NewWriter(to)
	c.w.UseCRLF = true
	names := make([]string, len(columns))
	for i, column := range columns {
		names[i] = column.Name
	}
	_ = c.w.Write(names) // into memory
}

func (c *csvLines) row(values []any) error {
	cells := make([]string, len(values))
	for i, v := range values {
		if s, is := v.(string); is {
			cells[i] = tables.Guard(s)
		} else {
			cells[i] = fmt.Sprint(v)
		}
	}
	return c.w.Write(cells)
}
