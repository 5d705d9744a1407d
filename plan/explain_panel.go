package plan

import (
	"fmt"
	"strings"

	"urdir/cloth"
	"urdir/figure"
	"urdir/measure"
)

func cutFirst(path string) (first, rest string) {
	first, rest, _ = strings.Cut(path, ".")
	return first, rest
}

// panel explains a number of a panel; field is its path within the panel.
func (x *explaining) panel(key, field string) {
	pan, in, at := x.pan(key), x.inPanel(key), "panels."+key
	room, rest := cutFirst(field)
	if room == "tied" {
		x.tied(in.Tied, at+".tied", rest)
		return
	}
	if _, i := index(room); i >= 0 {
		x.band(pan, i, rest)
		return
	}
	bands := func(leaf string, counts func(BandPlan) bool) {
		var parts []string
		for i, b := range pan.Bands {
			if counts(b) {
				parts = append(parts, numbered("band", i))
				x.from(numbered("band", i), fmt.Sprintf("%s.bands[%d].%s", at, i, leaf))
			}
		}
		x.is(sum(parts))
	}
	fringe := func(b BandPlan) bool { return b.Kind == Fringe }
	cut := func(b BandPlan) bool { return b.Kind != Fringe }
	switch field {
	case "count":
		x.same(at+".count", in.Count)
	case "width_cm":
		x.is("cut_width - seam_left - seam_right")
		x.from("cut_width", at+".cut_width_cm")
		x.given("seam_left", at+".seam.left", in.Seam.Left)
		x.given("seam_right", at+".seam.right", in.Seam.Right)
	case "length_cm":
		bands("seen_cm", func(b BandPlan) bool { return b.Kind != Fringe && b.Kind != SeamBand })
	case "cut_width_cm":
		x.is("width")
		x.from("width", "warps."+pan.Warp+".finished_width_cm")
	case "cut_length_cm":
		bands("finished_cm", cut)
	case "fringes_cm":
		bands("finished_cm", fringe)
	case "loom_length_cm":
		bands("loom_cm", cut)
	case "picks":
		bands("picks", func(b BandPlan) bool { return b.Picks > 0 })
	case "end_m":
		var parts []string
		for i := range pan.Bands {
			here := fmt.Sprintf("%s.bands[%d]", at, i)
			x.from(numbered("loom", i), here+".loom_cm")
			x.from(numbered("take_up", i), here+".take_up.middle_fraction")
			parts = append(parts, numbered("loom", i)+"*(1 + "+numbered("take_up", i)+")")
		}
		x.is("(" + sum(parts) + ") / 100")
	case "warp_g":
		x.panelWarp(pan, at)
	case "fringes_g":
		x.panelFringes(pan, at)
	case "weft_g":
		bands("weft_g", func(b BandPlan) bool { return b.WeftMass > 0 })
	case "figures_g":
		x.panelFigures(pan, at)
	case "mass_g":
		x.is("warp + weft + figures")
		for _, leaf := range []string{"warp", "weft", "figures"} {
			x.from(leaf, at+"."+leaf+"_g")
		}
	default: // seam.left_cm
		edge := strings.TrimSuffix(rest, "_cm")
		x.same(at+".seam."+edge, x.numbers[at+"."+field])
	}
}

func (x *explaining) panelWarp(pan *PanelPlan, at string) {
	x.is("end*(" + sum(x.endMasses(pan)) + ") / 1000")
	x.from("end", at+".end_m")
}

// endMasses is what a metre of all ends weighs, yarn by yarn.
func (x *explaining) endMasses(pan *PanelPlan) (parts []string) {
	for i, y := range x.p.Warp(pan.Warp).Yarns {
		x.from(numbered("ends", i), "warps."+pan.Warp+".yarns."+y.Yarn+".ends")
		x.from(numbered("tex", i), "yarns."+y.Yarn+".end_tex")
		parts = append(parts, numbered("ends", i)+"*"+numbered("tex", i))
	}
	return parts
}

