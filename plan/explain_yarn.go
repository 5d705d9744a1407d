package plan

import (
	"fmt"

	"urdir/measure"
	"urdir/yarn"
)

// yarn explains a number of a yarn.
func (x *explaining) yarn(y *YarnNeed, field string) {
	at := "yarns." + y.Key
	in := x.inYarn(y.Key)
	room, rest := cutFirst(field)
	switch field {
	case "hatch":
		x.how("how-place")
	case "strands":
		x.same(at+".strands", in.Spec.Strands)
	case "strand_tex":
		x.strand(in.Spec, at)
	case "end_tex":
		x.is("strand*strands")
		x.from("strand", at+".strand_tex")
		x.from("strands", at+".strands")
	case "diameter_mm":
		if y.Measured {
			x.is("10 / wraps")
			x.given("wraps", at+".wraps", in.Spec.Wraps)
			return
		}
		volume := in.Spec.Volume
		if volume == 0 {
			volume = yarn.DefaultVolume
		}
		x.is("20*sqrt(tex / 100000*volume / pi)")
		x.from("tex", at+".end_tex")
		x.given("volume", at+".volume", volume)
		x.how("how-diameter")
	case "warp_m":
		x.yarnInWarps(y)
	case "weft_m":
		x.yarnInBands(func(b BandPlan) string {
			if b.Weft == y.Key {
				return "weft_m"
			}
			return ""
		})
	case "figure_m":
		x.yarnInBands(func(b BandPlan) string {
			if b.Figure != nil {
				for _, u := range b.Figure.Yarns {
					if u.Yarn == y.Key {
						return "figure.yarns." + y.Key + ".length_m"
					}
				}
			}
			return ""
		})
	case "spare_m":
		x.used(at)
		x.given("spare_share", "spare", x.c.Spare)
		x.is("(warp + weft + figure)*spare_share")
	case "thread_m":
		x.used(at)
		x.from("spare", at+".spare_m")
		x.from("strands", at+".strands")
		x.is("(warp + weft + figure + spare)*strands")
	case "mass_g":
		x.is("thread*tex / 1000")
		x.from("thread", at+".thread_m")
		x.from("tex", at+".strand_tex")
	case "skein_g":
		x.same(at+".hank", in.Skein)
	case "dyestuff_fraction":
		x.same(at+".dyestuff", in.Share)
	case "skeins":
		x.is("ceil(mass / skein)")
		x.from("mass", at+".mass_g")
		x.from("skein", at+".skein_g")
	case "left_over_g":
		x.is("skeins*skein - mass")
		x.from("skeins", at+".skeins")
		x.from("skein", at+".skein_g")
		x.from("mass", at+".mass_g")
	default:
		key, leaf := cutFirst(rest)
		if room == "balls" {
			x.ball(at+".balls."+key, "warps."+key+".yarns."+y.Key, leaf)
		}
	}
}

func (x *explaining) inYarn(key string) Yarn {
	for _, y := range x.c.Yarns {
		if y.Key == key {
			return y
		}
	}
	return Yarn{}
}

func (x *explaining) used(at string) {
	for _, leaf := range []string{"warp", "weft", "figure"} {
		x.from(leaf, at+"."+leaf+"_m")
	}
}

// strand is the linear density of one strand, from its count or a skein.
func (x *explaining) strand(s yarn.Spec, at string) {
	twist := ""
	if s.Contraction > 0 && s.Count.Plies > 1 && !s.Count.IsResultant() {
		x.given("twist", at+".twist", s.Contraction)
		twist = " / (1 - twist)"
	}
	if s.Count.Number == 0 {
		x.is("skein_mass / skein_length*1000")
		x.given("skein_mass", at+".skein.mass", s.SkeinMass)
		x.given("skein_length", at+".skein.length", s.SkeinLength)
		return
	}
	unit := yarn.Count{System: s.Count.System, Number: 1, Plies: 1}.Tex()
	x.given("number", at+".count", s.Count.Number)
	x.known("unit", float64(unit), "source-count")
	plies := ""
	if s.Count.Plies > 1 && !s.Count.IsResultant() {
		x.given("plies", at+".count", s.Count.Plies)
		plies = "*plies"
	}
	if s.Count.System.Direct() {
		x.is("number*unit" + plies + twist)
		return
	}
	x.is("unit / number" + plies + twist)
}

func (x *explaining) yarnInWarps(y *YarnNeed) {
	var parts []string
	for _, w := range x.p.Warps {
		for _, wy := range w.Yarns {
			if wy.Yarn != y.Key {
				continue
			}
			i, at := len(parts), "warps."+w.Key
			x.from(numbered("length", i), at+".yarns."+y.Key+".length_m")
			x.from(numbered("layings", i), at+".layings")
			parts = append(parts, numbered("length", i)+"*"+numbered("layings", i))
		}
	}
	x.is(sum(parts))
}

// yarnInBands adds up a length over all bands, for all panels of all pieces.
func (x *explaining) yarnInBands(leaf func(BandPlan) string) {
	var parts []string
	for _, pan := range x.p.Panels {
		for i, b := range pan.Bands {
			l := leaf(b)
			if l == "" {
				continue
			}
			n := len(parts)
			x.from(numbered("length", n), fmt.Sprintf("panels.%s.bands[%d].%s", pan.Key, i, l))
			x.from(numbered("count", n), "panels."+pan.Key+".count")
			parts = append(parts, numbered("length", n)+"*"+numbered("count", n))
		}
	}
	x.is("pieces*(" + sum(parts) + ")")
	x.from("pieces", "pieces")
}

func (x *explaining) ball(at, warpYarn, field string) {
	switch field {
	case "balls":
		x.how("how-balls")
	case "each_m":
		x.is("length*(1 + spare_share) / balls")
		x.from("length", warpYarn+".length_m")
		x.given("spare_share", "spare", x.c.Spare)
		x.from("balls", at+".balls")
	case "each_g":
		x.is("mass*(1 + spare_share) / balls")
		x.from("mass", warpYarn+".mass_g")
		x.given("spare_share", "spare", x.c.Spare)
		x.from("balls", at+".balls")
	}
}

// figure explains a number of a chart.
func (x *explaining) figure(c *Chart, field string) {
	at := "figures." + c.Key
	switch field {
	case "cell_ends":
		x.same(at+".cell.ends", c.CellEnds)
	case "cell_picks":
		x.same(at+".cell.picks", c.CellPicks)
	case "width_cm":
		x.is("columns*cell_ends / sett")
		x.from("columns", at+".columns")
		x.from("cell_ends", at+".cell_ends")
		x.known("sett", measure.PerCM(float64(c.Columns*c.CellEnds)/float64(c.Width)), "source-first-warp")
	case "height_cm":
		x.is("rows*cell_picks / picks_per_cm")
		x.from("rows", at+".rows")
		x.from("cell_picks", at+".cell_picks")
		x.known("picks_per_cm", measure.PerCM(float64(c.Rows*c.CellPicks)/float64(c.Height)), "source-first-warp")
	default:
		x.how("how-chart")
	}
}
