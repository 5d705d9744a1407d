package figure_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"urdir/check"
	"urdir/figure"
	"urdir/measure"
)

func TestCheck_brocadeFloats(t *testing.T) {
	// Cells of 6 ends at 20 ends/cm are 6/20 cm = 3 mm wide. The bottom row has
	// a run of 9 cells = 27 mm on the face, and between the two cells of o a gap
	// of 9 cells = 27 mm, on the back when the weft goes across; so above it.
	c := chart(t, ""+
		"o..xxx....o\n"+
		"oxxxxxxxxxo\n")
	c.Limit = 25
	if got, want := c.Check(20, 6).Error(), "chart: float-face column=2 floats=1 length=27 limit=25 row=1 threads=54"; got != want {
		t.Errorf("each: got %s, want %s", got, want)
	}
	c.Way = figure.Across
	if got, want := c.Check(20, 6).Error(), "chart: float-face column=2 floats=1 length=27 limit=25 row=1 threads=54\n"+
		"chart: float-back column=2 floats=2 length=27 limit=25 row=1 threads=54"; got != want {
		t.Errorf("across: got %s, want %s", got, want)
	}
	c.Limit = 27 // a float of just the limit is allowed
	if ps := c.Check(20, 6); len(ps) > 0 {
		t.Errorf("limit 27 mm: %v", ps)
	}
}

func TestCheck_islands(t *testing.T) {
	c := chart(t, ""+
		"x....o\n"+
		".x....\n"+
		"....x.\n")
	// o at the top right, x at the bottom; the two x on the diagonal touch.
	if got, want := c.Check(20, 6).Error(), "chart: figure-islands cells=2 column=5 row=1"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// pickUp is a chart over pairs: x is the yarn on odd ends, o on even ones.
func pickUp(t testing.TB, drawing string) figure.Chart {
	t.Helper()
	c := chart(t, drawing)
	c.Kind, c.Cell = figure.PickUp, figure.Cell{Ends: 2, Picks: 1}
	return c
}

func TestCheck_pickUpFloats(t *testing.T) {
	// One pair. The ground shows x on odd picks, o on even ones: picks 0 to 6
	// are o x o x o x o. Naming o in pick 3 gives o x o o o x o: three picks of
	// o from pick 2. At 5 picks/cm that is 3 x 2 mm = 6 mm.
	c := pickUp(t, ".\n.\no\n.\n.\n")
	c.Limit = 5
	if got, want := c.Check(20, 5).Error(), "chart: float-face column=1 floats=1 length=6 limit=5 row=2 threads=3\n"+
		"chart: figure-islands cells=1 column=1 row=3"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	// Named in the first row, the float begins in the ground below: o o o.
	c = pickUp(t, ".\no\n")
	c.Limit = 5
	if got := c.Check(20, 5)[0].String(); got != "chart: float-face column=1 floats=1 length=6 limit=5 row=1 threads=3" {
		t.Errorf("first row: %s", got)
	}
}

// longest finds the longest float thread by thread: it writes out which end or
// cell is up in every pick and counts.
func longest(c figure.Chart) int {
	most := 0
	rows := strings.Split(strings.TrimSpace(c.String()), "\n")
	if c.Kind == figure.Brocade {
		for _, row := range rows {
			n, last := 0, '.'
			for _, ch := range row {
				for range c.Cell.Ends {
					if ch != last {
						n = 0
					}
					n, last = n+1, ch
					if ch != '.' {
						most = max(most, n)
					}
				}
			}
		}
		return most
	}
	for col := range rows[0] {
		up := "o" // pick 0, the ground below
		for pick := 1; pick <= len(rows); pick++ {
			ch := rows[len(rows)-pick][col]
			if ch == '.' {
				ch = "ox"[pick%2]
			}
			up += string(ch)
		}
		up += string("ox"[(len(rows)+1)%2])
		for n := len(up); n > 1 && n > most; n-- {
			if strings.Contains(up, strings.Repeat("x", n)) || strings.Contains(up, strings.Repeat("o", n)) {
				most = n
			}
		}
	}
	return most
}

func TestCheck_agreesWithCountingThreads(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyChart(t)
		c.Way, c.Limit = figure.Each, 1e-3 // every float is too long
		if rapid.Bool().Draw(t, "pick-up") {
			c.Kind, c.Cell = figure.PickUp, figure.Cell{Ends: 2, Picks: 1}
		}
		got := 0
		for _, p := range c.Check(20, 5) {
			if p.Code == "float-face" {
				got = p.Args["threads"].(int)
				density := 20.0
				if c.Kind == figure.PickUp {
					density = 5
				}
				if l := float64(p.Args["length"].(measure.MM)); math.Abs(l-10*float64(got)/density) > 1e-9 {
					t.Fatalf("%d threads are %v mm", got, l)
				}
			}
			if p.Severity != check.Caution {
				t.Fatalf("%v stops the plan", p)
			}
		}
		if want := longest(c); got != want {
			t.Fatalf("longest float %d, counted %d, in %s\n%s", got, want, c.Kind, c)
		}
	})
}

func TestCheck_limitIsNotLostToTheLastBit(t *testing.T) {
	// 53 ends at 25 ends/cm are 21.2 mm, which binary fractions make a little more.
	c := chart(t, strings.Repeat("x", 53))
	c.Cell.Ends, c.Limit = 1, 21.2
	if ps := c.Check(25, 6); len(ps) > 0 {
		t.Errorf("%v", ps)
	}
}

func TestCheck_pickUpIslandsReachTwoRows(t *testing.T) {
	// A yarn comes up of itself every second pick: the two x make one stroke.
	if ps := pickUp(t, ".x.\n...\n..x\n").Check(20, 5); len(ps) > 0 {
		t.Errorf("%v", ps)
	}
}

func TestCheck_withoutDensitiesFindsNoFloat(t *testing.T) {
	c := chart(t, "xxxxxxxxxxxx")
	c.Limit = 1
	if ps := c.Check(0, 0); len(ps) > 0 {
		t.Errorf("%v", ps)
	}
}
