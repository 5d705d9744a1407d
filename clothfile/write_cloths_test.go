package clothfile_test

import (
	"fmt"
	"strings"

	"pgregory.net/rapid"

	"urdir/figure"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp"
	"urdir/warp/frame"
	"urdir/warp/tie"
	"urdir/yarn"
)

// This file draws cloths for TestWrite_generatedClothsReadBack. What is drawn
// can be said in a file; it need not be woven.

// odd is characters that mean something to YAML, to the reader or to a screen.
var odd = []rune(" :#-?\"'\\[]{},&*!|>%@`~=.yn0é̈ñ漢👩‍🦱\t\n\r\x00\x1b\u0085\u00a0\u2028\ufeff\ufffd")

func anyText(t *rapid.T, name string) string {
	runes := rapid.OneOf(rapid.SampledFrom(odd), rapid.Rune(), rapid.SampledFrom([]rune("aeñT ")))
	special := rapid.SampledFrom([]string{"yes", "NO", "null", "~", "1e3", "0x1F", ".inf", "2027-03-05", "---", "...", "<<", "a: b", "a #b", "[[[[[[", "Uno.\nDos, tres.\n\nCuatro."})
	s := rapid.OneOf(rapid.StringOfN(runes, 0, 30, -1), special).Draw(t, name)
	return strings.TrimSpace(s)
}

// anyKey is a name by the rule of docs/cloth-file.md.
func anyKey(t *rapid.T, name string) string {
	return rapid.OneOf(rapid.StringMatching(`[a-zñéß漢][a-z0-9ñ-]{0,8}[a-z0-9]`), rapid.SampledFrom([]string{"y", "no", "null", "true", "e", "ñ"})).Draw(t, name)
}

func keys(t *rapid.T, name string, most int) []string {
	return rapid.SliceOfNDistinct(rapid.Custom(func(t *rapid.T) string { return anyKey(t, name) }), 0, most, rapid.ID[string]).Draw(t, name)
}

// number is a number as people write it, or one with many digits.
func number(t *rapid.T, name string) string {
	return rapid.OneOf(
		rapid.Map(rapid.IntRange(0, 300), func(n int) string { return fmt.Sprint(n) }),
		rapid.Map(rapid.IntRange(0, 9999), func(n int) string { return fmt.Sprint(float64(n) / 100) }),
		rapid.Map(rapid.Float64Range(0, 500), func(v float64) string { return fmt.Sprintf("%.17f", v) }),
	).Draw(t, name)
}

// drawn is a quantity that a file can say, in any of its units.
func drawn[T ~float64](t *rapid.T, name string, parse func(string) (T, error), units ...string) T {
	v, err := parse(number(t, name) + " " + rapid.SampledFrom(units).Draw(t, name+" unit"))
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return v
}

func anyLength(t *rapid.T, name string) measure.CM {
	return drawn(t, name, measure.ParseLength, "mm", "cm", "m", "in", "yd")
}

// someLength is a length that is not nothing.
func someLength(t *rapid.T, name string) measure.CM { return anyLength(t, name) + 0.5 }

func anyShare(t *rapid.T, name string) measure.Ratio { return drawn(t, name, measure.ParseShare, "%") }

func anyDensity(t *rapid.T, name string) measure.PerCM {
	return drawn(t, name, measure.ParseDensity, "/cm", "/in")
}

func anyMass(t *rapid.T, name string) measure.Gram {
	return drawn(t, name, measure.ParseMass, "g", "kg", "oz", "lb")
}

func anyCount(t *rapid.T, name string) int { return rapid.IntRange(0, 40).Draw(t, name) }

func sometimes(t *rapid.T, name string, do func()) {
	if rapid.Bool().Draw(t, name) {
		do()
	}
}

