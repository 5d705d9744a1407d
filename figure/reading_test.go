package figure_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"urdir/figure"
)

// say writes a reading in short: "1 > .6 x12 .6" reads row 1 from the left,
// "<" from the right, "|" a row said to the middle.
func say(r figure.Reading) string {
	var b strings.Builder
	for _, row := range r.Rows {
		side, mirror := ">", ""
		if row.Leftward {
			side = "<"
		}
		if row.Mirror {
			mirror = " |"
		}
		fmt.Fprintf(&b, "%d-%d %s", row.From, row.To, side)
		for _, run := range row.Runs {
			fmt.Fprintf(&b, " %c%d", ".xo"[run.Symbol], run.Ends)
		}
		fmt.Fprintf(&b, "%s\n", mirror)
	}
	return b.String()
}

func TestRead_brocade(t *testing.T) {
	c := chart(t, ""+
		"ooooo\n"+ // row 6, one run: nothing to fold
		"..o..\n"+ // row 5
		"x....\n"+ // row 4, from the right
		"xxo..\n"+ // row 3
		"xxo..\n"+ // row 2: alike, so said once, from the left
		".x.x.\n") // row 1: its own mirror image
	want := "1-1 > .6 x6 .6 |\n2-3 > x12 o6 .12\n4-4 < .24 x6\n5-5 > .12 o6 |\n6-6 < o30\n"
	if got := say(figure.Read(c)); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	if got := figure.Read(c).Rows[1].Picks; got != 4 {
		t.Errorf("two rows of two picks are %d picks", got)
	}
}

func TestRead_pickUpNamesWhatTheHandChanges(t *testing.T) {
	// In odd rows the shed of x is open: only o is picked. In even ones only x.
	c := pickUp(t, ""+
		"xoxo.\n"+ // row 2, from the right
		"xoo..\n") // row 1
	want := "1-1 > .2 o4 .4\n2-2 < .4 x2 .2 x2\n"
	if got := say(figure.Read(c)); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	rows := figure.Read(c).Rows
	if !rows[0].First || rows[1].First {
		t.Errorf("sheds: %v, %v; want first, second", rows[0].First, rows[1].First)
	}
}

func TestRead_woven(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyChart(t)
		if rapid.Bool().Draw(t, "pick-up") {
			c.Kind, c.Cell = figure.PickUp, figure.Cell{Ends: 2, Picks: 1}
		}
		next, picks := 1, 0
		for _, row := range figure.Read(c).Rows {
			if row.From != next || row.To < row.From {
				t.Fatalf("row %d to %d follows row %d", row.From, row.To, next-1)
			}
			if want := row.From == row.To && row.From%2 == 0; row.Leftward != want {
				t.Fatalf("row %d from the right: %v", row.From, row.Leftward)
			}
			cells := unroll(t, c, row)
			for n := row.From; n <= row.To; n++ {
				for col, got := range cells {
					r := c.Rows() - n
					want := c.At(r, col)
					if c.Kind == figure.PickUp {
						// What the reading leaves alone, the shed shows.
						want = c.Up(r, col)
						if got == 0 {
							got = 2 - n%2
						}
						got--
					}
					if got != want {
						t.Fatalf("row %d cell %d reads %d, want %d\n%s", n, col+1, got, want, c)
					}
				}
			}
			next, picks = row.To+1, picks+row.Picks
		}
		if next != c.Rows()+1 || picks != c.Picks() {
			t.Fatalf("%d rows and %d picks of %d and %d were read", next-1, picks, c.Rows(), c.Picks())
		}
	})
}

// unroll gives the cells of a row from the left.
func unroll(t *rapid.T, c figure.Chart, row figure.Row) (cells []int) {
	for _, run := range row.Full() {
		if run.Ends != run.Cells*c.Cell.Ends || run.Cells == 0 {
			t.Fatalf("run %+v", run)
		}
		cells = append(cells, slices.Repeat([]int{run.Symbol}, run.Cells)...)
	}
	if row.Leftward {
		slices.Reverse(cells)
	}
	if len(cells) != c.Columns() {
		t.Fatalf("row %d reads %d cells of %d", row.From, len(cells), c.Columns())
	}
	return cells
}

// A row said for a band must be the band, end by end.
func TestCourse_isTheWholeBand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyChart(t)
		b := figure.Band{First: 1, Ends: rapid.IntRange(200, 900).Draw(t, "band"), Sett: 20, Spacing: 0.7, Mirror: rapid.Bool().Draw(t, "mirror")}
		l, ps := figure.Place(c, b)
		if ps.Failed() {
			t.Fatalf("%v", ps)
		}
		for _, row := range figure.Read(c).Rows {
			want := paint(c, l, b.Ends, c.Rows()-row.From)
			k := l.Course(row.Leftward)
			got := make([]int, k.Before)
			for i := range k.Times {
				runs := slices.Clone(row.Full())
				if (k.Alternate && i%2 == 1) != k.Backwards {
					slices.Reverse(runs)
				}
				for _, run := range runs {
					got = append(got, slices.Repeat([]int{run.Symbol}, run.Ends)...)
				}
				if i < k.Times-1 {
					got = append(got, make([]int, k.Between)...)
				}
			}
			got = append(got, make([]int, k.After)...)
			if row.Leftward {
				slices.Reverse(got)
			}
			if !slices.Equal(got, want) {
				t.Fatalf("row %d, %+v\ngot  %v\nwant %v\n%s", row.From, k, got, want, c)
			}
		}
	})
}
