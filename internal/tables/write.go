package tables

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// List is a table to be written. A value is a text, an int, int64 or float64;
// nil is an empty cell.
type List struct {
	Name   string // of the sheet
	Header []string
	Rows   [][]any
}

// Guard marks text that a spreadsheet would take for a formula as text, with an
// apostrophe before it (OWASP, CSV injection, from memory).
func Guard(s string) string {
	if formula(s) {
		return "'" + s
	}
	return s
}

// formula says whether text, apostrophes aside, begins as one.
func formula(s string) bool {
	s = strings.TrimLeft(s, "'")
	return s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0]))
}

// unguard takes the mark off again.
func unguard(s string) string {
	if rest, ok := strings.CutPrefix(s, "'"); ok && formula(rest) {
		return rest
	}
	return s
}

// WriteCSV writes a list as CSV in UTF-8 with its mark, so that spreadsheets know
// it. With a decimal comma cells are separated by semicolons, as they are where
// commas are used.
func WriteCSV(w io.Writer, l List, decimalComma bool) error {
	if _, err := io.WriteString(w, "\ufeff"); err != nil {
		return err
	}
	out := csv.NewWriter(w)
	out.UseCRLF = true
	if decimalComma {
		out.Comma = ';'
	}
	header := make([]string, len(l.Header))
	for i, h := range l.Header {
		header[i] = Guard(h)
	}
	if err := out.Write(header); err != nil {
		return err
	}
	for _, row := range l.Rows {
		cells := make([]string, len(row))
		for i, v := range row {
			switch v := v.(type) {
			case nil:
			case string:
				cells[i] = Guard(v)
			case float64:
				cells[i] = strconv.FormatFloat(v, 'f', -1, 64)
				if decimalComma {
					cells[i] = strings.Replace(cells[i], ".", ",", 1)
				}
			case int, int64:
				cells[i] = fmt.Sprint(v)
			default:
				return fmt.Errorf("tables: a cell of type %T", v)
			}
		}
		if err := out.Write(cells); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// WriteXLSX writes a list as an XLSX file. Text is kept as text there, whatever it
// begins with.
func WriteXLSX(w io.Writer, l List) error {
	f := excelize.NewFile()
	defer func() { _ = f.Close() }() // nothing of it is on disk
	name := sheetName(l.Name)
	if err := f.SetSheetName("Sheet1", name); err != nil {
		return err
	}
	s, err := f.NewStreamWriter(name)
	if err != nil {
		return err
	}
	bold, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	if err != nil {
		return err
	}
	header := make([]any, len(l.Header))
	for i, h := range l.Header {
		header[i] = excelize.Cell{StyleID: bold, Value: h}
	}
	for i, row := range append([][]any{header}, l.Rows...) {
		at, err := excelize.CoordinatesToCellName(1, i+1)
		if err == nil {
			err = s.SetRow(at, row)
		}
		if err != nil {
			return err
		}
	}
	if err := s.Flush(); err != nil {
		return err
	}
	return f.Write(w)
}

// sheetName is a name as sheets may have it: without these signs, at most 31
// letters.
func sheetName(s string) string {
	s = strings.Trim(strings.Map(func(r rune) rune {
		if strings.ContainsRune(`:\/?*[]`, r) {
			return ' '
		}
		return r
	}, s), " '")
	if r := []rune(s); len(r) > 31 {
		s = string(r[:31])
	}
	if s == "" {
		return "1"
	}
	return s
}
