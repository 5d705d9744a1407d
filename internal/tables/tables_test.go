package tables_test

import (
	"archive/zip"
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"pgregory.net/rapid"

	"urdir/internal/tables"
)

// shown is the rows of a sheet as text: line, then cells.
func shown(s tables.Sheet) (out []string) {
	for _, r := range s.Rows {
		line := fmt.Sprint(r.Line)
		for _, c := range r.Cells {
			line += "|" + c.Text
			if c.Exact {
				line += "!"
			}
		}
		out = append(out, line)
	}
	return out
}

const list = "Nombre;Gramos;Teñido\r\nAñil;1.234,5;28/11/2026\r\n\r\n\"Rojo; \"\"vivo\"\"\nclaro\";12,5;\r\nVerde;3\r\n"

var read = []string{"1|Nombre|Gramos|Teñido", "2|Añil|1.234,5|28/11/2026", "4|Rojo; \"vivo\"\nclaro|12,5", "6|Verde|3"}

// One list in every making spreadsheets save it in.
func TestRead_encodingsAndSeparators(t *testing.T) {
	latin, err := charmap.Windows1252.NewEncoder().String(list)
	if err != nil {
		t.Fatal(err)
	}
	utf16le, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().String(list)
	if err != nil {
		t.Fatal(err)
	}
	utf16be, err := unicode.UTF16(unicode.BigEndian, unicode.UseBOM).NewEncoder().String(list)
	if err != nil {
		t.Fatal(err)
	}
	tabs := strings.ReplaceAll(strings.ReplaceAll(list, ";", "\t"), "Rojo\t", "Rojo;")
	for name, text := range map[string]string{
		"UTF-8": list, "UTF-8 with mark": "\ufeff" + list, "Windows-1252": latin, "UTF-16 LE": utf16le, "UTF-16 BE": utf16be,
		"lines of Unix": strings.ReplaceAll(list, "\r\n", "\n"), "tabs": tabs,
	} {
		got, ps := tables.Read([]byte(text))
		if diff := cmp.Diff(read, shown(got)); diff != "" || len(ps) > 0 {
			t.Errorf("%s: %v (-want +got):\n%s", name, ps, diff)
		}
	}
	named, ps := tables.Read([]byte("sep=,\nA,B\n1;2,3\n"))
	if diff := cmp.Diff([]string{"2|A|B", "3|1;2|3"}, shown(named)); diff != "" || len(ps) > 0 {
		t.Errorf("separator named: %v (-want +got):\n%s", ps, diff)
	}
	commas, ps := tables.Read([]byte("A,B\n\"1,5\",x\n"))
	if diff := cmp.Diff([]string{"1|A|B", "2|1,5|x"}, shown(commas)); diff != "" || len(ps) > 0 {
		t.Errorf("commas: %v (-want +got):\n%s", ps, diff)
	}
}

