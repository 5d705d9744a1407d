package figure

import "urdir/measure"

// YarnUse is the figure weft of one colour in a band.
type YarnUse struct {
	Yarn        string `json:"yarn"`
	Butterflies int    `json:"butterflies"`
	Passes      int    `json:"passes"`
	Turns       int    `json:"turns"`
	Inlaid      int    `json:"inlaid_ends"` // passed over or under, of all passes
	// Each is the thread of one figure, Length of the band; all strands are
	// one thread.
	Each   measure.M `json:"each_m"`
	Length measure.M `json:"length_m"`
}

// TurnAllowance is the figure weft spent at each turn, from memory.
const TurnAllowance measure.CM = 0.6

// Yarn reckons the figure weft of a band, colour by colour: the inlaid width of
// every pass and a turn (the ordinary weft rule, from memory):
//
//	length = passes x (inlaid ends / sett + turn)
//
// Woven each by itself, a pass runs from the first to the last cell of the
// colour in a row of one figure; a gap longer than the chart's limit for floats
// is not crossed but begins another butterfly. Across, a pass runs the width of
// the band, whose ends are given. Every pick of a cell is a pass. Without a
// sett only turns are counted.
//
// Not counted: the tails of a butterfly, and its way to the next row where the
// figure's edge jumps aside by more than a turn.
func Yarn(c Chart, l Layout, sett measure.PerCM, ends int) []YarnUse {
	out := make([]YarnUse, 0, len(c.symbols))
	gap := c.carried(sett)
	for s := range c.symbols {
		cells, passes, rows, most := 0, 0, 0, 0
		for _, row := range c.rows {
			w, parts := inlaid(row, uint8(s+1), gap)
			cells += w
			passes += parts
			most = max(most, parts)
			rows += min(parts, 1)
		}
		if rows == 0 {
			continue
		}
		u := YarnUse{Yarn: c.symbols[s].Yarn, Butterflies: l.Count * most, Passes: passes * c.Cell.Picks * l.Count}
		laid := cells * c.Cell.Ends * c.Cell.Picks * l.Count
		if c.Way == Across {
			u.Butterflies, u.Passes = 1, rows*c.Cell.Picks
			laid = ends * u.Passes
		}
		u.Turns, u.Inlaid = u.Passes, laid
		u.Length = (length(laid, sett) + TurnAllowance*measure.CM(u.Turns)).M()
		u.Each = u.Length / measure.M(max(1, l.Count))
		out = append(out, u)
	}
	return out
}

// carried is the widest gap, in cells, over which a butterfly is carried on the
// back.
func (c Chart) carried(sett measure.PerCM) int {
	cell := length(c.Cell.Ends, sett).MM()
	if c.Limit <= 0 || cell <= 0 {
		return MaxColumns
	}
	return int(min((c.Limit+slack)/cell, MaxColumns))
}

// inlaid is the number of cells a colour's weft spans in a row, and in how many
// parts.
func inlaid(cells []uint8, symbol uint8, gap int) (span, parts int) {
	last := -1
	for col, v := range cells {
		if v != symbol {
			continue
		}
		if last >= 0 && col-last-1 <= gap {
			span += col - last
		} else {
			span++
			parts++
		}
		last = col
	}
	return span, parts
}
