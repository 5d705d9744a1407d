package schedule_test

import (
	"math"
	"slices"
	"time"

	"urdir/schedule"
)

// reporter is what a failed check tells.
type reporter interface {
	Errorf(format string, args ...any)
}

// auditor goes through a plan with nothing but the problem and the plan, minute by
// minute. It shares no code with the package.
type auditor struct {
	reporter
	p    schedule.Problem
	plan schedule.Plan
	step map[string]*schedule.Step
	job  map[string]*schedule.Job
	open map[string][]schedule.Span // of calendar and day, by the wall clock
}

func audit(t reporter, p schedule.Problem, plan schedule.Plan) {
	a := auditor{t, p, plan, map[string]*schedule.Step{}, map[string]*schedule.Job{}, map[string][]schedule.Span{}}
	for i := range p.Steps {
		a.step[p.Steps[i].Key] = &p.Steps[i]
	}
	for i := range plan.Jobs {
		j := &plan.Jobs[i]
		if a.step[j.Step] == nil || a.job[j.Step] != nil {
			t.Errorf("job of %q: no such step, or twice", j.Step)
			return
		}
		a.job[j.Step] = j
	}
	if len(plan.Jobs)+len(plan.Missing) != len(p.Steps) {
		t.Errorf("%d jobs and %d missing for %d steps", len(plan.Jobs), len(plan.Missing), len(p.Steps))
	}
	for _, j := range plan.Jobs {
		a.hands(a.step[j.Step], j)
		a.fixed(a.step[j.Step], j)
	}
	a.people()
	a.places()
	a.stays()
	broken := len(plan.Missing) + a.waits()
	a.score(broken)
}

// isOpen reports whether a calendar is open in a minute.
func (a *auditor) isOpen(key string, m schedule.Minutes) bool {
	t := a.p.Begin.Add(time.Duration(m) * time.Minute)
	if a.p.In != nil {
		t = t.In(a.p.In)
	}
	name := key + t.Format(" 2006-01-02")
	hours, ok := a.open[name]
	if !ok {
		c := a.p.Calendars[slices.IndexFunc(a.p.Calendars, func(c schedule.Calendar) bool { return c.Key == key })]
		for _, h := range c.Weekly {
			if h.Day == t.Weekday() {
				hours = append(hours, h.Span)
			}
		}
		for _, r := range c.Rules { // the last that holds
			if ruled(r, t) {
				hours = r.Hours
			}
		}
		a.open[name] = hours
	}
	now := t.Hour()*60 + t.Minute()
	return slices.ContainsFunc(hours, func(s schedule.Span) bool { return s.From <= now && now < s.To })
}

func ruled(r schedule.Rule, t time.Time) bool {
	if len(r.Weekdays) > 0 && !slices.Contains(r.Weekdays, t.Weekday()) {
		return false
	}
	year := func(y int) int {
		if y == 0 {
			return t.Year()
		}
		return y
	}
	day := time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC)
	if f := r.From; f.Month > 0 && day.Before(time.Date(year(f.Year), f.Month, f.Day, 0, 0, 0, 0, time.UTC)) {
		return false
	}
	if f := r.To; f.Month > 0 && day.After(time.Date(year(f.Year), f.Month, f.Day, 0, 0, 0, 0, time.UTC)) {
		return false
	}
	if len(r.Weeks) == 0 {
		return true
	}
	nth := 0
	for d := t; d.Month() == t.Month(); d = d.AddDate(0, 0, -7) {
		nth++
	}
	last := t.AddDate(0, 0, 7).Month() != t.Month()
	return slices.Contains(r.Weeks, nth) || last && slices.Contains(r.Weeks, -1)
}