// panelFringes is the warp in the fringes.
func (x *explaining) panelFringes(pan *PanelPlan, at string) {
	ends, fringes := x.endMasses(pan), []string{}
	for i, b := range pan.Bands {
		if b.Kind == Fringe {
			fringes = append(fringes, numbered("loom", i))
			x.from(numbered("loom", i), fmt.Sprintf("%s.bands[%d].loom_cm", at, i))
		}
	}
	x.is("(" + sum(fringes) + ") / 100*(" + sum(ends) + ") / 1000")
}

func (x *explaining) panelFigures(pan *PanelPlan, at string) {
	var parts []string
	for i, b := range pan.Bands {
		if b.Figure == nil {
			continue
		}
		for _, u := range b.Figure.Yarns {
			n := len(parts)
			x.from(numbered("length", n), fmt.Sprintf("%s.bands[%d].figure.yarns.%s.length_m", at, i, u.Yarn))
			x.from(numbered("tex", n), "yarns."+u.Yarn+".end_tex")
			parts = append(parts, numbered("length", n)+"*"+numbered("tex", n))
		}
	}
	x.is("(" + sum(parts) + ") / 1000")
}

// band explains a number of a band.
func (x *explaining) band(pan *PanelPlan, i int, field string) {
	at := fmt.Sprintf("panels.%s.bands[%d]", pan.Key, i)
	b, w := &pan.Bands[i], x.p.Warp(pan.Warp)
	room, rest := cutFirst(field)
	switch {
	case room == "take_up":
		x.takeUp(b, w, at, rest)
	case room == "figure":
		x.placed(b, w, at, rest)
	case field == "seen_cm":
		x.seen(pan, b, i)
	case field == "finished_cm":
		x.is("seen")
		x.from("seen", at+".seen_cm")
		if b.Kind == Hem {
			x.is("2*seen + under")
			x.from("under", at+".turned_under_cm")
			x.how("how-hem")
		}
	case field == "loom_cm":
		x.is("finished / (1 - shrink_length)")
		x.from("finished", at+".finished_cm")
		x.given("shrink_length", "shrinkage.length", x.c.Shrink.Length)
		if b.Kind == Fringe {
			x.is("finished / (1 - shrink_length)*(1 + twist)")
			x.from("twist", at+".twist_fraction")
		}
	case field == "from_loom_cm":
		x.is("0")
		x.how("how-start")
		for j := i - 1; j >= 0 && b.Kind != Fringe; j-- {
			if pan.Bands[j].Kind != Fringe {
				x.is("before")
				x.how("")
				x.from("before", fmt.Sprintf("panels.%s.bands[%d].to_loom_cm", pan.Key, j))
				break
			}
		}
	case field == "to_loom_cm" && b.Kind == Fringe:
		x.is("0")
		x.how("how-start")
	case field == "to_loom_cm":
		x.is("begin + loom")
		x.from("begin", at+".from_loom_cm")
		x.from("loom", at+".loom_cm")
	case field == "turned_under_cm":
		x.same(b.at+".under", b.Under)
	case field == "twist_fraction":
		x.same(b.at+".twist", b.Twist)
	default:
		x.woven(b, w, at, field)
	}
}

// woven explains the picks and the weft of a band.
func (x *explaining) woven(b *BandPlan, w *WarpPlan, at, field string) {
	if b.PicksPerCM == 0 {
		x.is("0")
		x.how("how-no-picks")
		return
	}
	switch field {
	case "picks_per_cm":
		if b.PicksPerCM == x.c.Picks {
			x.same("picks", x.c.Picks)
			return
		}
		x.same(b.at+".picks", b.PicksPerCM)
	case "picks":
		x.is("ceil(loom*picks)")
		x.from("loom", at+".loom_cm")
		x.from("picks", at+".picks_per_cm")
		if b.Figure != nil {
			x.is("ceil(loom*picks) + shed")
			x.known("shed", b.Picks-ceilPicks(b.Loom, b.PicksPerCM), "source-shed")
		}
	case "weft_m":
		x.is("picks*(loom_width*(1 + crimp) + turn) / 100")
		x.from("picks", at+".picks")
		x.from("loom_width", "warps."+w.Key+".loom_width_cm")
		x.given("crimp", "crimp", x.c.Crimp)
		x.from("picks_per_cm", at+".picks_per_cm")
		x.step("turn", cloth.Turn(b.PicksPerCM), "pi / 2 / picks_per_cm")
	case "weft_g":
		x.is("length*tex / 1000")
		x.from("length", at+".weft_m")
		x.from("tex", "yarns."+b.Weft+".end_tex")
	}
}

