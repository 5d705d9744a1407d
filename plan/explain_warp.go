package plan

import (
	"fmt"
	"math"

	"urdir/cloth"
	"urdir/measure"
	"urdir/warp"
	"urdir/warp/frame"
)

// warp explains a number of a warp; field is its path within the warp.
func (x *explaining) warp(w *WarpPlan, field string) {
	in, at, file := x.inWarp(w.Key), "warps."+w.Key, "warps."+w.Key
	list, i := index(field)
	room, rest := cutFirst(field)
	_, i2 := index(room)
	switch {
	case room == "length":
		x.warpLength(w, in, rest)
	case room == "path":
		x.path(w.Path, at, rest)
	case room == "sheds":
		x.sheds(w, in, rest)
	case room == "panels":
		key, leaf := cutFirst(rest)
		x.slot(in, key, leaf)
	case room == "yarns":
		key, leaf := cutFirst(rest)
		x.warpYarn(w, at, key, leaf)
	case i2 >= 0 && field[:4] == "wind":
		x.winding(w, in, i2, rest)
	case i2 >= 0:
		x.stripe(w, at, i2, rest)
	case list == "layings" && i < 0:
		x.layings(w, in)
	case field == "sett_per_cm":
		x.same(file+".sett", in.Sett)
	case field == "check_every_circuits":
		x.same(file+".check", in.Check)
	case field == "finished_width_cm":
		x.is("loom_width*(1 - shrink_width)")
		x.from("loom_width", at+".loom_width_cm")
		x.given("shrink_width", "shrinkage.width", x.c.Shrink.Width)
	case field == "loom_width_cm":
		x.is("ends / sett")
		x.from("ends", at+".ends")
		x.given("sett", file+".sett", in.Sett)
	case field == "wanted_width_cm":
		x.wantedWidth(w, at)
	case field == "ends_before_rounding":
		x.asked(w, in, at)
	case field == "ends":
		x.is(sum(x.stripes(w, at, "ends")))
	case field == "largest_rounding_ends":
		x.rounding(w, at)
	case field == "circuits":
		last := len(w.Windings) - 1
		x.is("passes / 2")
		x.from("passes", fmt.Sprintf("%s.windings[%d].running_passes", at, last))
	case field == "mean_diameter_mm":
		parts := make([]string, len(w.Yarns))
		for i, y := range w.Yarns {
			x.from(numbered("ends", i), at+".yarns."+y.Yarn+".ends")
			x.from(numbered("diameter", i), "yarns."+y.Yarn+".diameter_mm")
			parts[i] = numbered("ends", i) + "*" + numbered("diameter", i)
		}
		x.is("(" + sum(parts) + ") / ends")
		x.from("ends", at+".ends")
	case field == "cover_fraction":
		x.is("sett*diameter / 10")
		x.given("sett", file+".sett", in.Sett)
		x.from("diameter", at+".mean_diameter_mm")
		x.how("how-cover")
	}
}

func (x *explaining) inWarp(key string) Warp {
	for _, w := range x.c.Warps {
		if w.Key == key {
			return w
		}
	}
	return Warp{}
}

func (x *explaining) inPanel(key string) Panel {
	for _, p := range x.c.Panels {
		if p.Key == key {
			return p
		}
	}
	return Panel{}
}

// stripes adds a field of every stripe as terms and names them.
func (x *explaining) stripes(w *WarpPlan, at, leaf string) (names []string) {
	for i := range w.Stripes {
		names = append(names, numbered(leaf, i))
		x.from(names[i], fmt.Sprintf("%s.stripes[%d].%s", at, i, leaf))
	}
	return names
}

func (x *explaining) rounding(w *WarpPlan, at string) {
	n := 0
	for i, s := range w.Stripes {
		if math.Abs(float64(s.Ends)-float64(s.Ideal)) > math.Abs(float64(w.Stripes[n].Ends)-float64(w.Stripes[n].Ideal)) {
			n = i
		}
	}
	x.is("abs(ends - before_rounding)")
	x.from("ends", fmt.Sprintf("%s.stripes[%d].ends", at, n))
	x.from("before_rounding", fmt.Sprintf("%s.stripes[%d].ends_before_rounding", at, n))
	x.how("how-most-rounded")
}

// wantedWidth is what is seen of the panels and what their seams take.
func (x *explaining) wantedWidth(w *WarpPlan, at string) {
	p := x.inPanel(w.Slots[0].Panel)
	if p.Width == 0 {
		x.is("width")
		x.from("width", at+".finished_width_cm")
		x.how("how-no-width")
		return
	}
	file := "panels." + p.Key
	x.is("width + seam_left + seam_right")
	x.given("width", file+".width", p.Width)
	x.given("seam_left", file+".seam.left", p.Seam.Left)
	x.given("seam_right", file+".seam.right", p.Seam.Right)
}

