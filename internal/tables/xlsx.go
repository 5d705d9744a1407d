package tables

import (
	"archive/zip"
	"bytes"
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"urdir/check"
)

// Bounds of what is packed in an XLSX file.
const (
	maxUnpacked = 64 << 20
	maxParts    = 2000
)

func readXLSX(body []byte) (out Sheet, ps check.Problems) {
	if !unpacks(body) {
		ps.Wrong("", "table-bomb", check.Args{"most": maxUnpacked >> 20})
		return out, ps
	}
	f, err := excelize.OpenReader(bytes.NewReader(body), excelize.Options{
		UnzipSizeLimit: maxUnpacked, UnzipXMLSizeLimit: maxUnpacked, RawCellValue: true,
	})
	if err != nil {
		ps.Wrong("", "table-unread", check.Args{"reason": err.Error()})
		return out, ps
	}
	defer func() { _ = f.Close() }() // only read
	book := workbook{f: f, name: shown(f), dates: map[int]bool{}}
	rows, err := f.Rows(book.name)
	if err != nil {
		ps.Wrong("", "table-unread", check.Args{"reason": err.Error()})
		return out, ps
	}
	defer func() { _ = rows.Close() }() // only read
	for line := 1; rows.Next(); line++ {
		cells, err := rows.Columns()
		if err != nil {
			ps.Wrong("", "table-unread", check.Args{"reason": err.Error()})
			return Sheet{}, ps
		}
		row := Row{Line: line}
		for i, text := range cells[:min(len(cells), MaxColumns+1)] {
			row.Cells = append(row.Cells, book.cell(i+1, line, strings.TrimSpace(text)))
		}
		if line > 10*MaxRows || !out.add(row, &ps) { // rows without anything count too, in the end
			ps.Wrong("", "table-large", check.Args{"line": line, "rows": MaxRows, "columns": MaxColumns})
			return Sheet{}, ps[:1]
		}
	}
	return out.done(ps)
}

// unpacks says whether what is packed is within bounds, by what it says of itself;
// the reader holds it to that.
func unpacks(body []byte) bool {
	z, err := zip.NewReader(bytes.NewReader(body), int64(len(body)))
	if err != nil {
		return true // the reader says why it cannot be read
	}
	total := uint64(0)
	for _, f := range z.File {
		if total += f.UncompressedSize64; f.UncompressedSize64 > maxUnpacked || total > maxUnpacked {
			return false
		}
	}
	return len(z.File) <= maxParts
}

// shown is the first sheet that is not hidden.
func shown(f *excelize.File) string {
	for _, name := range f.GetSheetList() {
		if visible, err := f.GetSheetVisible(name); err == nil && visible {
			return name
		}
	}
	return f.GetSheetName(0)
}

// workbook reads cells of one sheet.
type workbook struct {
	f     *excelize.File
	name  string
	dates map[int]bool // styles that show a date
}

// cell makes a cell of its raw text. What the spreadsheet keeps as a number is
// exact, and a date if it is shown as one.
func (b *workbook) cell(column, line int, raw string) Cell {
	number, err := strconv.ParseFloat(raw, 64)
	if err != nil || math.IsInf(number, 0) || math.IsNaN(number) {
		return Cell{Text: raw}
	}
	name, err := excelize.CoordinatesToCellName(column, line)
	if err != nil {
		return Cell{Text: raw}
	}
	kind, err := b.f.GetCellType(b.name, name)
	if err != nil || kind != excelize.CellTypeUnset && kind != excelize.CellTypeNumber && kind != excelize.CellTypeDate {
		return Cell{Text: raw} // text that has only digits
	}
	if style, err := b.f.GetCellStyle(b.name, name); err == nil && b.isDate(style) && number > 0 && number < 200_000 {
		if at, err := excelize.ExcelDateToTime(number, b.since1904()); err == nil {
			return Cell{at.Format(time.DateOnly), true}
		}
	}
	// Fifteen digits are what a spreadsheet keeps: 0.1+0.2 is 0.3 there.
	return Cell{strconv.FormatFloat(number, 'f', -1, 64), true}.short(number)
}

// short drops the noise beyond the fifteenth digit.
func (c Cell) short(number float64) Cell {
	if s := strconv.FormatFloat(number, 'g', 15, 64); len(c.Text) > len(s) {
		if again, err := strconv.ParseFloat(s, 64); err == nil {
			c.Text = strconv.FormatFloat(again, 'f', -1, 64)
		}
	}
	return c
}

func (b *workbook) since1904() bool {
	props, err := b.f.GetWorkbookProps()
	return err == nil && props.Date1904 != nil && *props.Date1904
}

// isDate says whether a style shows numbers as dates: by its number in ECMA-376
// part 1, 18.8.30 (14 to 17 and 22), or by the letters of day and year in a
// format of its own.
func (b *workbook) isDate(style int) bool {
	is, known := b.dates[style]
	if known {
		return is
	}
	if s, err := b.f.GetStyle(style); err == nil {
		is = s.NumFmt >= 14 && s.NumFmt <= 17 || s.NumFmt == 22 ||
			s.CustomNumFmt != nil && strings.ContainsAny(strings.ToLower(*s.CustomNumFmt), "yd")
	}
	b.dates[style] = is
	return is
}