// seen is as written, what the others leave, or as high as the figure.
func (x *explaining) seen(pan *PanelPlan, b *BandPlan, i int) {
	field := b.at + "." + string(b.Kind)
	written, rest := x.written(pan, i)
	switch {
	case b.Kind == SeamBand:
		x.same(b.at, b.Seen)
	case rest:
		x.is("length")
		x.given("length", "panels."+pan.Key+".length", x.inPanel(pan.Key).Length)
		rests, others := 0, ""
		for j, o := range pan.Bands {
			if o.Kind == Fringe || o.Kind == SeamBand {
				continue
			}
			if _, also := x.written(pan, j); also {
				rests++
				continue
			}
			x.from(numbered("band", j), fmt.Sprintf("panels.%s.bands[%d].seen_cm", pan.Key, j))
			others += " - " + numbered("band", j)
		}
		x.is("(length" + others + ") / rests")
		x.known("rests", rests, "source-rests")
	case written == 0 && b.Figure != nil:
		at := fmt.Sprintf("panels.%s.bands[%d]", pan.Key, i)
		x.is("picks / picks_per_cm*(1 - shrink_length)")
		x.from("picks", at+".figure.picks")
		x.from("picks_per_cm", at+".picks_per_cm")
		x.given("shrink_length", "shrinkage.length", x.c.Shrink.Length)
	default:
		x.same(field, b.Seen)
	}
}

// written is the length a band was given, and whether it takes the rest.
func (x *explaining) written(pan *PanelPlan, i int) (measure.CM, bool) {
	for _, b := range x.flat(pan.Key) {
		if b.path == pan.Bands[i].at {
			return b.Length, b.Rest
		}
	}
	return pan.Bands[i].Seen, false // a seam
}

// flat is the bands of a panel as written, repeats written out.
func (x *explaining) flat(key string) []flatBand {
	m := maker{}
	return expandBands(x.inPanel(key).Bands, "panels."+key+".bands", 1, &m.ps)
}

// placed explains a figure in a band.
func (x *explaining) placed(b *BandPlan, w *WarpPlan, at, field string) {
	f := b.Figure
	chart := "figures." + f.Key
	room, rest := cutFirst(field)
	switch {
	case room == "layout":
		x.layout(b, w, at+".figure", rest)
	case room == "yarns":
		key, leaf := cutFirst(rest)
		x.figureYarn(w, at+".figure", key, leaf)
	case field == "times_along":
		x.same(b.at+".upright", f.Upright)
	case field == "room_first_end":
		x.how("how-room")
	case field == "room_ends":
		x.how("how-room")
	case field == "step_ends":
		x.how("how-step")
	case field == "rows":
		x.is("rows*times")
		x.from("rows", chart+".rows")
		x.from("times", at+".figure.times_along")
	case field == "picks":
		x.is("rows*cell_picks")
		x.from("rows", at+".figure.rows")
		x.from("cell_picks", chart+".cell_picks")
	case field == "picks_before":
		half := (b.Picks - f.Picks) / 2
		x.is("floor((band_picks - figure_picks) / 2) + shed")
		x.from("band_picks", at+".picks")
		x.from("figure_picks", at+".figure.picks")
		x.known("shed", f.Before-half, "source-shed")
	case field == "picks_after":
		x.is("band_picks - figure_picks - before")
		x.from("band_picks", at+".picks")
		x.from("figure_picks", at+".figure.picks")
		x.from("before", at+".figure.picks_before")
	}
}

