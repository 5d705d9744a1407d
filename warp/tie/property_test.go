package tie_test

import (
	"encoding/json"
	"math"
	"testing"

	"pgregory.net/rapid"

	"urdir/measure"
	"urdir/plan"
	"urdir/warp/tie"
)

// anyCloth is a runner with woven and open bands between fringes, and
// the length of its cloth.
func anyCloth(t *rapid.T) (plan.Cloth, measure.CM) {
	length := func(name string, least, most float64) measure.CM {
		return measure.CM(rapid.Float64Range(least, most).Draw(t, name))
	}
	bands := []plan.BandItem{band(plan.Fringe, length("fringe", 1, 20))}
	cloth := measure.CM(0)
	for range rapid.IntRange(1, 5).Draw(t, "bands") {
		kind := rapid.SampledFrom([]plan.BandKind{plan.Woven, plan.Open}).Draw(t, "kind")
		l := length("band", 1, 60)
		bands, cloth = append(bands, band(kind, l)), cloth+l
	}
	bands = append(bands, band(plan.Woven, 10), band(plan.Fringe, length("fringe", 1, 20)))
	c := small(rapid.IntRange(1, 4).Draw(t, "pieces"), panel("runner", bands...))
	c.Shrink.Length = measure.Ratio(rapid.Float64Range(0, 0.2).Draw(t, "shrinkage"))
	return c, cloth + 10
}

func TestMake_wholeLengthIsTheWholeWarp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, cloth := anyCloth(t)
		s := tie.NewSetup()
		g, ps := guide(p, "runner", []tie.Mark{{First: 1, Last: 250, From: 0, To: cloth}}, s)
		if ps.Failed() {
			t.Fatal(ps)
		}
		w := mustPlan(t, p).Warps[0]
		slot := w.Slots[0]
		for _, e := range g.Bundles[0].Ties {
			if d := e.Length - slot.Woven - slot.TakeUp; math.Abs(float64(d)) > 1e-6 {
				t.Errorf("tied %v, woven warp %v", e.Length, slot.Woven+slot.TakeUp)
			}
		}
		rest := w.Length.Waste * measure.CM(1-s.Before)
		last := g.Repeats[len(g.Repeats)-1].To
		if math.Abs(float64(last.High+rest-w.Length.Lay)) > 1e-6 || math.Abs(float64(last.Middle+rest-w.Length.Middle)) > 1e-6 {
			t.Errorf("the last panel ends at %+v, the warp %v to %v", last, w.Length.Middle, w.Length.Lay)
		}
	})
}

func TestMake_keepsOrderAndCoversTheMarks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, cloth := anyCloth(t)
		var marks []tie.Mark
		for range rapid.IntRange(1, 6).Draw(t, "marks") {
			first := rapid.IntRange(1, 250).Draw(t, "first")
			from := rapid.Float64Range(0, float64(cloth)-1).Draw(t, "from")
			marks = append(marks, tie.Mark{First: first, Last: rapid.IntRange(first, 250).Draw(t, "last"),
				From: measure.CM(from), To: measure.CM(rapid.Float64Range(from+0.5, float64(cloth)).Draw(t, "to"))})
		}
		s := tie.NewSetup()
		s.Bundle = rapid.IntRange(1, 40).Draw(t, "bundle")
		g, ps := guide(p, "runner", marks, s)
		if ps.Failed() {
			t.Fatal(ps)
		}
		of := map[int]tie.Bundle{}
		next, ties := 1, 0
		for _, b := range g.Bundles {
			if b.First < next || b.Last < b.First || b.Ends > s.Bundle || b.Ends != b.Last-b.First+1 {
				t.Fatalf("bundle %d-%d of %d ends after end %d", b.First, b.Last, b.Ends, next-1)
			}
			for next = b.First; next <= b.Last; next++ {
				of[next] = b
			}
			inOrder(t, b)
			ties += len(b.Ties)
		}
		if ties != g.Ties {
			t.Errorf("%d ties, said to be %d", ties, g.Ties)
		}
		// A point of the cloth is tied where a mark covers it, and nowhere else.
		end := rapid.IntRange(1, 250).Draw(t, "end")
		x := measure.CM(rapid.Float64Range(0, float64(cloth)).Draw(t, "x"))
		want, got := false, false
		for _, m := range marks {
			want = want || m.First <= end && end <= m.Last && m.From <= x && x <= m.To
		}
		for _, e := range of[end].Ties {
			got = got || e.From.Drawn <= x && x <= e.To.Drawn
		}
		if got != want {
			t.Errorf("end %d at %v: tied %v, marked %v", end, x, got, want)
		}
	})
}

func inOrder(t *rapid.T, b tie.Bundle) {
	before := measure.CM(0)
	for _, e := range b.Ties {
		for _, at := range []tie.Position{e.From.At, e.To.At} {
			if !(at.Low <= at.Middle && at.Middle <= at.High) {
				t.Fatalf("position %+v", at)
			}
			if !(at.Middle > before) {
				t.Fatalf("%v after %v", at.Middle, before)
			}
			before = at.Middle
		}
	}
}

// A cloth and marks k times as long are tied k times as far along.
func TestMake_lengthsScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := measure.CM(rapid.Float64Range(1, 5).Draw(t, "k"))
		a, b := measure.CM(rapid.Float64Range(1, 50).Draw(t, "a")), measure.CM(rapid.Float64Range(1, 50).Draw(t, "b"))
		from := (a + b) * measure.CM(rapid.Float64Range(0, 0.8).Draw(t, "from"))
		at := func(k measure.CM) tie.Tie {
			p := small(1, panel("runner", band(plan.Woven, a*k), band(plan.Open, b*k)))
			s := tie.NewSetup()
			s.Before = 0
			g, ps := guide(p, "runner", []tie.Mark{{First: 1, Last: 1, From: from * k, To: (a + b) * k}}, s)
			if ps.Failed() {
				t.Fatal(ps)
			}
			return g.Bundles[0].Ties[0]
		}
		one, more := at(1), at(k)
		if math.Abs(float64(more.From.At.Middle-k*one.From.At.Middle)) > 1e-6 || math.Abs(float64(more.Length-k*one.Length)) > 1e-6 {
			t.Errorf("%v times: from %v to %v, length %v to %v", k, one.From.At.Middle, more.From.At.Middle, one.Length, more.Length)
		}
	})
}

// Whatever marks say, there is a guide or a problem, and a guide can be written.
func FuzzMake(f *testing.F) {
	p := small(2, panel("runner", band(plan.Fringe, 4.75), band(plan.Woven, 38)))
	f.Add(1, 12, 0.0, 10.0, 0.2, 0.3, 12, false)
	f.Add(-1, 1<<62, math.Inf(-1), math.NaN(), math.Inf(1), -1.0, -7, true)
	f.Add(1, 250, -4.75, 38.0, 1.0, 10.0, 1, true)
	f.Fuzz(func(t *testing.T, first, last int, from, to, before, shift float64, bundle int, turn bool) {
		g, ps := guide(p, "runner", []tie.Mark{{First: first, Last: last, From: measure.CM(from), To: measure.CM(to)}},
			tie.Setup{Before: measure.Ratio(before), Shift: measure.CM(shift), Bundle: bundle, AtTurn: turn})
		if ps.Failed() {
			return
		}
		if _, err := json.Marshal(g); err != nil || g.Ties == 0 {
			t.Errorf("guide %+v: %v", g, err)
		}
	})
}
