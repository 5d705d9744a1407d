package tables

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"urdir/check"
)

// Bounds of a table, far above any list of a workshop.
const (
	MaxBytes   = 8 << 20
	MaxRows    = 20_000
	MaxColumns = 100
	MaxCell    = 10_000 // bytes
)

// Cell is what stands in a cell. A spreadsheet's own numbers and dates are exact,
// written with a point and as YYYY-MM-DD, whatever it shows.
type Cell struct {
	Text  string
	Exact bool
}

// Row is the cells of a row, and the line it begins on, counted from 1 as
// spreadsheets and editors do.
type Row struct {
	Line  int
	Cells []Cell
}

// Cell gives a cell by its column, empty if the row ends before.
func (r Row) Cell(i int) Cell {
	if i < 0 || i >= len(r.Cells) {
		return Cell{}
	}
	return r.Cells[i]
}

// Sheet is the rows of a table that have anything in them.
type Sheet struct{ Rows []Row }

// Read reads a table, CSV or XLSX, told apart by how it begins.
func Read(body []byte) (Sheet, check.Problems) {
	var ps check.Problems
	switch {
	case len(body) > MaxBytes:
		ps.Wrong("", "file-too-big", check.Args{"kilobytes": len(body) >> 10, "most": MaxBytes >> 10})
		return Sheet{}, ps
	case bytes.HasPrefix(body, []byte("PK\x03\x04")):
		return readXLSX(body)
	case bytes.HasPrefix(body, []byte("\xd0\xcf\x11\xe0")): // the old binary form
		ps.Wrong("", "table-old-form", nil)
		return Sheet{}, ps
	}
	text, ok := decode(body)
	if !ok {
		ps.Wrong("", "file-not-text", nil)
		return Sheet{}, ps
	}
	return readCSV(text)
}

// decode makes text of bytes: by their mark, else UTF-8 if they are, else
// Windows-1252, in which spreadsheets of Europe and America save.
func decode(body []byte) (string, bool) {
	var d *encoding.Decoder
	switch {
	case bytes.HasPrefix(body, []byte("\xff\xfe")) || bytes.HasPrefix(body, []byte("\xfe\xff")):
		d = unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder()
	case utf8.Valid(body):
		d = unicode.UTF8BOM.NewDecoder()
	default:
		d = charmap.Windows1252.NewDecoder()
	}
	out, err := d.Bytes(body)
	return string(out), err == nil && !bytes.ContainsRune(out, 0) && !bytes.ContainsRune(out, utf8.RuneError)
}

// separators are tried in this order; of two that fit as well the first is taken.
const separators = ";\t,"

func readCSV(text string) (Sheet, check.Problems) {
	before := 0
	separator, named := rune(0), false
	if rest, ok := strings.CutPrefix(text, "sep="); ok && rest != "" { // how some spreadsheets name theirs
		separator, named = rune(rest[0]), true
		_, text, _ = strings.Cut(text, "\n")
		before = 1
	}
	if !named || !strings.ContainsRune(separators, separator) {
		separator = likeliest(text)
	}
	return cut(text, separator, before)
}

// likeliest is the separator that cuts the first lines into the most columns,
// alike in every line.
func likeliest(text string) rune {
	best, most := rune(','), 0
	for _, s := range separators {
		r := reader(text, s)
		alike := map[int]int{}
		for range 20 {
			cells, err := r.Read()
			if err != nil {
				break
			}
			if len(cells) > 1 {
				alike[len(cells)]++
			}
		}
		for n, times := range alike {
			if score := times*1000 + min(n, MaxColumns); score > most {
				best, most = s, score
			}
		}
	}
	return best
}

func reader(text string, separator rune) *csv.Reader {
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.FieldsPerRecord = separator, -1
	return r
}

func cut(text string, separator rune, before int) (out Sheet, ps check.Problems) {
	r := reader(text, separator)
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if wrong, is := errors.AsType[*csv.ParseError](err); is {
			ps.Wrong("", "table-quote", check.Args{"line": wrong.Line + before})
			return Sheet{}, ps
		}
		line, _ := r.FieldPos(0)
		row := Row{Line: line + before}
		for _, c := range cells {
			row.Cells = append(row.Cells, Cell{Text: unguard(strings.TrimSpace(c))})
		}
		if !out.add(row, &ps) {
			return Sheet{}, ps
		}
	}
	return out.done(ps)
}

// add keeps a row that has something in it and is within bounds.
func (s *Sheet) add(row Row, ps *check.Problems) bool {
	for len(row.Cells) > 0 && row.Cells[len(row.Cells)-1].Text == "" {
		row.Cells = row.Cells[:len(row.Cells)-1]
	}
	if len(row.Cells) == 0 {
		return true
	}
	if len(row.Cells) > MaxColumns || len(s.Rows) >= MaxRows {
		ps.Wrong("", "table-large", check.Args{"line": row.Line, "rows": MaxRows, "columns": MaxColumns})
		return false
	}
	for _, c := range row.Cells {
		if len(c.Text) > MaxCell {
			ps.Wrong("", "table-cell-long", check.Args{"line": row.Line, "most": MaxCell})
			return false
		}
	}
	s.Rows = append(s.Rows, row)
	return true
}

// done refuses a table with nothing in it.
func (s *Sheet) done(ps check.Problems) (Sheet, check.Problems) {
	if len(s.Rows) == 0 {
		ps.Wrong("", "table-empty", nil)
	}
	return *s, ps
}