func TestRead_refused(t *testing.T) {
	wide := strings.Repeat(";", 200) + "x"
	for name, c := range map[string]struct {
		body string
		code string
	}{
		"nothing":         {"", "table-empty"},
		"blanks":          {" ; ;\n\n", "table-empty"},
		"a picture":       {"\x89PNG\r\n\x1a\n\x00\x00\x00", "file-not-text"},
		"the old form":    {"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "table-old-form"},
		"too big":         {strings.Repeat("x", tables.MaxBytes+1), "file-too-big"},
		"a quote open":    {"a;b\n\"c;d\n", "table-quote"},
		"a quote amid":    {"a;b\nc\"x;d\n", "table-quote"},
		"many rows":       {strings.Repeat("x;y\n", tables.MaxRows+1), "table-large"},
		"many columns":    {wide, "table-large"},
		"a long cell":     {"a;b\n" + strings.Repeat("x", tables.MaxCell+1) + ";1\n", "table-cell-long"},
		"half a zip":      {"PK\x03\x04xxxx", "table-unread"},
		"a zip of others": {string(packed(t, "hello.txt", []byte("x"))), "table-unread"},
		"a zip bomb":      {string(packed(t, "xl/worksheets/sheet1.xml", make([]byte, 80<<20))), "table-bomb"},
	} {
		_, ps := tables.Read([]byte(c.body))
		if len(ps) != 1 || ps[0].Code != c.code {
			t.Errorf("%s: problems %v, want %s", name, ps, c.code)
		}
	}
}

func packed(tb testing.TB, name string, body []byte) []byte {
	tb.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	w, err := z.Create(name)
	if err == nil {
		_, err = w.Write(body)
	}
	if err != nil || z.Close() != nil {
		tb.Fatal(err)
	}
	return b.Bytes()
}

// A zip bomb whose size lies does not get past the reader; one that tells it is among
// TestRead_refused.
func TestRead_lyingZipBomb(t *testing.T) {
	body := packed(t, "xl/worksheets/sheet1.xml", make([]byte, 80<<20))
	at := bytes.Index(body, []byte("PK\x01\x02"))
	copy(body[at+24:at+28], []byte{100, 0, 0, 0})
	if _, ps := tables.Read(body); !ps.Failed() {
		t.Error("read")
	}
}

// What another program would write: numbers and dates as a spreadsheet keeps them,
// a first sheet that is hidden, text that looks like a number, a formula.
func TestRead_xlsx(t *testing.T) {
	f := excelize.NewFile()
	sheet := func(name string, rows ...[]any) {
		if _, err := f.NewSheet(name); err != nil {
			t.Fatal(err)
		}
		for i, row := range rows {
			at, _ := excelize.CoordinatesToCellName(1, i+1)
			if err := f.SetSheetRow(name, at, &row); err != nil {
				t.Fatal(err)
			}
		}
	}
	sheet("Hilo", []any{"Nombre", "Gramos", "Teñido", "Título"}, []any{"Añil", 1234.5, 46354, "020"}, nil, []any{"Suma", 0.1 + 0.2, "28/11/2026", ""})
	date, err := f.NewStyle(&excelize.Style{NumFmt: 14})
	if err != nil {
		t.Fatal(err)
	}
	f.SetActiveSheet(1) // the one shown cannot be hidden
	for _, err := range []error{f.SetCellStyle("Hilo", "C2", "C2", date), f.SetCellFormula("Hilo", "D3", "1+1"), f.SetSheetVisible("Sheet1", false)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	got, ps := tables.Read(b.Bytes())
	// 46354 is the 28th of November 2026, counted from the 30th of December 1899
	// (ECMA-376 part 1, 18.17.4.1): 126 years of 365 days, 31 leap days, 333 days.
	want := []string{"1|Nombre|Gramos|Teñido|Título", "2|Añil|1234.5!|2026-11-28!|020", "4|Suma|0.3!|28/11/2026"}
	if diff := cmp.Diff(want, shown(got)); diff != "" || len(ps) > 0 {
		t.Errorf("%v (-want +got):\n%s", ps, diff)
	}
}

func TestNumbers(t *testing.T) {
	for _, c := range []struct {
		column string // cells of the column, parted by spaces
		text   string
		want   float64
		code   string
	}{
		{"", "12", 12, ""}, {"", "12.5", 12.5, ""}, {"", "12,5", 12.5, ""}, {"", "-3", -3, ""}, {"", "", 0, "quantity-number"},
		{"", "1.234,5", 1234.5, ""}, {"", "1,234.5", 1234.5, ""}, {"", "1.234.567", 1234567, ""}, {"", "1 234,5", 1234.5, ""}, {"", "1'234.5", 1234.5, ""},
		{"", "1.234", 0, "quantity-comma"}, {"", "1,234", 0, "quantity-comma"},
		{"12,5 7", "1.234", 1234, ""}, {"12,5 7", "1,234", 1.234, ""}, {"12.5", "1.234", 1.234, ""}, {"12.5", "1,234", 1234, ""},
		{"12.5 12,5", "1,234", 0, "quantity-comma"}, {"12.5 12,5", "7,5", 7.5, ""},
		{"", "12,34,5", 0, "quantity-number"}, {"", "1.23.4", 0, "quantity-number"}, {"", "1e5", 0, "quantity-number"}, {"", "Inf", 0, "quantity-number"},
		{"", "doce", 0, "quantity-number"}, {"", "0x1p3", 0, "quantity-number"}, {"", "1.2.3,4", 0, "quantity-number"},
	} {
		var s tables.Sheet
		for cell := range strings.FieldsSeq(c.column) {
			s.Rows = append(s.Rows, tables.Row{Cells: []tables.Cell{{Text: cell}}})
		}
		got, code := tables.NumbersOf(s, 0).Parse(tables.Cell{Text: c.text})
		if math.Abs(got-c.want) > 1e-9 || code != c.code {
			t.Errorf("%q among %q: got %v %q, want %v %q", c.text, c.column, got, code, c.want, c.code)
		}
	}
	if got, code := (tables.Numbers{}).Parse(tables.Cell{Text: "1234.125", Exact: true}); got != 1234.125 || code != "" {
		t.Errorf("a spreadsheet's number: %v %q", got, code)
	}
}

func TestDates(t *testing.T) {
	for _, c := range []struct{ column, text, want, code string }{
		{"", "", "", ""}, {"", "2026-11-28", "2026-11-28", ""}, {"", "28/11/2026", "2026-11-28", ""}, {"", "28-11-26", "2026-11-28", ""},
		{"", "28.11.2026", "2026-11-28", ""}, {"", "11/28/2026", "2026-11-28", ""}, {"", "5/5/2026", "2026-05-05", ""},
		{"", "3/4/2026", "", "date-two-ways"}, {"28/11/2026", "3/4/2026", "2026-04-03", ""}, {"11/28/2026", "3/4/2026", "2026-03-04", ""},
		{"28/11/2026 11/28/2026", "3/4/2026", "", "date-two-ways"},
		{"", "31/11/2026", "", "date-unread"}, {"", "29/2/2027", "", "date-unread"}, {"", "29/2/2028", "2028-02-29", ""}, {"", "13/13/2026", "", "date-unread"},
		{"", "mayo", "", "date-unread"}, {"", "2026", "", "date-unread"}, {"", "1/2/3/4", "", "date-unread"}, {"", "0/1/2026", "", "date-unread"},
	} {
		var s tables.Sheet
		for cell := range strings.FieldsSeq(c.column) {
			s.Rows = append(s.Rows, tables.Row{Cells: []tables.Cell{{Text: cell}}})
		}
		if got, code := tables.DatesOf(s, 0).Parse(tables.Cell{Text: c.text}); got != c.want || code != c.code {
			t.Errorf("%q among %q: got %q %q, want %q %q", c.text, c.column, got, code, c.want, c.code)
		}
	}
}

// What is written is read back as it was, in either form, and nothing in it is a
// formula.
func TestWrite_readsBack(t *testing.T) {
	word := rapid.StringMatching(`[=+@'\-a-zñ"; ,\t]{0,8}`)
	rapid.Check(t, func(t *rapid.T) {
		l := tables.List{Name: word.Draw(t, "name"), Header: []string{"=Nombre", "Gramos"}}
		want := []string{"1|=Nombre|Gramos"}
		for i := range rapid.IntRange(1, 4).Draw(t, "rows") {
			text, n := strings.TrimSpace(word.Draw(t, "text")), float64(rapid.Int32().Draw(t, "n"))/8
			l.Rows = append(l.Rows, []any{text, n})
			want = append(want, fmt.Sprintf("%d|%s|%s", i+2, text, strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.3f", n), "0"), ".")))
		}
		for _, comma := range []bool{false, true} {
			var b bytes.Buffer
			if err := tables.WriteCSV(&b, l, comma); err != nil {
				t.Fatal(err)
			}
			got, ps := tables.Read(b.Bytes())
			text := strings.Join(shown(got), "\n")
			if comma {
				text = decimalPoints(got)
			}
			if text != strings.Join(want, "\n") || len(ps) > 0 {
				t.Fatalf("CSV, comma %v: %v\n%s\nwant\n%s\nfile\n%s", comma, ps, text, strings.Join(want, "\n"), b.String())
			}
		}
		var b bytes.Buffer
		if err := tables.WriteXLSX(&b, l); err != nil {
			t.Fatal(err)
		}
		got, ps := tables.Read(b.Bytes())
		if text := strings.ReplaceAll(strings.Join(shown(got), "\n"), "!", ""); text != strings.Join(want, "\n") || len(ps) > 0 {
			t.Fatalf("XLSX: %v\n%s\nwant\n%s", ps, text, strings.Join(want, "\n"))
		}
		noFormula(t, b.Bytes())
	})
}

// decimalPoints shows a sheet with the decimal commas of its second column as
// points.
func decimalPoints(s tables.Sheet) string {
	for i := range s.Rows {
		if i > 0 && len(s.Rows[i].Cells) > 1 {
			s.Rows[i].Cells[1].Text = strings.Replace(s.Rows[i].Cells[1].Text, ",", ".", 1)
		}
	}
	return strings.Join(shown(s), "\n")
}

func noFormula(t *rapid.T, body []byte) {
	f, err := excelize.OpenReader(bytes.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	name := f.GetSheetName(0)
	rows, err := f.GetRows(name)
	if err != nil {
		t.Fatal(err)
	}
	for i := range rows {
		at, _ := excelize.CoordinatesToCellName(1, i+1)
		if formula, err := f.GetCellFormula(name, at); err != nil || formula != "" {
			t.Fatalf("%s is the formula %q, %v", at, formula, err)
		}
	}
}

func TestGuard(t *testing.T) {
	for text, want := range map[string]string{
		"": "", "hilo": "hilo", "=1+1": "'=1+1", "+49": "'+49", "-": "'-", "@SUM(A1)": "'@SUM(A1)", "\t=1": "'\t=1", "\r": "'\r", "'=1": "''=1", "a=1": "a=1", "'x": "'x",
	} {
		if got := tables.Guard(text); got != want {
			t.Errorf("%q: got %q, want %q", text, got, want)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(list))
	f.Add([]byte("sep=\n"))
	f.Add([]byte("\xff\xfea\x00"))
	f.Fuzz(func(t *testing.T, body []byte) {
		s, ps := tables.Read(body)
		if len(s.Rows) == 0 && !ps.Failed() {
			t.Error("neither rows nor problems")
		}
		n, d := tables.NumbersOf(s, 0, 1), tables.DatesOf(s, 0, 1)
		last := 0
		for _, r := range s.Rows {
			if r.Line <= last {
				t.Errorf("line %d after %d", r.Line, last)
			}
			last = r.Line
			for _, c := range r.Cells {
				n.Parse(c)
				d.Parse(c)
			}
		}
	})
}
