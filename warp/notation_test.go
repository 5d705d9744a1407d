package warp_test

import (
	"testing"

	"pgregory.net/rapid"

	"urdir/check"
	"urdir/clothfile"
	"urdir/measure"
	"urdir/warp"
)

// readOrder reads a stripe order as a cloth file has it:
// "stripes: [12 red, {mirror: [4 white, 1 part mist]}]".
func readOrder(text string) (warp.Order, check.Problems) {
	c, _, ps := clothfile.Read([]byte("urdir: 1\nwarps: {w: {" + text + "}}"))
	if ps.Failed() || len(c.Warps) == 0 {
		return warp.Order{}, ps
	}
	return c.Warps[0].Order, ps
}

func order(t testing.TB, text string) warp.Order {
	t.Helper()
	o, ps := readOrder(text)
	if ps.Failed() {
		t.Fatalf("%s: %v", text, ps)
	}
	return o
}

// bound brings any number into a range.
func bound(v, low, high float64) float64 {
	if !(v >= low) {
		return low
	}
	return min(v, high)
}

// fit writes an order out and fits it, and expects nothing worse than a caution.
func fit(t testing.TB, o warp.Order, room warp.Room) (warp.Flat, warp.Fitted) {
	t.Helper()
	flat, ps := o.Expand()
	if ps.Failed() {
		t.Fatalf("Expand: %v", ps)
	}
	f, ps := warp.Fit(flat, room)
	if ps.Failed() {
		t.Fatalf("Fit: %v", ps)
	}
	return flat, f
}

func endsOf(f warp.Fitted) []int {
	ends := make([]int, len(f.Stripes))
	for i, s := range f.Stripes {
		ends[i] = s.Ends
	}
	return ends
}

// yarns gives the yarn of every end from left to right.
func yarns(f warp.Fitted) []string {
	ends, names := f.Yarn()
	out := make([]string, len(ends))
	for i, e := range ends {
		out[i] = names[e]
	}
	return out
}

// codes lists "path code" of every problem.
func codes(ps check.Problems) []string {
	var out []string
	for _, p := range ps {
		out = append(out, p.Path+" "+p.Code)
	}
	return out
}

func plain(yarn string, ends int) warp.Item {
	return warp.Item{Stripe: &warp.Stripe{Yarns: []warp.Lay{{Yarn: yarn}}, Ends: ends}}
}

// drawStripe draws a plain stripe or an alternation, of any kind of size.
func drawStripe(t *rapid.T) warp.Item {
	s := &warp.Stripe{}
	for range rapid.IntRange(1, 3).Draw(t, "yarns") {
		s.Yarns = append(s.Yarns, warp.Lay{
			Yarn: rapid.SampledFrom([]string{"red", "sand", "mist"}).Draw(t, "yarn"),
			Ends: rapid.IntRange(1, 2).Draw(t, "lay")})
	}
	switch rapid.IntRange(0, 3).Draw(t, "size") {
	case 0:
		s.Ends = rapid.IntRange(1, 9).Draw(t, "ends")
	case 1:
		s.Width = measure.CM(rapid.Float64Range(0.2, 2).Draw(t, "cm"))
	default:
		s.Share = rapid.Float64Range(0.5, 3).Draw(t, "parts")
	}
	return warp.Item{Stripe: s}
}

// drawItems draws stripes, repeats and mirrors, at most so deep.
func drawItems(t *rapid.T, most, deep int) []warp.Item {
	items := make([]warp.Item, rapid.IntRange(1, most).Draw(t, "items"))
	for i := range items {
		kind := 0
		if deep > 0 {
			kind = rapid.IntRange(0, 3).Draw(t, "kind")
		}
		switch kind {
		case 2:
			items[i] = warp.Item{Repeat: rapid.IntRange(1, 3).Draw(t, "repeat"), Of: drawItems(t, most, deep-1)}
		case 3:
			items[i] = warp.Item{Mirror: drawItems(t, most, deep-1)}
		default:
			items[i] = drawStripe(t)
		}
	}
	return items
}

// job is a drawn order with a room that it fits, and each stripe's share of it.
type job struct {
	order  warp.Order
	flat   warp.Flat
	room   warp.Room
	ideal  []float64
	fixed  []bool
	wanted float64
}

// drawJob draws an order first and then the room: what the stripes take, and
// for each that shares from just over two ends to fourteen.
func drawJob(t *rapid.T, most, deep int) job {
	j := job{order: warp.Order{Items: drawItems(t, most, deep)}}
	if rapid.Bool().Draw(t, "border") {
		j.order.Border = drawItems(t, 1, 0)
	}
	flat, ps := j.order.Expand()
	if ps.Failed() {
		t.Fatalf("Expand: %v", ps)
	}
	j.flat = flat
	j.room = warp.Room{
		Sett:   measure.PerCM(rapid.Float64Range(4, 30).Draw(t, "sett")),
		Shrink: measure.Ratio(rapid.Float64Range(0, 0.2).Draw(t, "shrink"))}
	j.fill(rapid.Float64Range(2.01, 14).Draw(t, "each"), rapid.Float64Range(0.5, 2).Draw(t, "scale"))
	return j
}

// fill reckons every stripe's ends before rounding, by the rules of the order:
// widths by ends = width / (1 - shrinkage) x sett, shares of what is left.
func (j *job) fill(each, scale float64) {
	n := len(j.flat.Stripes)
	j.ideal, j.fixed = make([]float64, n), make([]bool, n)
	laid, shares, least := 0.0, 0.0, 0.0
	for i, s := range j.flat.Stripes {
		j.ideal[i] = float64(s.Ends) + float64(s.Width)/(1-float64(j.room.Shrink))*float64(j.room.Sett)
		j.fixed[i] = s.Ends > 0
		laid += j.ideal[i]
		shares += s.Share
		if s.Share > 0 {
			least += each
		}
	}
	j.wanted = laid + least
	if shares == 0 {
		j.room.Scale = true
		j.wanted = laid * scale
	}
	for i, s := range j.flat.Stripes {
		switch {
		case s.Share > 0:
			j.ideal[i] = least * s.Share / shares
		case shares == 0:
			j.ideal[i] *= scale
			j.fixed[i] = false
		}
	}
	j.room.Width = measure.CM(j.wanted / float64(j.room.Sett) * (1 - float64(j.room.Shrink)))
}
