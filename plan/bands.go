package plan

import (
	"fmt"
	"math"
	"slices"

	"urdir/check"
	"urdir/cloth"
	"urdir/figure"
	"urdir/measure"
	"urdir/warp"
)

// maxBands bounds a panel written out.
const maxBands = 1000

// flatBand is a band written out, with the path it was written at.
type flatBand struct {
	Band
	path string
}

// expandBands writes repeats and mirrors out. The paths of the bands are those
// they were written at.
func expandBands(items []BandItem, path string, depth int, ps *check.Problems) []flatBand {
	var out []flatBand
	for i, it := range items {
		out = append(out, it.expand(fmt.Sprintf("%s[%d]", path, i), depth, ps)...)
		if len(out) > maxBands {
			ps.Wrong(fmt.Sprintf("%s[%d]", path, i), "bands-too-many", check.Args{"most": maxBands})
			return nil
		}
	}
	return out
}

func (it BandItem) expand(at string, depth int, ps *check.Problems) (out []flatBand) {
	switch {
	case it.Band != nil:
		return []flatBand{{*it.Band, at}}
	case depth >= warp.MaxDepth:
		ps.Wrong(at, "bands-too-deep", check.Args{"most": warp.MaxDepth})
	case len(it.Mirror) > 0:
		var parts [][]flatBand
		for i := range it.Mirror {
			parts = append(parts, it.Mirror[i].expand(fmt.Sprintf("%s.mirror[%d]", at, i), depth+1, ps))
			if out = append(out, parts[i]...); len(out) > maxBands {
				return out
			}
		}
		for i := len(parts) - 2; i >= 0 && len(out) <= maxBands; i-- {
			for _, back := range slices.Backward(parts[i]) {

				back.Place.Turned = !back.Place.Turned
				out = append(out, back)
			}
		}
	case len(it.Of) == 0:
		ps.Wrong(at, "group-empty", nil)
	case it.Repeat < 1:
		ps.Wrong(at+".repeat", "repeat-too-few", check.Args{"repeat": it.Repeat})
	default:
		once := expandBands(it.Of, at+".of", depth+1, ps)
		for range it.Repeat {
			if out = append(out, once...); len(out) > maxBands || len(once) == 0 {
				break
			}
		}
	}
	return out
}

// loomOf is the loom-state length of a finished length.
func (m *maker) loomOf(finished measure.CM) measure.CM {
	return cloth.Loom(finished, m.in.Shrink.Length)
}

// bands lays out one panel along its length: every band gets its lengths, its
// picks and its take-up.
func (m *maker) bands(p Panel, path string, w *WarpPlan) []BandPlan {
	flat := expandBands(p.Bands, path+".bands", 1, &m.ps)
	if len(flat) == 0 {
		if !m.ps.Failed() {
			m.ps.Wrong(path+".bands", "bands-none", nil)
		}
		return nil
	}
	flat = m.withSeams(flat, p)
	out := make([]BandPlan, len(flat))
	for i := range flat {
		out[i] = m.measureBand(flat[i], w)
	}
	m.rest(out, flat, p, path)
	if m.ps.Failed() {
		return out
	}
	at, picks := measure.CM(0), 0
	for i := range out {
		m.finishBand(&out[i], flat[i], w, picks)
		picks += out[i].Picks
		if out[i].Kind != Fringe {
			out[i].From, at = at, at+out[i].Loom
			out[i].To = at
		}
	}
	begin(out)
	return out
}

// begin finds where each band begins along the opened-out panel: 0 is where its
// cloth does.
func begin(bands []BandPlan) {
	at, origin, begun := measure.CM(0), measure.CM(0), false
	for i := range bands {
		if bands[i].Kind != Fringe && !begun {
			origin, begun = at, true
		}
		bands[i].Begin, at = at, at+bands[i].Made
	}
	for i := range bands {
		bands[i].Begin -= origin
	}
}

// withSeams adds the cloth that end seams take, inside the fringes.
func (m *maker) withSeams(flat []flatBand, p Panel) []flatBand {
	seam := func(depth measure.CM, at string) []flatBand {
		if depth == 0 {
			return nil
		}
		return []flatBand{{Band{Kind: SeamBand, Length: depth}, at}}
	}
	first, last := 0, len(flat)
	if flat[0].Kind == Fringe {
		first = 1
	}
	if last > first && flat[last-1].Kind == Fringe {
		last--
	}
	out := append([]flatBand{}, flat[:first]...)
	out = append(out, seam(p.Seam.Bottom, "panels."+p.Key+".seam.bottom")...)
	out = append(out, flat[first:last]...)
	out = append(out, seam(p.Seam.Top, "panels."+p.Key+".seam.top")...)
	return append(out, flat[last:]...)
}

