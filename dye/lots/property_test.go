package lots_test

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"urdir/dye/lots"
	"urdir/measure"
)

// anyWork draws sound work, tight and odd on purpose. What is refused is
// drawn anew (about a third): rapid counts only what is not, and fails a test that
// finds fewer than one in eleven.
func anyWork(t *rapid.T) lots.Work {
	n := func(low, high int, what string) int { return rapid.IntRange(low, high).Draw(t, what) }
	w := lots.Work{Line: measure.Gram(n(300, 4000, "line"))}
	for i := range n(1, 4, "pots") {
		w.Pots = append(w.Pots, lots.Pot{Key: fmt.Sprint("p", i), Litres: measure.Litre(n(6, 60, "litres")), Fill: measure.Ratio(n(50, 100, "fill")) / 100})
	}
	for range n(0, 6, "closed") {
		w.Closed = append(w.Closed, n(0, 12, "day"))
	}
	for i := range n(1, 3, "recipes") {
		r := lots.Recipe{Key: fmt.Sprint("r", i), Liquor: measure.LPerKG(n(8, 30, "liquor")), Dry: n(1, 3, "dry"), Left: measure.Ratio(n(0, 9, "left")) / 10}
		for k := range n(1, 3, "stages") {
			least := n(1, 2, "least")
			r.Stages = append(r.Stages, lots.Stage{Key: fmt.Sprint("s", k), Min: least, Max: least + n(0, 3, "spread")})
		}
		w.Recipes = append(w.Recipes, r)
	}
	for i := range n(0, 14, "wants") {
		w.Wants = append(w.Wants, lots.Want{Key: fmt.Sprint("w", i), Recipe: fmt.Sprint("r", n(0, len(w.Recipes)-1, "recipe")),
			Strength: rapid.SampledFrom([]measure.Ratio{0.5, 0.3, 0.07}).Draw(t, "strength"), Fibre: rapid.SampledFrom([]string{"a", "b"}).Draw(t, "fibre"),
			Wanted: measure.Gram(n(1, 900_000, "mg")) / 1000, Skein: measure.Gram(n(1500, 120_000, "skein")) / 1000,
			From: n(0, 5, "from"), Due: n(-2, 20, "due"), Weight: n(0, 4, "weight")})
		if n(0, 3, "twin") == 0 {
			twin := w.Wants[len(w.Wants)-1]
			twin.Key += " twin"
			w.Wants = append(w.Wants, twin)
		}
	}
	return w
}

// Any work that is not refused gets a plan that keeps every limit, however few
// the steps; the score is what the plan shows, and is not below the bound.
func TestPlan_keepsEveryLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := anyWork(t)
		s, ps := lots.New(w, rapid.Uint64().Draw(t, "seed"))
		if ps.Failed() {
			t.Skip("drawn anew")
		}
		first := s.Plan()
		audit(t, w, first)
		s.Improve(rapid.IntRange(0, 300).Draw(t, "steps"))
		p := s.Plan()
		audit(t, w, p)
		if a, b := p.Score, first.Score; a.Late > b.Late || a.Late == b.Late && a.Work > b.Work {
			t.Errorf("worse than at once: %+v, %+v", a, b)
		}
	})
}

// The order in which work is written does not matter, nor how the steps are
// shared out; the plan is the same to the byte.
func TestPlan_isTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := anyWork(t)
		o := w
		o.Wants, o.Pots = rapid.Permutation(w.Wants).Draw(t, "wants"), rapid.Permutation(w.Pots).Draw(t, "pots")
		o.Recipes, o.Closed = rapid.Permutation(w.Recipes).Draw(t, "recipes"), rapid.Permutation(w.Closed).Draw(t, "closed")
		a, ps := lots.New(w, 7)
		b, other := lots.New(o, 7)
		if ps.Failed() != other.Failed() {
			t.Fatalf("%v, permuted %v", ps, other)
		}
		if ps.Failed() {
			t.Skip("drawn anew")
		}
		a.Improve(200)
		for left := 200; left > 0; {
			some := rapid.IntRange(1, left).Draw(t, "some")
			b.Improve(some)
			b.Plan() // looking changes nothing
			left -= some
		}
		x, err := json.Marshal(a.Plan())
		y, err2 := json.Marshal(b.Plan())
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		if string(x) != string(y) {
			t.Errorf("the plans differ:\n%s\n%s", x, y)
		}
	})
}