// hands checks who does a job, and that it takes its work in minutes that are open.
func (a *auditor) hands(s *schedule.Step, j schedule.Job) {
	work := s.Work
	var calendars []string
	if s.Calendar != "" {
		calendars = append(calendars, s.Calendar)
	}
	if j.Person != "" {
		q := a.p.People[slices.IndexFunc(a.p.People, func(q schedule.Person) bool { return q.Key == j.Person })]
		calendars = append(calendars, q.Calendars...)
		k := slices.IndexFunc(s.Who, func(h schedule.Hand) bool { return h.Person == j.Person })
		if s.Skill != "" && !slices.Contains(q.Skills, s.Skill) || len(s.Who) > 0 && k < 0 {
			a.Errorf("%s may not do %s", j.Person, s.Key)
		}
		if k >= 0 && s.Who[k].Work > 0 {
			work = s.Who[k].Work
		}
	} else if s.Skill != "" || len(s.Who) > 0 {
		a.Errorf("nobody does %s", s.Key)
	}
	isWork := func(m schedule.Minutes) bool {
		for _, c := range calendars {
			if !a.isOpen(c, m) {
				return false
			}
		}
		return len(calendars) == 0 || !a.teaches(j, m)
	}
	did := schedule.Minutes(0)
	for m := j.First; m < j.Last; m++ {
		if isWork(m) {
			did++
		} else if m == j.First || m == j.Last-1 || s.Whole {
			a.Errorf("%s of %s: nobody is at work in minute %d of %d to %d", s.Key, j.Person, m, j.First, j.Last)
		}
	}
	if did != work || j.Work != work || j.Start != j.First || j.End != j.Last+s.Stand {
		a.Errorf("%+v has %d minutes of %d; stands %d", j, did, work, s.Stand)
	}
}

// teaches reports whether the person of a job has a class in a minute.
func (a *auditor) teaches(j schedule.Job, m schedule.Minutes) bool {
	for _, o := range a.plan.Jobs {
		if o.Person == j.Person && o.Step != j.Step && !a.step[o.Step].At.IsZero() && o.First <= m && m < o.Last {
			return true
		}
	}
	return false
}

func (a *auditor) minute(t time.Time) schedule.Minutes {
	return schedule.Minutes(t.Sub(a.p.Begin) / time.Minute)
}

func (a *auditor) fixed(s *schedule.Step, j schedule.Job) {
	if !s.At.IsZero() && j.Start != a.minute(s.At) {
		a.Errorf("%+v is a class at %d", j, a.minute(s.At))
	}
	if t := s.Told; t != nil && !t.Free && !t.Begun && (j.Person != t.Person || j.Start != a.minute(t.Start)) {
		a.Errorf("%+v was told as %+v", j, *t)
	}
	if t := s.Told; t != nil && t.Begun && j.Person != t.Person {
		a.Errorf("%+v was begun as %+v", j, *t)
	}
	from := schedule.Minutes(0)
	for _, o := range a.p.Orders {
		if slices.Contains(s.Orders, o.Key) && !o.From.IsZero() {
			from = max(from, a.minute(o.From))
		}
	}
	if s.At.IsZero() && s.Told == nil && j.Start < from {
		a.Errorf("%+v is before %d", j, from)
	}
}

// people checks that nobody does two things at once; a class stands out of what it
// falls into.
func (a *auditor) people() {
	for i, j := range a.plan.Jobs {
		for _, o := range a.plan.Jobs[i+1:] {
			class := !a.step[j.Step].At.IsZero() != !a.step[o.Step].At.IsZero()
			if j.Person != "" && j.Person == o.Person && !class && j.First < o.Last && o.First < j.Last {
				a.Errorf("%s does %+v and %+v at once", j.Person, j, o)
			}
		}
	}
}

