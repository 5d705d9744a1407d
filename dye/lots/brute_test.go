package lots_test

import (
	"cmp"
	"flag"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"urdir/dye/lots"
)

// brute tries every plan of a small workshop: every partition into lots, every
// number of baths, every day and pot of every stage, every source of an
// afterbath. It shares no code with the package and follows its description.
type brute struct {
	work  lots.Work
	lots  []*bruteLot
	used  map[[2]int]bool // day and pot
	lit   map[int]int     // baths by day
	hung  map[int]float64
	steps int
	found bool
	late  int // of the best plan
	cost  int
}

type bruteLot struct {
	recipe *lots.Recipe
	first  lots.Want
	wants  []lots.Want
	from   int
	mass   float64
	loads  []float64
	last   int
	pots   []int // of the last stage
	fed    bool
	feeds  bool
}

func dyed(w lots.Want) float64 {
	return math.Ceil(float64(w.Wanted/w.Skein)-1e-9) * float64(w.Skein)
}

// better looks for a plan below a lateness and a cost, and leaves the best there.
func (b *brute) better(late, cost int) {
	b.late, b.cost = late, cost
	b.partition(0)
}

func (b *brute) partition(k int) {
	if k == len(b.work.Wants) {
		old := b.lots
		b.lots = slices.Clone(old)
		slices.SortStableFunc(b.lots, func(x, y *bruteLot) int { return cmp.Compare(y.first.Strength, x.first.Strength) })
		b.place(0, 0, 0)
		b.lots = old
		return
	}
	w := b.work.Wants[k]
	for _, l := range b.lots {
		if f := l.first; f.Recipe == w.Recipe && f.Strength == w.Strength && f.Fibre == w.Fibre && f.Kind == w.Kind {
			keep := *l
			l.wants = append(slices.Clone(l.wants), w)
			l.from, l.mass = max(l.from, w.From), l.mass+dyed(w)
			b.partition(k + 1)
			*l = keep
		}
	}
	i := slices.IndexFunc(b.work.Recipes, func(r lots.Recipe) bool { return r.Key == w.Recipe })
	b.lots = append(b.lots, &bruteLot{recipe: &b.work.Recipes[i], first: w, wants: []lots.Want{w}, from: w.From, mass: dyed(w)})
	b.partition(k + 1)
	b.lots = b.lots[:len(b.lots)-1]
}

// mostSteps is where the exhaustive search gives up.
const mostSteps = 500_000

// beaten reports whether a part of a plan, with what the lots from k on cost at
// least, is no better than the best.
func (b *brute) beaten(k, late, cost int) bool {
	if b.steps++; b.steps > mostSteps {
		return true
	}
	for _, l := range b.lots[k:] {
		late += l.lateOn(l.from + len(l.recipe.Stages) - 1 + l.recipe.Dry)
		cost += 2 * len(l.recipe.Stages)
	}
	return late > b.late || late == b.late && cost >= b.cost
}

func (l *bruteLot) lateOn(ready int) (late int) {
	for _, w := range l.wants {
		late += max(1, w.Weight) * max(0, ready-w.Due)
	}
	return late
}

// place places the lots from k on, strong ones first.
func (b *brute) place(k, late, cost int) {
	if b.beaten(k, late, cost) {
		return
	}
	if k == len(b.lots) {
		b.found, b.late, b.cost = true, late, cost
		return
	}
	l := b.lots[k]
	for n := 1; n <= len(b.work.Pots); n++ {
		if l.loads = dealt(l.wants, n); l.loads[n-1] == 0 {
			return
		}
		for day := l.from; ; day++ {
			more, work := l.lateOn(day+l.recipe.Dry), 2*n*len(l.recipe.Stages)
			if b.beaten(k+1, late+more, cost+work) || day > 40 {
				break
			}
			b.last(k, day, late+more, cost+work)
		}
	}
}

// last gives a lot its last stage on a day, with every choice of pots, fresh or
// in the rest of a stronger lot's bath.
func (b *brute) last(k, day, late, cost int) {
	l := b.lots[k]
	for d := day; d < day+l.recipe.Dry; d++ {
		if b.hung[d]+l.mass > float64(b.work.Line)+1e-6 {
			return
		}
	}
	for d := day; d < day+l.recipe.Dry; d++ {
		b.hung[d] += l.mass
	}
	l.last = day
	stage := len(l.recipe.Stages) - 1
	b.choose(l, day, nil, func(pots []int, lit int) {
		l.pots, l.fed = slices.Clone(pots), false
		b.before(k, stage, day, late, cost+lit+len(pots))
		for _, p := range b.lots[:k] {
			if !p.fed && !p.feeds && b.feeds(p, l, day) {
				p.feeds, l.fed = true, true
				b.before(k, stage, day, late, cost+lit)
				p.feeds, l.fed = false, false
			}
		}
	})
	for d := day; d < day+l.recipe.Dry; d++ {
		b.hung[d] -= l.mass
	}
}