// auditor goes through a plan with nothing but the work and the plan.
type auditor struct {
	*rapid.T
	work     lots.Work
	pots     map[string]float64   // litres that may be filled
	busy     map[string]int       // pot and day: the lot
	lit      map[int]bool         // days
	hung     map[int]measure.Gram // by day
	score    lots.Score
	seen     map[string]int // want: lot
	feeding  map[int]bool
	numbered map[int]lots.Lot
}

func audit(t *rapid.T, w lots.Work, p lots.Plan) {
	a := auditor{T: t, work: w, pots: map[string]float64{}, busy: map[string]int{}, lit: map[int]bool{}, hung: map[int]measure.Gram{},
		seen: map[string]int{}, feeding: map[int]bool{}, numbered: map[int]lots.Lot{}}
	for _, pot := range w.Pots {
		a.pots[pot.Key] = float64(pot.Litres) * float64(pot.Fill)
	}
	for i, l := range p.Lots {
		if l.Number != i+1 || len(l.Why) == 0 {
			t.Errorf("lot %d is numbered %d, with reasons %v", i+1, l.Number, l.Why)
		}
		a.numbered[l.Number] = l
	}
	for _, l := range p.Lots {
		a.lot(l)
	}
	for day, mass := range a.hung {
		if mass > w.Line+1e-6 {
			t.Errorf("%v hang on day %d; the line holds %v", mass, day, w.Line)
		}
		if at := slices.IndexFunc(p.Line, func(h lots.Hung) bool { return h.Day == day }); at < 0 || math.Abs(float64(p.Line[at].Mass.Gram()-mass)) > 1e-6 {
			t.Errorf("line of day %d: %v, want %v", day, p.Line, mass)
		}
	}
	late := 0
	for _, v := range w.Wants {
		if a.seen[v.Key] == 0 {
			t.Errorf("%s is in no lot", v.Key)
			continue
		}
		dry := a.numbered[a.seen[v.Key]].Dry
		a.score.Ready += int64(dry)
		if dry > v.Due {
			a.score.Late += int64(max(1, v.Weight) * (dry - v.Due))
			late++
		}
	}
	a.score.DyeDays = len(a.lit)
	a.score.Work = int64(3*a.score.DyeDays + 2*a.score.Baths + a.score.Fresh)
	if a.score != p.Score || late != len(p.Late) {
		t.Errorf("the plan shows %+v, %d late; it says %+v, %d", a.score, late, p.Score, len(p.Late))
	}
	if p.Score.Late < p.Bound.Late || p.Score.Work < p.Bound.Work || p.Over != p.Score.Late-p.Bound.Late {
		t.Errorf("%+v, bound %+v", p.Score, p.Bound)
	}
}

