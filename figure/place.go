package figure

import (
	"urdir/check"
	"urdir/measure"
)

// Band is the part of the warp figures are placed on.
type Band struct {
	First   int // the band's first end, counted from 1
	Ends    int
	Sett    measure.PerCM
	Count   int        // figures wanted; 0 for as many as fit
	Spacing measure.CM // between figures, on the loom
	Margin  measure.CM // least ground at each side, on the loom
	Mirror  bool       // every other figure mirrored
	Step    int        // ends a figure may be moved by: 2 keeps pairs whole
}

// Layout is where figures stand in a band.
type Layout struct {
	Count   int        `json:"figures"`
	Firsts  []int      `json:"first_ends"` // the first end of each, from 1 at the left selvedge
	Mirror  bool       `json:"alternately_mirrored"`
	Ends    int        `json:"ends_each"`
	Between int        `json:"ends_between"`
	Left    int        `json:"ends_left"` // ground at the left of the first
	Right   int        `json:"ends_right"`
	Width   measure.CM `json:"width_each_cm"`
}

// Place centres figures on the ends of a band. The spacing is kept in whole
// steps; what is over goes to the two sides, evenly or one step apart.
func Place(c Chart, b Band) (Layout, check.Problems) {
	var ps check.Problems
	step := max(1, b.Step)
	whole := func(l measure.CM) int {
		n := int(float64(l)*float64(b.Sett) + 0.5)
		return (n + step - 1) / step * step
	}
	each, between, margin := c.Ends(), whole(b.Spacing), whole(b.Margin)
	room := b.Ends - 2*margin
	fits := 0
	if each > 0 && room >= each {
		fits = (room + between) / (each + between)
	}
	n := b.Count
	if n == 0 {
		n = fits
	}
	toCM := func(ends int) measure.CM { return measure.CM(float64(ends) / float64(b.Sett)) }
	if n == 0 || n > fits {
		needed := max(1, n)*each + (max(1, n)-1)*between + 2*margin
		ps.Wrong("", "figure-wider", check.Args{"count": max(1, n), "needed": needed, "ends": b.Ends, "fits": fits,
			"width": toCM(needed), "band": toCM(b.Ends)})
		return Layout{}, ps
	}
	used := n*each + (n-1)*between
	left := (b.Ends - used) / 2 / step * step
	l := Layout{Count: n, Mirror: b.Mirror, Ends: each, Between: between, Left: left, Right: b.Ends - used - left, Width: toCM(each)}
	for i := range n {
		l.Firsts = append(l.Firsts, max(1, b.First)+left+i*(each+between))
	}
	return l, ps
}

// YarnUse is the figure weft of one colour in a band.
type YarnUse struct {
	Yarn        string    `json:"yarn"`
	Butterflies int       `json:"butterflies"`
	Passes      int       `json:"passes"`
	Turns       int       `json:"turns"`
	Length      measure.M `json:"length_m"` // all strands as one
}

// TurnAllowance is the figure weft spent at each turn, from memory.
const TurnAllowance measure.CM = 0.6

// Yarn reckons the figure weft of a band, colour by colour: the inlaid width of
// every pass and a turn (the ordinary weft rule, from memory). Woven in parts,
// a pass runs from the first to the last cell of the colour in a row of one
// figure; across, it runs the width of the band. ends is the band's.
func Yarn(c Chart, l Layout, sett measure.PerCM, ends int) []YarnUse {
	out := make([]YarnUse, 0, len(c.symbols))
	for s := range c.symbols {
		cells, rows := 0, 0
		for r := range c.rows {
			if w := c.span(r, s+1); w > 0 {
				cells += w
				rows++
			}
		}
		if rows == 0 {
			continue
		}
		u := YarnUse{Yarn: c.symbols[s].Yarn, Butterflies: l.Count, Passes: rows * c.Cell.Picks * l.Count}
		laid := cells * c.Cell.Ends * c.Cell.Picks * l.Count
		if c.Way == Across {
			u.Butterflies, u.Passes = 1, rows*c.Cell.Picks
			laid = ends * u.Passes
		}
		u.Turns = u.Passes
		u.Length = (measure.CM(float64(laid)/float64(sett)) + TurnAllowance*measure.CM(u.Turns)).M()
		out = append(out, u)
	}
	return out
}

// span is the number of cells from the first to the last of a colour in a row.
func (c Chart) span(row, symbol int) int {
	first, last := -1, -2
	for col, v := range c.rows[row] {
		if int(v) == symbol {
			if first < 0 {
				first = col
			}
			last = col
		}
	}
	return last - first + 1
}
