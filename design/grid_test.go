package design_test

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"urdir/check"
	"urdir/design"
	"urdir/figure"
)

var twoColours = []figure.Symbol{{Char: 'x', Yarn: "red"}, {Char: 'o', Yarn: "sand"}}

// grid is a drawing whose rows are written one after the other: "..x/.x./x..".
func grid(t interface{ Fatal(...any) }, drawing string) design.Grid {
	c, ps := figure.Parse(strings.ReplaceAll(drawing, "/", "\n"), twoColours)
	if ps.Failed() {
		t.Fatal(ps)
	}
	c.Kind, c.Way, c.Cell = figure.Brocade, figure.Each, figure.Cell{Ends: 2, Picks: 1}
	return design.GridOf(c)
}

func rows(g design.Grid) string {
	return strings.ReplaceAll(strings.TrimSuffix(g.String(), "\n"), "\n", "/")
}

// Drawings by hand.
func TestGrid_byHand(t *testing.T) {
	type result struct {
		g  design.Grid
		ps check.Problems
	}
	res := func(g design.Grid, ps check.Problems) result { return result{g, ps} }
	for _, tc := range []struct {
		name, drawing string
		do            func(design.Grid) result
		want          string
	}{
		{"set", ".../...", func(g design.Grid) result { return res(g.Set(1, 2, 2)) }, ".../..o"},
		{"set ground", "xxx", func(g design.Grid) result { return res(g.Set(0, 1, 0)) }, "x.x"},
		{"set outside", "...", func(g design.Grid) result { return res(g.Set(1, 0, 1)) }, "chart design-cell-outside"},
		{"set no colour", "...", func(g design.Grid) result { return res(g.Set(0, 0, 3)) }, "colours design-colour-none"},
		// Six across and two down: two cells a row, three in the middle (Bresenham's own steps).
		{"line", "......./......./.......", func(g design.Grid) result { return res(g.Line(0, 0, 2, 6, 1)) }, "xx...../..xxx../.....xx"},
		{"line up", ".../.../...", func(g design.Grid) result { return res(g.Line(2, 0, 0, 2, 1)) }, "..x/.x./x.."},
		{"line outside", "...", func(g design.Grid) result { return res(g.Line(0, 0, 0, 3, 1)) }, "chart design-cell-outside"},
		{"fill stops at sides, not at corners", "..x./.x../x...", func(g design.Grid) result { return res(g.Fill(0, 0, 2)) }, "oox./ox../x..."},
		{"fill its own colour", ".x", func(g design.Grid) result { return res(g.Fill(0, 1, 1)) }, ".x"},
		{"mirrored", "xo./x..", func(g design.Grid) result { return result{g: g.Mirrored()} }, ".ox/..x"},
		{"inverted", "xo./x..", func(g design.Grid) result { return result{g: g.Inverted()} }, "x../xo."},
		{"turned", "xo./x..", func(g design.Grid) result { return result{g: g.Turned()} }, "..x/.ox"},
		{"repeated", "xo", func(g design.Grid) result { return res(g.Repeated(2, 2)) }, "xoxo/xoxo"},
		{"repeated too often", "xo", func(g design.Grid) result { return res(g.Repeated(201, 1)) }, "chart chart-columns"},
		{"copy", "xo./.x./..o", func(g design.Grid) result { return res(g.Copy(design.Region{Row: 1, Column: 1, Rows: 2, Columns: 2})) }, "x./.o"},
		{"copy beyond", "xo.", func(g design.Grid) result { return res(g.Copy(design.Region{Column: 1, Rows: 1, Columns: 3})) }, "chart design-cell-outside"},
		{"copy nothing", "xo.", func(g design.Grid) result { return res(g.Copy(design.Region{Row: 0, Column: 1, Rows: 1})) }, "chart chart-empty"},
		{"paste over the edge", ".../...", func(g design.Grid) result { return res(g.Paste(1, 2, grid(t, "xo/xo"))) }, ".../..x"},
		{"paste covers", "xxx", func(g design.Grid) result { return res(g.Paste(0, -1, grid(t, "xo."))) }, "o.x"},
		{"resize larger, the bottom left stays", "x.", func(g design.Grid) result { return res(g.Resize(2, 3)) }, ".../x.."},
		{"resize smaller", "xo/.x", func(g design.Grid) result { return res(g.Resize(1, 1)) }, "."},
		{"resize to nothing", "x", func(g design.Grid) result { return res(g.Resize(0, 1)) }, "chart chart-empty"},
		{"resize too high", "x", func(g design.Grid) result { return res(g.Resize(401, 1)) }, "chart chart-rows"},
	} {
		g := grid(t, tc.drawing)
		r := tc.do(g)
		got := rows(r.g)
		if r.ps.Failed() {
			got = codes(r.ps)
		}
		if got != tc.want || rows(g) != tc.drawing {
			t.Errorf("%s: got %s, want %s; the first is %s", tc.name, got, tc.want, rows(g))
		}
	}
}