func (a *auditor) lot(l lots.Lot) {
	r := a.work.Recipes[slices.IndexFunc(a.work.Recipes, func(r lots.Recipe) bool { return r.Key == l.Recipe })]
	var mass lots.Milligram
	from := 0
	for _, part := range l.Wants {
		v := a.work.Wants[slices.IndexFunc(a.work.Wants, func(v lots.Want) bool { return v.Key == part.Want })]
		if a.seen[v.Key] > 0 || v.Recipe != l.Recipe || math.Abs(float64(v.Strength-l.Strength)) > 1e-9 || v.Fibre != l.Fibre || v.Kind != l.Kind {
			a.Errorf("%+v is in lot %d and in lot %+v", v, a.seen[v.Key], l)
		}
		a.seen[v.Key] = l.Number
		wanted, skein := lots.Milligrams(v.Wanted), lots.Milligrams(v.Skein)
		if part.Mass != lots.Milligram(part.Skeins)*skein || part.Mass < wanted || part.Mass-skein >= wanted {
			a.Errorf("%+v of %+v", part, v)
		}
		mass, from = mass+part.Mass, max(from, v.From)
	}
	if mass != l.Mass || len(l.Stages) != len(r.Stages) || l.Stages[0].Day < from {
		a.Errorf("lot %+v: wants weigh %d", l, mass)
	}
	for k, s := range l.Stages {
		a.soak(l, r, s)
		if k > 0 {
			wait := s.Day - l.Stages[k-1].Day
			if wait < r.Stages[k].Min || wait > r.Stages[k].Max || len(s.Baths) != len(l.Stages[0].Baths) {
				a.Errorf("stage %d of %+v", k, l)
			}
		}
	}
	last := l.Stages[len(l.Stages)-1]
	if l.Dry != last.Day+r.Dry {
		a.Errorf("%+v is dry on day %d", l, l.Dry)
	}
	for d := last.Day; d < l.Dry; d++ {
		a.hung[d] += l.Mass.Gram()
	}
	a.after(l, r, last)
}

// soak checks the baths of a stage: pots, and that they are equal and add up.
func (a *auditor) soak(l lots.Lot, r lots.Recipe, s lots.Soak) {
	if slices.Contains(a.work.Closed, s.Day) {
		a.Errorf("lot %d is in the pots on closed day %d", l.Number, s.Day)
	}
	a.lit[s.Day] = true
	var sum, skein lots.Milligram
	of := map[string]int{}
	for _, b := range s.Baths {
		var parts lots.Milligram
		for _, p := range b.Parts {
			of[p.Want] += p.Skeins
			parts += p.Mass
			skein = max(skein, p.Mass/lots.Milligram(p.Skeins))
		}
		at := fmt.Sprint(b.Pot, " on day ", s.Day)
		if a.busy[at] > 0 || parts != b.Mass || b.Mass <= 0 || float64(b.Mass)/1e6*float64(r.Liquor) > a.pots[b.Pot]+1e-7 {
			a.Errorf("%s: %+v of lot %d, after lot %d", at, b, l.Number, a.busy[at])
		}
		a.busy[at] = l.Number
		sum += b.Mass
		a.score.Baths++
	}
	if sum != l.Mass || s.Baths[0].Mass-s.Baths[len(s.Baths)-1].Mass > skein {
		a.Errorf("baths of lot %d: %+v", l.Number, s.Baths)
	}
	for _, part := range l.Wants {
		if of[part.Want] != part.Skeins {
			a.Errorf("%d skeins of %+v are in the baths", of[part.Want], part)
		}
	}
}

// after checks that the bath of a stronger lot is enough.
func (a *auditor) after(l lots.Lot, r lots.Recipe, last lots.Soak) {
	if l.After == 0 {
		a.score.Fresh += len(last.Baths)
		return
	}
	a.score.After += len(last.Baths)
	s := a.numbered[l.After]
	from := s.Stages[len(s.Stages)-1]
	if s.After != 0 || a.feeding[l.After] || s.Recipe != l.Recipe || s.Fibre != l.Fibre || s.Kind != l.Kind || float64(l.Strength) > float64(r.Left*s.Strength)+1e-9 {
		a.Errorf("lot %+v is dyed after %+v", l, s)
	}
	a.feeding[l.After] = true
	for d := from.Day + 1; d < last.Day; d++ {
		if !slices.Contains(a.work.Closed, d) {
			a.Errorf("the bath of lot %d waits past open day %d", s.Number, d)
		}
	}
	if last.Day <= from.Day {
		a.Errorf("lot %d is dyed before lot %d", l.Number, s.Number)
	}
	for _, b := range last.Baths {
		at := slices.IndexFunc(from.Baths, func(o lots.Bath) bool { return o.Pot == b.Pot })
		if at < 0 || float64(b.Mass)*float64(l.Strength) > float64(from.Baths[at].Mass)*float64(r.Left*s.Strength)*(1+1e-9) {
			a.Errorf("bath %+v of lot %d after %+v", b, l.Number, from)
		}
	}
}