// measureBand settles what a band says of itself; a rest is still open.
func (m *maker) measureBand(b flatBand, w *WarpPlan) BandPlan {
	out := BandPlan{Kind: b.Kind, Seen: b.Length, at: b.path}
	if b.Kind != Open && b.Kind != Fringe {
		out.Weft, out.PicksPerCM = b.Weft, b.Picks
		if out.Weft == "" {
			out.Weft = m.in.Weft
		}
		if out.PicksPerCM == 0 {
			out.PicksPerCM = m.in.Picks
		}
		m.checkWeft(out, b)
	}
	switch b.Kind {
	case Hem:
		out.Under = b.Under
	case Fringe:
		out.Twist = b.Twist
	case Figured:
		out.Figure = m.place(b, w, out.PicksPerCM)
		if out.Figure != nil && b.Length == 0 && !b.Rest {
			out.Seen = cloth.Finished(pickLength(out.Figure.Picks, out.PicksPerCM), m.in.Shrink.Length)
		}
	}
	return out
}

// ceilPicks is the picks that fill a length; the last bits of a float never make
// another.
func ceilPicks(l measure.CM, per measure.PerCM) int {
	return int(math.Ceil(float64(l)*float64(per) - 1e-9))
}

func pickLength(picks int, per measure.PerCM) measure.CM {
	return measure.CM(float64(picks) / float64(per))
}

func (m *maker) checkWeft(out BandPlan, b flatBand) {
	if out.Weft == "" {
		m.ps.Wrong(b.path, "band-no-weft", nil)
	}
	if out.PicksPerCM <= 0 {
		m.ps.Wrong(b.path, "band-no-picks", nil)
	}
}

// rest shares what the bands leave of the panel's length among the rests, or
// checks that bands without a rest add up.
func (m *maker) rest(out []BandPlan, flat []flatBand, p Panel, path string) {
	var sum measure.CM
	rests := 0
	for i, b := range out {
		switch {
		case b.Kind == Fringe || b.Kind == SeamBand:
		case flat[i].Rest:
			rests++
		default:
			sum += b.Seen
		}
	}
	left := p.Length - sum
	args := check.Args{"sum": sum, "length": p.Length, "left": left}
	const tolerance = 0.1 // cm
	switch {
	case p.Length == 0 && rests > 0:
		m.ps.Wrong(path, "rest-without-length", nil)
	case p.Length == 0:
	case rests == 0 && math.Abs(float64(left)) > tolerance:
		m.ps.Wrong(path+".bands", "bands-do-not-add", args)
	case rests > 0 && left <= 0:
		m.ps.Wrong(path+".bands", "bands-too-long", args)
	}
	for i := range out {
		if flat[i].Rest && out[i].Kind != Fringe {
			out[i].Seen = left / measure.CM(rests)
		} else if flat[i].Rest {
			m.ps.Wrong(flat[i].path, "fringe-rest", nil)
		}
	}
}

// finishBand gives a band of known length its picks, take-up and weft; so many
// picks are below it.
func (m *maker) finishBand(out *BandPlan, b flatBand, w *WarpPlan, below int) {
	out.Made = out.Seen
	if out.Kind == Hem {
		out.Made = 2*out.Seen + out.Under
	}
	out.Loom = m.loomOf(out.Made)
	switch out.Kind {
	case Fringe:
		out.Loom *= measure.CM(1 + out.Twist)
		return
	case Open:
		return
	}
	out.Picks = ceilPicks(out.Loom, out.PicksPerCM)
	if out.Figure != nil && !m.centre(out, b, below) {
		return
	}
	thread := m.thread[out.Weft]
	out.TakeUp = m.takeUp(w, thread.Diameter, out.PicksPerCM, b.path)
	each := cloth.PickLength(w.LoomWidth, m.in.Crimp, out.PicksPerCM)
	out.WeftLen = measure.M(float64(out.Picks) * float64(each.M()))
	out.WeftMass = thread.Tex.Mass(out.WeftLen)
}

// centre leaves as much plain cloth before a figure as after it. Pick-up begins
// on the shed of its first row, which is that of the odd picks: one plain pick
// goes from one side to the other for it, or is added.
func (m *maker) centre(out *BandPlan, b flatBand, below int) bool {
	f := out.Figure
	spare := out.Picks - f.Picks
	if spare < 0 {
		m.ps.Wrong(b.path, "figure-taller", check.Args{
			"figure": f.Key, "picks": f.Picks, "band": out.Picks,
			"height": cloth.Finished(pickLength(f.Picks, out.PicksPerCM), m.in.Shrink.Length), "length": out.Seen})
		return false
	}
	f.Before, f.After = spare/2, spare-spare/2
	if m.in.Figures[m.chart[f.Key]].Chart.Kind != figure.PickUp || (below+f.Before)%2 == 0 {
		return true
	}
	f.Before++
	if f.After--; f.After < 0 {
		f.After = 0
		out.Picks++
	}
	return true
}

// takeUp is the range of take-up of a band. Where the workshop has measured
// pieces of this warp, their mean counts, shrunk toward the geometry.
func (m *maker) takeUp(w *WarpPlan, weft measure.MM, picks measure.PerCM, path string) TakeUp {
	key := takeUpKey{w.Key, weft, picks}
	if t, ok := m.takeUps[key]; ok {
		return t
	}
	t := m.reckonTakeUp(w, weft, picks, path)
	m.takeUps[key] = t
	return t
}

type takeUpKey struct {
	warp  string
	weft  measure.MM
	picks measure.PerCM
}