func TestGrid_colours(t *testing.T) {
	g := grid(t, "xo")
	g, ps := g.AddColour(figure.Symbol{Char: 'm', Yarn: "mist"})
	if ps.Failed() || len(g.Colours()) != 3 || rows(g) != "xo" {
		t.Errorf("%v %v", g.Colours(), ps)
	}
	if _, ps = g.AddColour(figure.Symbol{Char: 'x', Yarn: "blue"}); codes(ps) != "colours colours-key" {
		t.Errorf("a sign twice: %v", ps)
	}
	for i := len(g.Colours()); i < figure.MaxColours; i++ {
		if g, ps = g.AddColour(figure.Symbol{Char: rune('A' + i), Yarn: string(rune('A' + i))}); ps.Failed() {
			t.Fatalf("colour %d: %v", i+1, ps)
		}
	}
	if _, ps = g.AddColour(figure.Symbol{Char: 'z', Yarn: "z"}); codes(ps) != "colours chart-colours" {
		t.Errorf("colour 13: %v", ps)
	}
	// A colour that is not here comes with what is pasted, if it is used.
	part := grid(t, "o")
	other, _ := design.NewGrid(figure.Chart{Kind: figure.Brocade}, 1, 2)
	if other, ps = other.Paste(0, 0, part); rows(other) != "o." || len(other.Colours()) != 1 || ps.Failed() {
		t.Errorf("%s %v %v", rows(other), other.Colours(), ps)
	}
	pick, _ := figure.Parse(".", twoColours)
	pick.Kind = figure.PickUp
	if _, ps = design.GridOf(pick).AddColour(figure.Symbol{Char: 'm', Yarn: "mist"}); codes(ps) != "colours design-pick-up-colours" {
		t.Errorf("a third yarn in pick-up: %v", ps)
	}
	var none design.Grid
	if c, ps := none.Chart(); codes(ps) != "chart chart-empty" || c.Rows() != 0 || none.Columns() != 0 || none.Mirrored().Rows() != 0 {
		t.Errorf("nothing drawn: %v", ps)
	}
}

// Brocade, cells of 2 ends at 10 a cm: a cell is 2 mm. With a limit of 6 mm a
// run may be 3 cells, not 4.
func TestAllowed_brocade(t *testing.T) {
	c, _ := figure.Parse("xx.x.", twoColours)
	c.Kind, c.Way, c.Cell, c.Limit = figure.Brocade, figure.Each, figure.Cell{Ends: 2, Picks: 1}, 6
	g := design.GridOf(c)
	for column, want := range [][]int{{0, 1, 2}, {0, 1, 2}, {0, 2}, {0, 1, 2}, {0, 1, 2}} {
		if got := g.Allowed(0, column, 10, 5); !slices.Equal(got, want) {
			t.Errorf("column %d: %v, want %v", column, got, want)
		}
	}
	if got := g.Allowed(1, 0, 10, 5); got != nil {
		t.Errorf("outside: %v", got)
	}
}

// Pick-up. In the ground the first yarn x is up in odd picks, o in even ones
// (from the bottom). Naming o in row 3 of 5 makes it float over picks 2, 3 and
// 4; at 5 picks a cm that is 6 mm. With a limit of 6 mm it may; with one of 5 mm
// only its own yarn, whose shed is open, may be named.
func TestAllowed_pickUp(t *testing.T) {
	c, _ := figure.Parse(".\n.\n.\n.\n.", twoColours)
	c.Kind, c.Cell, c.Limit = figure.PickUp, figure.Cell{Ends: 2, Picks: 1}, 6
	if got, want := design.GridOf(c).Allowed(2, 0, 20, 5), []int{0, 1, 2}; !slices.Equal(got, want) {
		t.Errorf("limit 6 mm: %v, want %v", got, want)
	}
	c.Limit = 5
	if got, want := design.GridOf(c).Allowed(2, 0, 20, 5), []int{0, 1}; !slices.Equal(got, want) {
		t.Errorf("limit 5 mm: %v, want %v", got, want)
	}
}