// feeds reports whether the pots chosen for a lot hold the rest of a stronger
// one that is enough.
func (b *brute) feeds(p, l *bruteLot, day int) bool {
	s, t := p.first, l.first
	if s.Recipe != t.Recipe || s.Fibre != t.Fibre || s.Kind != t.Kind || float64(t.Strength) > float64(p.recipe.Left*s.Strength)+1e-9 {
		return false
	}
	for d := p.last + 1; d < day; d++ {
		if !slices.Contains(b.work.Closed, d) {
			return false
		}
	}
	if day <= p.last {
		return false
	}
	for i, pot := range l.pots {
		at := slices.Index(p.pots, pot)
		if at < 0 || l.loads[i]*float64(t.Strength) > p.loads[at]*float64(p.recipe.Left*s.Strength)+1e-6 {
			return false
		}
	}
	return true
}

// before gives the stages before one their days and pots, then goes on to the
// next lot.
func (b *brute) before(k, stage, day, late, cost int) {
	if b.beaten(k+1, late, cost) {
		return
	}
	if stage == 0 {
		b.place(k+1, late, cost)
		return
	}
	l := b.lots[k]
	s := l.recipe.Stages[stage]
	for d := day - s.Max; d <= day-s.Min; d++ {
		if d >= l.from {
			b.choose(l, d, nil, func(_ []int, lit int) { b.before(k, stage-1, d, late, cost+lit) })
		}
	}
}

// choose tries every way to give the baths of a lot pots of a day; lit is what a
// newly lit day costs.
func (b *brute) choose(l *bruteLot, day int, pots []int, then func(pots []int, lit int)) {
	if slices.Contains(b.work.Closed, day) {
		return
	}
	if len(pots) == len(l.loads) {
		lit := 0
		if b.lit[day] == len(pots) {
			lit = 3
		}
		then(pots, lit)
		return
	}
	for p, pot := range b.work.Pots {
		holds := float64(pot.Litres) * float64(pot.Fill) / float64(l.recipe.Liquor) * 1000
		if !b.used[[2]int{day, p}] && l.loads[len(pots)] <= holds+1e-6 {
			b.used[[2]int{day, p}] = true
			b.lit[day]++
			b.choose(l, day, append(slices.Clone(pots), p), then)
			b.lit[day]--
			b.used[[2]int{day, p}] = false
		}
	}
}

// dealt is the loads of equal baths: skeins, heaviest first, each to the
// lightest.
func dealt(wants []lots.Want, n int) []float64 {
	var skeins []float64
	for _, w := range wants {
		for range int(dyed(w)/float64(w.Skein) + 0.5) {
			skeins = append(skeins, float64(w.Skein))
		}
	}
	slices.SortFunc(skeins, func(a, b float64) int { return cmp.Compare(b, a) })
	loads := make([]float64, n)
	for _, s := range skeins {
		at := 0
		for i := range loads {
			if loads[i] < loads[at] {
				at = i
			}
		}
		loads[at] += s
	}
	slices.SortFunc(loads, func(a, b float64) int { return cmp.Compare(b, a) })
	return loads
}

var instances = flag.Int("instances", 400, "small workshops to search exhaustively")

// On small workshops nothing is better than the plan found, as an exhaustive
// search shows; the plan itself is among those it tries; and nothing is below the
// bound.
func TestImprove_smallIsOptimal(t *testing.T) {
	c := rand.New(rand.NewPCG(2, 3))
	tried, first, missed, lateOff, workOff, proven, gaveUp := 0, 0, 0, 0, 0, 0, 0
	for tried < *instances {
		w := small(c)
		s, ps := lots.New(w, 1)
		if ps.Failed() {
			continue
		}
		tried++
		atOnce := s.Plan().Score
		s.Improve(1500)
		p := s.Plan()
		b := brute{work: w, used: map[[2]int]bool{}, lit: map[int]int{}, hung: map[int]float64{}}
		b.better(int(p.Score.Late), int(p.Score.Work)+1)
		if b.steps > mostSteps {
			gaveUp++
			continue
		}
		if !b.found {
			t.Fatalf("the exhaustive search knows no plan as good as %+v of %+v", p.Score, w)
		}
		if b.late < int(p.Bound.Late) || b.cost < int(p.Bound.Work) {
			t.Errorf("a plan of %d late days, work %d, is below the bound %+v of %+v", b.late, b.cost, p.Bound, w)
		}
		if b.late == int(atOnce.Late) && b.cost == int(atOnce.Work) {
			first++
		}
		if p.Proven {
			proven++
		}
		if b.late < int(p.Score.Late) || b.cost < int(p.Score.Work) {
			missed++
			lateOff, workOff = lateOff+int(p.Score.Late)-b.late, workOff+int(p.Score.Work)-b.cost
			t.Logf("%+v instead of %d late days, work %d of %+v", p.Score, b.late, b.cost, w)
		}
	}
	t.Logf("of %d: optimal at once %d, after 1500 steps %d, proven %d; missed by %d late days, %d work in all; %d more given up",
		tried-gaveUp, first, tried-gaveUp-missed, proven, lateOff, workOff, gaveUp)
	if missed > 0 {
		t.Errorf("%d of %d plans are not optimal", missed, tried)
	}
}