// asked is how many ends the width takes, or the stripes give where they leave
// nothing open.
func (x *explaining) asked(w *WarpPlan, in Warp, at string) {
	room := warp.Room{Width: w.Wanted, Shrink: x.c.Shrink.Width, Sett: w.Sett}
	if math.Abs(room.EndsFor(w.Wanted)-float64(w.Asked)) < 1e-6 {
		x.is("width / (1 - shrink_width)*sett")
		x.from("width", at+".wanted_width_cm")
		x.given("shrink_width", "shrinkage.width", x.c.Shrink.Width)
		x.given("sett", at+".sett", in.Sett)
		return
	}
	x.is(sum(x.stripes(w, at, "ends_before_rounding")))
	x.how("how-stripes-decide")
}

func (x *explaining) stripe(w *WarpPlan, at string, i int, field string) {
	s, here := w.Stripes[i], fmt.Sprintf("%s.stripes[%d]", at, i)
	switch field {
	case "first_end":
		x.is("1")
		if i > 0 {
			before := fmt.Sprintf("%s.stripes[%d]", at, i-1)
			x.is("first_end + ends")
			x.from("first_end", before+".first_end")
			x.from("ends", before+".ends")
		}
	case "ends":
		x.is("before_rounding + rounding")
		x.from("before_rounding", here+".ends_before_rounding")
		x.known("rounding", measure.Count(s.Ends)-s.Ideal, "source-fit")
	case "ends_before_rounding":
		x.beforeRounding(w, at, i)
	case "share":
		x.same(at+".stripes", s.Share)
	default: // a yarn's part of an alternation
		_, rest := cutFirst(field)
		_, j := index(field[:len(field)-len(rest)-1])
		x.same(at+".stripes", s.Yarns[j].Ends)
	}
}

// beforeRounding is a stripe's share of what fixed stripes leave, or as written.
func (x *explaining) beforeRounding(w *WarpPlan, at string, i int) {
	s := w.Stripes[i]
	if s.Share == 0 {
		x.is("given")
		x.given("given", at+".stripes", s.Ideal)
		x.how("how-stripe-given")
		return
	}
	var laid, shares measure.Count
	for _, o := range w.Stripes {
		shares += o.Share
		if o.Share == 0 {
			laid += o.Ideal
		}
	}
	x.is("(ends - laid)*share / shares")
	x.from("ends", at+".ends_before_rounding")
	x.known("laid", laid, "source-laid")
	x.given("share", at+".stripes", s.Share)
	x.known("shares", shares, "source-shares")
}

// winding explains how a stripe is laid.
func (x *explaining) winding(w *WarpPlan, in Warp, i int, field string) {
	at := "warps." + w.Key
	here, wd := fmt.Sprintf("%s.windings[%d]", at, i), w.Windings[i]
	before := fmt.Sprintf("%s.windings[%d]", at, i-1)
	switch field {
	case "stripe":
		x.how("how-place")
	case "ends":
		x.is("ends")
		x.from("ends", fmt.Sprintf("%s.stripes[%d].ends", at, i))
	case "balls_in_hand":
		if !wd.Together {
			x.same(at+".balls", in.Balls)
			return
		}
		x.is("pattern")
		x.given("pattern", at+".stripes", wd.InHand)
		x.how("how-together")
	case "passes":
		x.is("ceil(ends / in_hand)")
		x.from("ends", here+".ends")
		x.from("in_hand", here+".balls_in_hand")
	case "last_pass_balls":
		x.is("ends - (passes - 1)*in_hand")
		x.from("ends", here+".ends")
		x.from("passes", here+".passes")
		x.from("in_hand", here+".balls_in_hand")
	case "patterns":
		if len(w.Stripes[i].Yarns) < 2 {
			x.how("how-plain-stripe")
			return
		}
		pattern := 0
		for _, l := range w.Stripes[i].Yarns {
			pattern += l.Ends
		}
		x.is("floor(ends / pattern)")
		x.from("ends", here+".ends")
		x.given("pattern", at+".stripes", pattern)
	case "running_ends", "running_passes":
		leaf := field[len("running_"):]
		x.is(leaf)
		x.from(leaf, here+"."+leaf)
		if i > 0 {
			x.is("before + " + leaf)
			x.from("before", before+"."+field)
		}
	}
}