func anyGrid(t *rapid.T, kind figure.Kind) design.Grid {
	rows, columns := rapid.IntRange(1, 9).Draw(t, "rows"), rapid.IntRange(1, 9).Draw(t, "columns")
	var lines []string
	for range rows {
		lines = append(lines, rapid.StringOfN(rapid.SampledFrom([]rune(".xo")), columns, columns, -1).Draw(t, "row"))
	}
	c, ps := figure.Parse(strings.Join(lines, "\n"), twoColours)
	if ps.Failed() {
		t.Fatal(ps)
	}
	c.Kind, c.Way, c.Cell, c.Limit = kind, figure.Across, figure.Cell{Ends: 2, Picks: 1}, 6
	return design.GridOf(c)
}

// What Allowed lets through never makes a float too long that the whole chart
// did not have: figure.Check says the same.
func TestAllowed_agreesWithCheck(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyGrid(t, rapid.SampledFrom([]figure.Kind{figure.Brocade, figure.PickUp}).Draw(t, "kind"))
		floats := func(g design.Grid) (n int) {
			c, _ := g.Chart()
			for _, p := range c.Check(10, 5) {
				if strings.HasPrefix(p.Code, "float") {
					n++
				}
			}
			return n
		}
		if floats(g) > 0 {
			return
		}
		row, column := rapid.IntRange(0, g.Rows()-1).Draw(t, "row"), rapid.IntRange(0, g.Columns()-1).Draw(t, "column")
		may := g.Allowed(row, column, 10, 5)
		for v := range 3 {
			then, _ := g.Set(row, column, v)
			if got, want := slices.Contains(may, v), floats(then) == 0; got != want {
				t.Fatalf("%d at %d %d: %t, the chart says %t\n%s", v, row, column, got, want, g)
			}
		}
	})
}

// In a row of pick-up at most two neighbouring ends lie on the same side: of
// every pair one is up.
func TestAllowed_rowNeedsNoRule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, _ := anyGrid(t, figure.PickUp).Chart()
		for row := range c.Rows() {
			run, last := 0, -1
			for column := range c.Columns() {
				for yarn := range 2 { // the first yarn's end, then the second's
					up := 0
					if c.Up(row, column) == yarn {
						up = 1
					}
					if run++; up != last {
						run, last = 1, up
					}
					if run > 2 {
						t.Fatalf("row %d:\n%s", row, c)
					}
				}
			}
		}
	})
}

// Mirroring, inverting and turning twice, copying a part and pasting it back,
// and growing and shrinking again leave the drawing as it was; a line reads the
// same number of cells from both ends and every cell touches the next.
func TestGrid_properties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyGrid(t, figure.Brocade)
		was := rows(g)
		r := rapid.IntRange(0, g.Rows()-1).Draw(t, "row")
		c := rapid.IntRange(0, g.Columns()-1).Draw(t, "column")
		r2, c2 := rapid.IntRange(r, g.Rows()-1).Draw(t, "to row"), rapid.IntRange(c, g.Columns()-1).Draw(t, "to column")
		part, _ := g.Copy(design.Region{Row: r, Column: c, Rows: r2 - r + 1, Columns: c2 - c + 1})
		pasted, _ := g.Paste(r, c, part)
		larger, _ := g.Resize(g.Rows()+2, g.Columns()+3)
		smaller, _ := larger.Resize(g.Rows(), g.Columns())
		chart, ps := g.Chart()
		for name, got := range map[string]design.Grid{
			"mirrored": g.Mirrored().Mirrored(), "inverted": g.Inverted().Inverted(), "turned": g.Turned().Turned(),
			"mirrored and inverted": g.Turned().Mirrored().Inverted(), "pasted": pasted, "resized": smaller, "as a chart": design.GridOf(chart),
		} {
			if rows(got) != was || ps.Failed() {
				t.Fatalf("%s: %s, was %s", name, rows(got), was)
			}
		}
		empty, _ := design.NewGrid(chart, g.Rows(), g.Columns())
		there, _ := empty.Line(r, c, r2, c2, 1)
		back, _ := empty.Line(r2, c2, r, c, 1)
		n := max(r2-r, c2-c) + 1
		if a, b := strings.Count(rows(there), "x"), strings.Count(rows(back), "x"); a != n || b != n {
			t.Fatalf("%d and %d cells, want %d", a, b, n)
		}
		if rows(g) != was {
			t.Fatal("the grid given was changed")
		}
	})
}
