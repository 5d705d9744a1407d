package figure_test

import (
	"fmt"
	"strings"
	"testing"

	"urdir/figure"
)

var two = []figure.Symbol{{Char: 'x', Yarn: "indigo"}, {Char: 'o', Yarn: "marigold"}}

// chart parses a drawing that must be good, as brocade in cells of 6 ends x 2 picks.
func chart(t testing.TB, drawing string) figure.Chart {
	t.Helper()
	c, ps := figure.Parse(drawing, two)
	if len(ps) > 0 {
		t.Fatalf("Parse: %v", ps)
	}
	c.Kind, c.Way, c.Cell = figure.Brocade, figure.Each, figure.Cell{Ends: 6, Picks: 2}
	return c
}

func TestParse_problems(t *testing.T) {
	long := strings.Repeat("x", figure.MaxColumns+1)
	for _, tc := range []struct{ name, drawing, want string }{
		{"nothing", "", "chart: chart-empty"},
		{"only spaces", " \n\t\n", "chart: chart-empty"},
		{"ragged", "..x\n..\n...", "chart: chart-ragged columns=2 first=3 row=2"},
		{"an empty row inside", "..x\n\n...", "chart: chart-ragged columns=0 first=3 row=2"},
		{"lines above count", "\n\n..x\n....", "chart: chart-ragged columns=4 first=3 row=4"},
		{"unknown sign, once a row", "...\n.zz\nz..", "chart: chart-symbol column=2 row=2 symbol=z\nchart: chart-symbol column=1 row=3 symbol=z"},
		{"space inside", "x x", "chart: chart-symbol column=2 row=1 symbol= "},
		{"tab", "..\n\tx", "chart: chart-unprintable column=1 row=2 symbol=U+0009"},
		{"no UTF-8", ".\xff", "chart: chart-unprintable column=2 row=1 symbol=U+FFFD"},
		{"joining accent", ".\u0301", "chart: chart-unprintable column=2 row=1 symbol=U+0301"},
		{"too wide", long, "chart: chart-columns columns=401 most=400 row=1"},
		{"too tall", strings.Repeat("x\n", figure.MaxRows+1), "chart: chart-rows most=400 rows=401"},
	} {
		c, ps := figure.Parse(tc.drawing, two)
		if got := ps.Error(); got != tc.want {
			t.Errorf("%s: got\n%s\nwant\n%s", tc.name, got, tc.want)
		}
		if c.Rows() != 0 || c.Columns() != 0 {
			t.Errorf("%s: a bad drawing gave %d x %d cells", tc.name, c.Columns(), c.Rows())
		}
	}
}

func TestParse_largestIsGood(t *testing.T) {
	row := strings.Repeat("x", figure.MaxColumns) + "\n"
	c := chart(t, strings.Repeat(row, figure.MaxRows))
	if c.Rows() != figure.MaxRows || c.Columns() != figure.MaxColumns {
		t.Errorf("got %d x %d", c.Columns(), c.Rows())
	}
}

func TestParse_colours(t *testing.T) {
	for _, tc := range []struct {
		name    string
		symbols []figure.Symbol
		want    string
	}{
		{"one sign for two yarns", []figure.Symbol{{Char: 'x', Yarn: "a"}, {Char: 'x', Yarn: "b"}}, "colours: colours-key key=x"},
		{"the sign of ground", []figure.Symbol{{Char: 'x'}, {Char: '.'}}, "colours: colours-key key=."},
		{"cannot be seen", []figure.Symbol{{Char: 'x'}, {Char: 0x200b}}, "colours: colours-key key=U+200B"},
		{"too many", make([]figure.Symbol, 13), "colours: chart-colours colours=13 most=12\nchart: chart-symbol column=1 row=1 symbol=x"},
	} {
		if _, ps := figure.Parse("x", tc.symbols); ps.Error() != tc.want {
			t.Errorf("%s: got %v, want %s", tc.name, ps, tc.want)
		}
	}
}

func TestParse_keepsItsOwnColours(t *testing.T) {
	symbols := []figure.Symbol{{Char: 'x', Yarn: "indigo"}}
	c, _ := figure.Parse("x", symbols)
	symbols[0].Char = 'z'
	if got := c.String(); got != "x\n" {
		t.Errorf("the chart changed to %q with the caller's list", got)
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"..x\n.o.\n", "\r\n x\r\n", "é.x", "\x00", "x\n\nx", strings.Repeat(".", 500)} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, drawing string) {
		c, ps := figure.Parse(drawing, two)
		if ps.Failed() {
			return
		}
		again, ps := figure.Parse(c.String(), two)
		if len(ps) > 0 || again.String() != c.String() {
			t.Errorf("%q printed as %q, read again: %v %q", drawing, c, ps, again)
		}
		c.Kind, c.Cell, c.Limit = figure.Brocade, figure.Cell{Ends: 6, Picks: 2}, 25
		c.Check(20, 6)
		figure.Read(c)
	})
}

// The bottom line of the drawing is the first row woven.
func ExampleParse() {
	c, _ := figure.Parse("..x..\n.xxx.\n", two)
	c.Kind, c.Cell = figure.Brocade, figure.Cell{Ends: 6, Picks: 2}
	first := figure.Read(c).Rows[0]
	fmt.Println(c.Ends(), "ends,", c.Picks(), "picks,", float64(c.Width(20)), "cm wide")
	fmt.Println("pass", first.Runs[0].Ends, "take", first.Runs[1].Ends, "mirrored", first.Mirror)
	// Output:
	// 30 ends, 4 picks, 1.5 cm wide
	// pass 6 take 18 mirrored true
}