func anyCloth(t *rapid.T) plan.Cloth {
	c := plan.NewCloth()
	c.Name, c.Note, c.Customer, c.Due = anyText(t, "name"), anyText(t, "note"), anyText(t, "customer"), anyText(t, "due")
	c.Pieces, c.Learners = anyCount(t, "pieces"), rapid.IntRange(0, 3).Draw(t, "learners")
	c.Weft = anyText(t, "weft")
	sometimes(t, "shares", func() {
		c.Picks = anyDensity(t, "picks")
		c.Shrink = plan.Shrinkage{Length: anyShare(t, "shrinkage of length"), Width: anyShare(t, "shrinkage of width")}
		c.Flatness, c.Spare, c.Crimp = anyShare(t, "flatness"), anyShare(t, "spare"), anyShare(t, "crimp")
	})
	c.Join = rapid.SampledFrom([]plan.Join{plan.JoinSide, plan.JoinEnd, plan.JoinApart}).Draw(t, "join")
	for _, key := range keys(t, "yarns", 4) {
		c.Yarns = append(c.Yarns, anyYarn(t, key))
	}
	for _, key := range keys(t, "figures", 2) {
		c.Figures = append(c.Figures, anyFigure(t, key))
	}
	for _, key := range keys(t, "warps", 2) {
		c.Warps = append(c.Warps, anyWarp(t, key))
	}
	for _, key := range keys(t, "panels", 2) {
		c.Panels = append(c.Panels, anyPanel(t, key))
	}
	for range rapid.IntRange(0, 3).Draw(t, "kit") {
		c.Kit = append(c.Kit, plan.KitItem{Name: anyText(t, "item"), Each: anyCount(t, "each"), All: anyCount(t, "all")})
	}
	sometimes(t, "frame", func() { c.Frame = anyFrame(t) })
	return c
}

func anyYarn(t *rapid.T, key string) plan.Yarn {
	y := plan.NewYarn(key)
	sometimes(t, "label", func() { y.Label = anyText(t, "label") })
	y.Letter, y.Colour, y.Fibre = anyText(t, "letter"), anyText(t, "colour"), anyText(t, "fibre")
	y.Spec.Strands = anyCount(t, "strands")
	if rapid.Bool().Draw(t, "count") {
		y.Spec.Count = yarn.Count{System: rapid.SampledFrom(yarn.Systems()).Draw(t, "system"),
			Number: rapid.Float64Range(0.001, 1e6).Draw(t, "number"), Plies: rapid.IntRange(1, yarn.MaxPlies).Draw(t, "plies")}
		y.Spec.Count.Resultant = y.Spec.Count.System != yarn.Silk && rapid.Bool().Draw(t, "resultant")
	} else {
		y.Spec.SkeinLength, y.Spec.SkeinMass = anyLength(t, "skein").M(), anyMass(t, "skein mass")
	}
	sometimes(t, "measured", func() {
		y.Spec.Wraps, y.Spec.Contraction = anyDensity(t, "wraps"), anyShare(t, "twist")
		if rapid.Bool().Draw(t, "dyed") {
			y.Dye, y.Share = "madder-cotton", drawn(t, "dyestuff", measure.ParseShare, "%")
		}
		y.Spec.Volume, y.Skein = drawn(t, "volume", measure.ParseSpecificVolume, "cm3/g"), anyMass(t, "hank")
	})
	return y
}

