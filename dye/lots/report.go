package lots

import (
	"cmp"
	"slices"

	"urdir/measure"
)

// Plan is the best plan so far.
func (s *Search) Plan() Plan {
	r := report{job: s.job, state: s.best, number: make([]int, len(s.best.lots))}
	for i, l := range s.best.lots {
		if l != nil {
			r.order = append(r.order, i)
		}
	}
	slices.SortFunc(r.order, func(a, b int) int {
		l, m := r.state.lots[a], r.state.lots[b]
		return cmp.Or(cmp.Compare(l.days[0], m.days[0]), cmp.Compare(l.last(), m.last()), cmp.Compare(l.wants[0], m.wants[0]))
	})
	for k, i := range r.order {
		r.number[i] = k + 1
	}
	p := Plan{Score: r.score(), Bound: s.bound, Steps: s.steps}
	p.Over = p.Score.Late - s.bound.Late
	if s.bound.Work > 0 {
		p.Gap = measure.Ratio(float64(p.Score.Work-s.bound.Work) / float64(s.bound.Work))
	}
	p.Proven = p.Over == 0 && p.Score.Work == s.bound.Work
	for _, i := range r.order {
		p.Lots = append(p.Lots, r.lot(i))
		p.Late = append(p.Late, r.late(i)...)
	}
	p.Days = days(p.Lots)
	for d, mass := range r.state.hung {
		if mass > 0 {
			p.Line = append(p.Line, Hung{d, Milligram(mass)})
		}
	}
	return p
}

// report writes a state out. order is slots by lot number, number the reverse.
type report struct {
	job    *job
	state  *state
	order  []int
	number []int
}

func (r *report) score() Score {
	sc := Score{Late: r.state.cost.late, Work: r.state.cost.work, Ready: r.state.cost.ready}
	for _, u := range r.state.used {
		if u != 0 {
			sc.DyeDays++
		}
	}
	for _, i := range r.order {
		l := r.state.lots[i]
		sc.Baths += len(l.loads) * len(l.days)
		if r.state.after[i] >= 0 {
			sc.After += len(l.loads)
		} else {
			sc.Fresh += len(l.loads)
		}
	}
	return sc
}

func (r *report) lot(i int) Lot {
	j, l := r.job, r.state.lots[i]
	g := &j.groups[l.group]
	in := &j.work.Recipes[g.recipe.index]
	out := Lot{Number: r.number[i], Recipe: in.Key, Strength: measure.Ratio(float64(g.strength) / perUnit), Fibre: g.fibre, Kind: g.kind,
		Mass: Milligram(l.mass), Dry: l.ready}
	if after := r.state.after[i]; after >= 0 {
		out.After = r.number[after]
	}
	for _, k := range l.wants {
		out.Wants = append(out.Wants, j.wants[k].part(j.wants[k].skeins))
	}
	parts := j.dealt(l)
	for k, day := range l.days {
		s := Soak{Stage: in.Stages[k].Key, Day: day}
		for b, p := range l.pots[k] {
			m := Milligram(l.loads[b])
			s.Baths = append(s.Baths, Bath{Pot: j.work.Pots[j.pots[p]].Key, Parts: parts[b], Mass: m,
				Liquor: in.Liquor.For(m.Gram()), Fill: measure.Ratio(float64(m) / float64(g.recipe.cap[p]))})
		}
		out.Stages = append(out.Stages, s)
	}
	out.Why = r.why(i)
	return out
}

func (w *want) part(skeins int) Part {
	return Part{w.key, skeins, Milligram(int64(skeins) * w.skein)}
}

// dealt is what deal deals, want by want, in the order of the lot's loads.
func (j *job) dealt(l *lot) [][]Part {
	n := len(l.loads)
	loads, parts := make([]int64, n), make([][]Part, n)
	give := func(bath int, w *want, skeins int) {
		loads[bath] += int64(skeins) * w.skein
		if k := len(parts[bath]) - 1; k >= 0 && parts[bath][k].Want == w.key {
			skeins += parts[bath][k].Skeins
			parts[bath] = parts[bath][:k]
		}
		parts[bath] = append(parts[bath], w.part(skeins))
	}
	size, count := j.wants[l.wants[0]].skein, 0
	for _, k := range l.wants {
		if j.wants[k].skein == size {
			count += j.wants[k].skeins
		}
	}
	bath, room := 0, (count+n-1)/n
	for _, k := range l.wants {
		w := &j.wants[k]
		left := w.skeins
		for left > 0 && w.skein == size {
			if room == 0 {
				bath++
				room = (count - bath + n - 1) / n // as many as deal gives this bath
			}
			some := min(left, room)
			give(bath, w, some)
			left, room = left-some, room-some
		}
		for ; left > 0; left-- {
			give(lightest(loads), w, 1)
		}
	}
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(loads[b], loads[a]) })
	out := make([][]Part, n)
	for k, i := range order {
		out[k] = parts[i]
	}
	return out
}

func (r *report) late(i int) (out []Late) {
	l := r.state.lots[i]
	for _, k := range l.wants {
		if w := &r.job.wants[k]; l.ready > w.due {
			out = append(out, Late{w.key, r.number[i], l.ready - w.due, max(0, r.job.soonest(w)-w.due)})
		}
	}
	return out
}

// days is the lots by day.
func days(lots []Lot) []Day {
	by := map[int]int{}
	var out []Day
	for _, l := range lots {
		for k, s := range l.Stages {
			at, ok := by[s.Day]
			if !ok {
				at = len(out)
				by[s.Day] = at
				out = append(out, Day{Day: s.Day})
			}
			for _, b := range s.Baths {
				out[at].Fires = append(out[at].Fires, Fired{b.Pot, l.Number, s.Stage, b.Mass, l.After > 0 && k == len(l.Stages)-1})
			}
		}
	}
	slices.SortFunc(out, func(a, b Day) int { return cmp.Compare(a.Day, b.Day) })
	for _, d := range out {
		slices.SortStableFunc(d.Fires, func(a, b Fired) int {
			switch {
			case a.After && !b.After:
				return -1
			case b.After && !a.After:
				return 1
			}
			return cmp.Compare(a.Lot, b.Lot)
		})
	}
	return out
}