func (a *auditor) places() {
	used := map[string][]schedule.Job{}
	amounts := map[string]int{}
	for _, j := range a.plan.Jobs {
		s := a.step[j.Step]
		if len(j.Places) != len(s.Needs) {
			a.Errorf("%+v is in %d places of %d", j, len(j.Places), len(s.Needs))
			continue
		}
		for d, key := range j.Places {
			q := a.p.Places[slices.IndexFunc(a.p.Places, func(q schedule.Place) bool { return q.Key == key })]
			n := s.Needs[d]
			if n.Place != "" && n.Place != key || n.Place == "" && n.Kind != q.Kind || max(n.Amount, 1) > max(q.Capacity, 1) {
				a.Errorf("%+v needs %+v and is in %+v", j, n, q)
			}
			used[key] = append(used[key], j)
			amounts[key+j.Step] = max(n.Amount, 1)
		}
	}
	for _, q := range a.p.Places {
		for _, j := range used[q.Key] {
			if j.Start == j.End { // it takes no room
				continue
			}
			sum := 0
			for _, o := range used[q.Key] {
				if o.Start <= j.Start && j.Start < o.End || o.Step == j.Step {
					if q.Shared {
						sum += amounts[q.Key+o.Step]
					} else {
						sum++
					}
				}
			}
			if q.Shared && sum > max(q.Capacity, 1) || !q.Shared && sum > 1 {
				a.Errorf("%+v holds %d when %+v begins", q, sum, j)
			}
		}
	}
}

func (a *auditor) stays() {
	who := map[string]string{}
	for _, j := range a.plan.Jobs {
		s := a.step[j.Step]
		if first, ok := who[s.Stay]; ok && s.Stay != "" && first != j.Person {
			a.Errorf("%s is with %s and with %s", s.Stay, first, j.Person)
		}
		who[s.Stay] = j.Person
	}
}

// waits counts the waits that are not kept; only what is fixed may make one so.
func (a *auditor) waits() (broken int) {
	for _, j := range a.plan.Jobs {
		for _, w := range a.step[j.Step].After {
			b := a.job[w.Step]
			if b == nil {
				continue
			}
			if wait := j.Start - b.End; wait < w.Min || w.Max > 0 && wait > w.Max {
				broken++
				if a.plan.Score.Broken == 0 {
					a.Errorf("%+v comes after %+v, %+v", j, *b, w)
				}
			}
		}
	}
	return broken
}

func (a *auditor) score(broken int) {
	var late, lead int64
	if len(a.plan.Missing) == 0 {
		for i, o := range a.p.Orders {
			end := schedule.Minutes(0)
			for _, s := range a.p.Steps {
				if slices.Contains(s.Orders, o.Key) {
					end = max(end, a.job[s.Key].End)
				}
			}
			if r := a.plan.Orders[i]; r.Order != o.Key || r.End != end {
				a.Errorf("%+v is ready at %d", r, end)
			}
			days := func(m schedule.Minutes) int64 { return int64(math.Ceil(float64(m) / (24 * 60))) }
			if !o.Due.IsZero() {
				late += int64(max(1, o.Weight)) * max(0, days(end-a.minute(o.Due)))
			}
			from := schedule.Minutes(0)
			if !o.From.IsZero() {
				from = max(0, a.minute(o.From))
			}
			lead += max(0, days(end-from))
		}
		if s := a.plan.Score; s.Late != late || s.Lead != lead {
			a.Errorf("%+v; late %d, lead %d", s, late, lead)
		}
	}
	if a.plan.Score.Broken != broken || broken == 0 && a.plan.Score.Late < a.plan.Bound.Late {
		a.Errorf("%+v with %d broken; bound %+v", a.plan.Score, broken, a.plan.Bound)
	}
	given := map[string]schedule.Minutes{}
	for _, j := range a.plan.Jobs {
		given[j.Person] += j.Work
	}
	for _, sh := range a.plan.Shares {
		q := a.p.People[slices.IndexFunc(a.p.People, func(q schedule.Person) bool { return q.Key == sh.Person })]
		if sh.Given != given[sh.Person]+q.Given {
			a.Errorf("%+v has %d", sh, given[sh.Person])
		}
	}
}