func anyFigure(t *rapid.T, key string) plan.Figure {
	signs := rapid.SliceOfNDistinct(rapid.SampledFrom([]rune("xoy#:-|>'\"\\é漢~0,&*!%@`")), 0, 5, rapid.ID[rune]).Draw(t, "signs")
	var symbols []figure.Symbol
	for _, s := range signs {
		symbols = append(symbols, figure.Symbol{Char: s, Yarn: anyText(t, "yarn")})
	}
	cells := rapid.SampledFrom(append(signs, figure.Ground, figure.Ground, figure.Ground))
	width := rapid.IntRange(1, 9).Draw(t, "columns")
	rows := rapid.SliceOfN(rapid.StringOfN(cells, width, width, -1), 1, 9).Draw(t, "rows")
	chart, ps := figure.Parse(strings.Join(rows, "\n"), symbols)
	if len(ps) > 0 {
		t.Fatalf("%q: %v", rows, ps)
	}
	chart.Kind, chart.Cell = figure.PickUp, figure.Cell{Ends: 2, Picks: 1}
	sometimes(t, "brocade", func() {
		chart.Kind = figure.Brocade
		chart.Cell = figure.Cell{Ends: rapid.IntRange(1, 9).Draw(t, "ends"), Picks: rapid.IntRange(1, 9).Draw(t, "picks")}
	})
	chart.Way = rapid.SampledFrom([]figure.Way{figure.Each, figure.Across}).Draw(t, "way")
	chart.Limit = drawn(t, "float", measure.ParseDiameter, "mm", "cm", "m", "in", "yd")
	f := plan.Figure{Key: key, Chart: chart, Origin: anyText(t, "origin"), Meaning: anyText(t, "meaning"), Owner: anyText(t, "owner"), Ask: anyText(t, "ask")}
	f.Sale = rapid.SampledFrom([]plan.Sale{plan.SaleYes, plan.SaleNo, plan.SaleAsk, ""}).Draw(t, "sale")
	if f.Owner == "" && f.Sale == "" {
		f.Sale = plan.SaleYes
	}
	return f
}

func anyWarp(t *rapid.T, key string) plan.Warp {
	w := plan.NewWarp(key)
	w.Sett, w.Scale = anyDensity(t, "sett"), rapid.Bool().Draw(t, "fit")
	w.Lay = rapid.SampledFrom([]plan.Lay{plan.LayTogether, plan.LayPerPiece, plan.LayPerPanel}).Draw(t, "lay")
	sometimes(t, "laying", func() {
		w.Balls, w.Check, w.Waste, w.Between, w.Heddle = anyCount(t, "balls"), anyCount(t, "check"), anyLength(t, "waste"), anyLength(t, "between"), anyLength(t, "heddle")
		w.MeasuredTakeUp, w.MeasuredPieces = anyShare(t, "take-up"), anyCount(t, "pieces")
	})
	w.Order = warp.Order{Border: anyItems(t, 0, 1), Items: anyItems(t, 0, 4)}
	return w
}

func anyItems(t *rapid.T, least, deep int) (items []warp.Item) {
	for range rapid.IntRange(least, 3).Draw(t, "stripes") {
		switch kind := rapid.IntRange(0, 3).Draw(t, "stripe"); {
		case kind == 0 && deep > 0:
			items = append(items, warp.Item{Repeat: anyCount(t, "repeat"), Of: anyItems(t, 1, deep-1)})
		case kind == 1 && deep > 0:
			items = append(items, warp.Item{Mirror: anyItems(t, 1, deep-1)})
		default:
			items = append(items, warp.Item{Stripe: anyStripe(t)})
		}
	}
	return items
}

func anyStripe(t *rapid.T) *warp.Stripe {
	s := &warp.Stripe{Yarns: []warp.Lay{{Yarn: anyKey(t, "yarn")}}}
	sometimes(t, "alternate", func() {
		s.Yarns = nil
		for range rapid.IntRange(1, 3).Draw(t, "lays") {
			s.Yarns = append(s.Yarns, warp.Lay{Yarn: anyKey(t, "yarn"), Ends: anyCount(t, "ends")})
		}
	})
	switch rapid.IntRange(0, 2).Draw(t, "size") {
	case 0:
		s.Ends = 1 + anyCount(t, "ends")
	case 1:
		s.Width = someLength(t, "width")
	default:
		s.Share = rapid.OneOf(rapid.Just(1.0), rapid.Just(2.0), rapid.Float64Range(0.01, 9)).Draw(t, "parts")
	}
	return s
}