// layout explains how figures stand across a band.
func (x *explaining) layout(b *BandPlan, w *WarpPlan, at, field string) {
	l, place := at+".layout", x.placement(b)
	file, chart := b.at, "figures."+b.Figure.Key
	name, i := index(field)
	shrink := func() { x.given("shrink_width", "shrinkage.width", x.c.Shrink.Width) }
	sett := func() { x.given("sett", "warps."+w.Key+".sett", w.Sett) }
	switch name {
	case "figures":
		if place.Count > 0 {
			x.same(file+".count", place.Count)
			return
		}
		x.is("floor((room - 2*margin_ends + between) / (each + between))")
		x.from("room", at+".room_ends")
		x.given("margin", file+".margin", place.Margin)
		shrink()
		sett()
		x.from("step", at+".step_ends")
		x.step("margin_ends", marginEnds(place.Margin, x.c.Shrink.Width, w.Sett, b.Figure.Step),
			"ceil(round(margin / (1 - shrink_width)*sett) / step)*step")
		x.from("between", l+".ends_between")
		x.from("each", l+".ends_each")
	case "first_ends":
		x.is("first + left + place*(each + between)")
		x.from("first", at+".room_first_end")
		x.from("left", l+".ends_left")
		x.known("place", i, "source-place")
		x.from("each", l+".ends_each")
		x.from("between", l+".ends_between")
	case "ends_each":
		x.is("columns*cell_ends")
		x.from("columns", chart+".columns")
		x.from("cell_ends", chart+".cell_ends")
	case "ends_between":
		x.is("ceil(round(space / (1 - shrink_width)*sett) / step)*step")
		x.given("space", file+".spacing", place.Spacing)
		shrink()
		sett()
		x.from("step", at+".step_ends")
	case "ends_left", "ends_right":
		x.from("room", at+".room_ends")
		x.from("figures", l+".figures")
		x.from("each", l+".ends_each")
		x.from("between", l+".ends_between")
		used := "figures*each - (figures - 1)*between"
		if field == "ends_right" {
			x.is("room - " + used + " - left")
			x.from("left", l+".ends_left")
			return
		}
		x.is("floor((room - " + used + ") / 2 / step)*step")
		x.from("step", at+".step_ends")
	case "width_each_cm", "left_cm", "right_cm":
		x.is("ends / sett")
		x.from("ends", l+"."+map[string]string{"width_each_cm": "ends_each", "left_cm": "ends_left", "right_cm": "ends_right"}[field])
		sett()
	}
}

func marginEnds(margin measure.CM, shrink measure.Ratio, sett measure.PerCM, step int) int {
	return figure.Threads(cloth.Loom(margin, shrink), sett, step)
}

// placement is how the figure of a band was asked for.
func (x *explaining) placement(b *BandPlan) Placement {
	for _, p := range x.p.Panels {
		for _, f := range x.flat(p.Key) {
			if f.path == b.at {
				return f.Place
			}
		}
	}
	return Placement{}
}

// figureYarn explains the figure weft of one colour.
func (x *explaining) figureYarn(w *WarpPlan, at, key, field string) {
	here := at + ".yarns." + key
	switch field {
	case "turns":
		x.is("passes")
		x.from("passes", here+".passes")
	case "each_m":
		x.is("length / figures")
		x.from("length", here+".length_m")
		x.from("figures", at+".layout.figures")
	case "length_m":
		x.is("(inlaid / sett + turn*turns) / 100")
		x.from("inlaid", here+".inlaid_ends")
		x.given("sett", "warps."+w.Key+".sett", w.Sett)
		x.known("turn", figure.TurnAllowance, "source-memory")
		x.from("turns", here+".turns")
	default: // butterflies, passes, inlaid_ends
		x.how("how-chart")
	}
}