func (x *explaining) sheds(w *WarpPlan, in Warp, field string) {
	at := "warps." + w.Key
	switch field {
	case "rod_ends":
		x.is("ceil(ends / 2)")
		x.from("ends", at+".ends")
		x.how("how-cross")
	case "heddles":
		x.is("floor(ends / 2)")
		x.from("ends", at+".ends")
		x.how("how-cross")
	case "heddle_height_cm":
		x.same(at+".heddle", in.Heddle)
	case "string_each_cm":
		x.is("2*height + hitch")
		x.from("height", at+".sheds.heddle_height_cm")
		x.known("hitch", w.Sheds.StringEach-2*w.Sheds.Height, "source-memory")
	case "string_m":
		x.is("(heddles*string + knots) / 100")
		x.from("heddles", at+".sheds.heddles")
		x.from("string", at+".sheds.string_each_cm")
		x.known("knots", w.Sheds.String.CM()-measure.CM(w.Sheds.Heddles)*w.Sheds.StringEach, "source-memory")
	}
}

// layings is how often a warp is laid.
func (x *explaining) layings(w *WarpPlan, in Warp) {
	switch in.Lay {
	case LayTogether:
		x.is("1")
		x.how("how-lay-together")
	case LayPerPiece:
		x.is("pieces")
		x.from("pieces", "pieces")
		x.how("how-lay-per-piece")
	case LayPerPanel:
		x.is("pieces*count")
		x.from("pieces", "pieces")
		x.from("count", "panels."+w.Slots[0].Panel+".count")
		x.how("how-lay-per-panel")
	}
}

// slot explains what one panel takes of a warp, from its bands.
func (x *explaining) slot(in Warp, key, field string) {
	at := "panels." + key
	bands := func(fringe bool, also string) {
		var parts []string
		for i, b := range x.pan(key).Bands {
			if (b.Kind == Fringe) != fringe {
				continue
			}
			here, part := fmt.Sprintf("%s.bands[%d]", at, i), numbered("loom", i)
			x.from(part, here+".loom_cm")
			if also != "" {
				x.from(numbered("take_up", i), here+".take_up."+also)
				part += "*" + numbered("take_up", i)
			}
			parts = append(parts, part)
		}
		x.is(sum(parts))
	}
	switch field {
	case "count":
		x.is("count")
		x.from("count", at+".count")
		switch in.Lay {
		case LayTogether:
			x.is("count*pieces")
			x.from("pieces", "pieces")
		case LayPerPanel:
			x.out.Terms = nil
			x.is("1")
			x.how("how-lay-per-panel")
		}
	case "woven_loom_cm":
		bands(false, "")
	case "take_up_cm":
		bands(false, "middle_fraction")
	case "take_up_high_cm":
		bands(false, "high_fraction")
	case "fringe_loom_cm":
		bands(true, "")
	}
}

// pan is a panel of the plan.
func (x *explaining) pan(key string) *PanelPlan {
	for i := range x.p.Panels {
		if x.p.Panels[i].Key == key {
			return &x.p.Panels[i]
		}
	}
	return nil
}

// warpLength explains the parts of the length of an end and their sum.
func (x *explaining) warpLength(w *WarpPlan, in Warp, field string) {
	at := "warps." + w.Key
	slots := func(leaf string) (parts []string) {
		for i, s := range w.Slots {
			here := at + ".panels." + s.Panel
			x.from(numbered("count", i), here+".count")
			if leaf != "" {
				x.from(numbered("each", i), here+"."+leaf)
				parts = append(parts, numbered("count", i)+"*"+numbered("each", i))
			} else {
				parts = append(parts, numbered("count", i))
			}
		}
		return parts
	}
	all := func(takeUp string) {
		x.is("panels + take_up + fringes + between + waste")
		x.from("panels", at+".length.panels_cm")
		x.from("take_up", at+".length."+takeUp)
		for _, leaf := range []string{"fringes", "between", "waste"} {
			x.from(leaf, at+".length."+leaf+"_cm")
		}
	}
	switch field {
	case "panels_cm":
		x.is(sum(slots("woven_loom_cm")))
	case "take_up_cm", "take_up_high_cm":
		x.is(sum(slots(field)))
	case "fringes_cm":
		x.is(sum(slots("fringe_loom_cm")))
	case "between_cm":
		x.given("between", at+".between", in.Between)
		x.is("between*(" + sum(slots("")) + " - 1)")
	case "waste_cm":
		x.same(at+".waste", in.Waste)
	case "middle_cm":
		all("take_up_cm")
	case "lay_cm":
		all("take_up_high_cm")
		x.how("how-high-end")
	}
}