func anyPanel(t *rapid.T, key string) plan.Panel {
	p := plan.NewPanel(key)
	p.Warp, p.Count, p.Width, p.Length = anyText(t, "warp"), anyCount(t, "count"), anyLength(t, "width"), anyLength(t, "length")
	sometimes(t, "seam", func() {
		p.Seam = plan.Seam{Left: anyLength(t, "left"), Right: anyLength(t, "right"), Top: anyLength(t, "top"), Bottom: anyLength(t, "bottom")}
	})
	p.Bands = anyBands(t, 0, 4)
	sometimes(t, "tied", func() { p.Tied = anyTied(t) })
	return p
}

func anyTied(t *rapid.T) *plan.Tied {
	tied := plan.NewTied()
	sometimes(t, "setup", func() {
		tied.Undyed, tied.Setup.Bundle, tied.Setup.AtTurn = anyText(t, "undyed"), anyCount(t, "bundle"), rapid.Bool().Draw(t, "begins")
		tied.Setup.Shift, tied.Setup.Before = anyLength(t, "shift"), anyShare(t, "before")
	})
	for range rapid.IntRange(0, 4).Draw(t, "marks") {
		first := 1 + anyCount(t, "first")
		m := tie.Mark{First: first, Last: first + anyCount(t, "ends"), From: anyLength(t, "from"), To: anyLength(t, "to"), Mirror: rapid.Bool().Draw(t, "mirror")}
		sometimes(t, "below zero", func() { m.From = -m.From + 0 })
		sometimes(t, "every", func() { m.Every = anyLength(t, "every") })
		tied.Marks = append(tied.Marks, m)
	}
	return &tied
}

func anyBands(t *rapid.T, least, deep int) (items []plan.BandItem) {
	for range rapid.IntRange(least, 3).Draw(t, "bands") {
		switch kind := rapid.IntRange(0, 3).Draw(t, "band"); {
		case kind == 0 && deep > 0:
			items = append(items, plan.BandItem{Repeat: anyCount(t, "repeat"), Of: anyBands(t, 1, deep-1)})
		case kind == 1 && deep > 0:
			items = append(items, plan.BandItem{Mirror: anyBands(t, 1, deep-1)})
		default:
			items = append(items, plan.BandItem{Band: anyBand(t)})
		}
	}
	return items
}

func anyBand(t *rapid.T) *plan.Band {
	b := plan.NewBand()
	b.Kind = rapid.SampledFrom([]plan.BandKind{plan.Woven, plan.Figured, plan.Open, plan.Hem, plan.Fringe}).Draw(t, "kind")
	b.Length = someLength(t, "length")
	sometimes(t, "rest", func() { b.Length, b.Rest = 0, true })
	switch b.Kind {
	case plan.Fringe:
		b.Twist = anyShare(t, "twist")
		return &b
	case plan.Open:
		return &b
	case plan.Hem:
		b.Under = anyLength(t, "under")
	case plan.Figured:
		sometimes(t, "fit", func() { b.Length, b.Rest = 0, false })
		b.Place = plan.Placement{Figure: anyText(t, "chart"), Count: anyCount(t, "count"), Spacing: anyLength(t, "spacing"), Margin: anyLength(t, "margin"),
			Mirror: rapid.Bool().Draw(t, "alternate"), Upright: anyCount(t, "upright"), Turned: rapid.Bool().Draw(t, "turned")}
	}
	b.Weft, b.Picks = anyText(t, "weft"), anyDensity(t, "picks")
	return &b
}

func anyFrame(t *rapid.T) *frame.Frame {
	ids := rapid.SliceOfNDistinct(rapid.Custom(func(t *rapid.T) string { return anyText(t, "peg") }), 2, 6, rapid.ID[string]).Draw(t, "pegs")
	f := &frame.Frame{Cross: [2]string{ids[0], ids[1]}, Start: ids[:1], Turn: ids[1:]}
	thick := someLength(t, "peg")
	for _, id := range ids {
		f.Pegs = append(f.Pegs, frame.Peg{ID: id, X: anyLength(t, "x"), Y: anyLength(t, "y"), Diameter: thick})
	}
	return f
}
