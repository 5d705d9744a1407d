package lots

import (
	"slices"
	"strconv"

	"urdir/check"
	"urdir/measure"
)

// why is the reasons of a lot: its make-up, its baths, its day.
func (r *report) why(i int) (out []Reason) {
	l := r.state.lots[i]
	say := func(key string, args check.Args) { out = append(out, Reason{key, args}) }
	if n := len(l.wants); n > 1 {
		say("lots-why-together", check.Args{"n": n, "fill": r.fill(l)})
	} else {
		say("lots-why-alone", check.Args{"fill": r.fill(l)})
	}
	if n := len(l.loads); n > 1 {
		say("lots-why-baths", check.Args{"n": n})
	}
	for k, other := range r.order {
		if o := r.state.lots[other]; other != i && o.group == l.group {
			out = append(out, r.apart(i, other, k+1))
		}
	}
	if after := r.state.after[i]; after >= 0 {
		say("lots-why-after", check.Args{"lot": r.number[after]})
		return out
	}
	return append(out, r.whyDay(i))
}

// fill is how full the pots of the last stage are.
func (r *report) fill(l *lot) measure.Ratio {
	var room int64
	for _, p := range l.pots[len(l.pots)-1] {
		room += r.job.groups[l.group].recipe.cap[p]
	}
	return measure.Ratio(float64(l.mass) / float64(room))
}

// apart is why a lot is not dyed with another of its colour.
func (r *report) apart(i, other, number int) Reason {
	l, o := r.state.lots[i], r.state.lots[other]
	m := r.job.batch(merge(l.wants, o.wants))
	loads := make([]int64, MaxPots)
	args := check.Args{"lot": number}
	switch {
	case !r.job.fitsPots(r.job.groups[l.group].recipe, m.wants, loads):
		return Reason{"lots-why-apart-pots", args}
	case m.mass > r.job.line:
		return Reason{"lots-why-apart-line", args}
	}
	return Reason{"lots-why-apart-cost", args}
}

// whyDay is what a lot waits for: the first of what holds on the open day before
// the day of its last bath.
func (r *report) whyDay(i int) Reason {
	st, l := r.state, r.state.lots[i]
	recipe := r.job.groups[l.group].recipe
	b := r.job.batch(l.wants)
	fed := st.feeds[i]
	var pale *lot
	if fed >= 0 {
		pale, _ = st.take(fed)
	}
	st.take(i)
	reason := r.wait(l, &b, recipe)
	st.put(i, l, -1)
	if pale != nil {
		st.put(fed, pale, i)
	}
	return reason
}

func (r *report) wait(l *lot, b *batch, recipe *recipe) Reason {
	last := len(recipe.waits) - 1
	first := b.from + recipe.lead[last]
	for day := first; day < l.last(); day++ {
		if key := r.hinders(l, b, recipe, day); key == "" {
			return Reason{"lots-why-work", check.Args{"day": day}}
		}
	}
	before := l.last() - 1
	for before >= first && !r.job.reaches(recipe, last, before, b.from) {
		before--
	}
	switch {
	case before >= first:
		return Reason{r.hinders(l, b, recipe, before), check.Args{"day": before, "lots": r.inTheWay(before, recipe)}}
	case l.last() > first:
		return Reason{"lots-why-closed", check.Args{"day": l.last()}}
	case b.from > 0:
		return Reason{"lots-why-yarn", check.Args{"day": b.from}}
	}
	return Reason{"lots-why-first", nil}
}

// hinders is why a lot cannot have its last bath on a day, or "".
func (r *report) hinders(l *lot, b *batch, recipe *recipe, day int) string {
	f := finder{state: r.state}
	last := len(recipe.waits) - 1
	var try spot
	try.n = copy(try.loads[:], l.loads)
	if !r.job.reaches(recipe, last, day, b.from) {
		return "lots-why-closed"
	}
	if !fit(f.usedOn(day), recipe.cap, l.loads, &try.pots[last]) {
		return "lots-why-pots"
	}
	if !f.hangs(day, recipe.dry, l.mass) {
		return "lots-why-line"
	}
	if _, ok := f.before(b, recipe, last, day, &try); !ok {
		return "lots-why-stages"
	}
	return ""
}

// inTheWay is the numbers of the lots that have pots or line from the earliest
// day a last bath on a day may reach back to, until it would be dry.
func (r *report) inTheWay(day int, recipe *recipe) []string {
	from := day
	for _, w := range recipe.waits[1:] {
		from -= w.Max
	}
	var out []string
	for _, i := range r.order {
		l := r.state.lots[i]
		if l != nil && (slices.ContainsFunc(l.days, func(d int) bool { return from <= d && d <= day }) || l.last() < day+recipe.dry && day < l.ready) {
			out = append(out, strconv.Itoa(r.number[i]))
		}
	}
	return out
}