// path explains the way round the frame.
func (x *explaining) path(p *frame.Path, at, field string) {
	var straight, arcs measure.CM
	for i, l := range p.Legs {
		if i < p.Out {
			straight += measure.CM(math.Hypot(float64(l.X2-l.X1), float64(l.Y2-l.Y1)))
		}
	}
	arcs = p.Outward - straight
	switch field {
	case "end_length_cm":
		x.is("circuit / 2")
		x.from("circuit", at+".path.circuit_cm")
	case "circuit_cm":
		x.is("out + home")
		x.from("out", at+".path.outward_cm")
		x.from("home", at+".path.homeward_cm")
	case "outward_cm":
		x.is("straight + arcs")
		x.known("straight", straight, "source-tangents")
		x.known("arcs", arcs, "source-arcs")
	case "homeward_cm":
		x.is("straight + arcs")
		back := measure.CM(0)
		for i, l := range p.Legs {
			if i >= p.Out {
				back += measure.CM(math.Hypot(float64(l.X2-l.X1), float64(l.Y2-l.Y1)))
			}
		}
		x.known("straight", back, "source-tangents")
		x.known("arcs", p.Homeward-back, "source-arcs")
	case "excess_cm":
		x.is("max(0, end_length - lay)")
		x.from("end_length", at+".path.end_length_cm")
		x.from("lay", at+".length.lay_cm")
	case "crossings":
		x.how("how-crossings")
	}
}

// warpYarn explains one yarn's part of a laying.
func (x *explaining) warpYarn(w *WarpPlan, at, key, field string) {
	switch field {
	case "ends":
		x.how("how-ends-of-yarn")
	case "length_m":
		x.is("ends*lay / 100")
		x.from("ends", at+".yarns."+key+".ends")
		if w.Path != nil {
			x.from("lay", at+".path.end_length_cm")
		} else {
			x.from("lay", at+".length.lay_cm")
		}
	case "mass_g":
		x.is("length*tex / 1000")
		x.from("length", at+".yarns."+key+".length_m")
		x.from("tex", "yarns."+key+".end_tex")
	}
}

// takeUp explains a band's take-up: Peirce's geometry with a straight weft, and
// what was measured.
func (x *explaining) takeUp(b *BandPlan, w *WarpPlan, at, field string) {
	low, high := cloth.FlatnessRange(x.c.Flatness)
	flat, formula := x.c.Flatness, "flatness"
	switch field {
	case "low_fraction":
		flat, formula = low, "flatness - spread"
	case "high_fraction":
		flat, formula = high, "min(1, flatness + spread)"
	}
	if b.PicksPerCM == 0 {
		x.is("0")
		x.how("how-no-picks")
		return
	}
	in := x.inWarp(w.Key)
	g, err := cloth.StraightWeft(cloth.Crossing{Warp: w.Diameter, Weft: x.p.Yarn(b.Weft).Diameter, Picks: b.PicksPerCM, Flatness: flat})
	geometry := "length / spacing - 1"
	x.given("flatness", "flatness", x.c.Flatness)
	if field != "middle_fraction" {
		x.known("spread", cloth.DefaultFlatness-mustLow(), "source-memory")
	}
	x.from("warp_diameter", "warps."+w.Key+".mean_diameter_mm")
	x.from("weft_diameter", "yarns."+b.Weft+".diameter_mm")
	x.from("picks", at+".picks_per_cm")
	x.step("sum", g.Sum, "("+formula+")*(warp_diameter + weft_diameter)")
	x.step("spacing", g.Spacing, "10 / picks")
	if err != nil {
		geometry = "pi / 2 - 1"
	} else {
		x.step("angle", g.Angle, "asin(sum / spacing)")
		x.step("length", g.Length, "sum*angle + sum / tan(angle)")
	}
	x.how("how-take-up")
	if !b.TakeUp.Measured {
		x.is(geometry)
		return
	}
	x.measured(in, field, geometry, at)
}

// mustLow is the low end of the default's range.
func mustLow() measure.Ratio {
	low, _ := cloth.FlatnessRange(cloth.DefaultFlatness)
	return low
}

// measured shrinks what the workshop measured toward the geometry.
func (x *explaining) measured(in Warp, field, geometry, at string) {
	file := "warps." + in.Key + ".measured"
	rec := cloth.Records{Mean: in.MeasuredTakeUp, Pieces: in.MeasuredPieces}
	x.how("how-measured")
	x.given("pieces", file+".pieces", in.MeasuredPieces)
	x.known("worth", cloth.PriorPieces, "source-memory")
	x.step("weight", rec.Weight(), "pieces / (pieces + worth)")
	if field == "middle_fraction" {
		x.given("measured", file+".take-up", in.MeasuredTakeUp)
		x.is("weight*measured + (1 - weight)*(" + geometry + ")")
		return
	}
	w := measure.Ratio(rec.Weight())
	middle := x.numbers[at+".take_up.middle_fraction"].(measure.Ratio)
	x.from("middle", at+".take_up.middle_fraction")
	x.known("geometry", (middle-w*in.MeasuredTakeUp)/(1-w), "source-geometry")
	x.is("middle + (1 - weight)*(" + geometry + " - geometry)")
}
