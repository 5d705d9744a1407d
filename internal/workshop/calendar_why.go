package workshop

import (
	"context"
	"slices"
	"strings"
	"time"

	"urdir/internal/store"
	"urdir/schedule"
)

// Cause is why a task does not begin earlier.
type Cause string

// Causes.
const (
	AfterTask  Cause = "after"  // another task must be done first: By
	PersonBusy Cause = "person" // she does By until then
	PlaceBusy  Cause = "place"  // By has the place until then
	NoHours    Cause = "hours"  // whoever does it has no hours before
	WasTold    Cause = "told"   // that is what people were told
	ClassDay   Cause = "class"  // a class has its hour, and is prepared so many days before
	InWork     Cause = "begun"  // it has begun, and goes on
	FromNow    Cause = "now"    // nothing begins before now
)

// Link is one task of the chain that makes an order ready when it is, and what
// it waited for.
type Link struct {
	Task
	Cause Cause
	By    *Task     // the task waited for
	Place string    // that was waited for
	Ready time.Time // from when all that comes before it was done
}

// WhyDate names what an order waits for, from its last task back to now.
func (h *House) WhyDate(ctx context.Context, p Person, order string, schedules int) (out []Link, _ error) {
	err := h.view(ctx, p, "WhyDate", func(tx *store.Tx) error {
		t, err := h.timetable(tx, schedules, time.Time{})
		if err != nil {
			return err
		}
		if !slices.ContainsFunc(t.Orders, func(o OrderTime) bool { return o.ID == order }) {
			return &Error{Code: NotFound}
		}
		out = t.why(order)
		return nil
	})
	return out, err
}

// why walks back from what ends last, until a task comes up again: what people were
// told may have two tasks wait for each other.
func (t Timetable) why(order string) (out []Link) {
	var last *Task
	byKey := map[string]*Task{}
	for i := range t.Tasks {
		k := &t.Tasks[i]
		byKey[k.Key] = k
		if slices.Contains(k.Orders, order) && (last == nil || !k.End.Before(last.End)) { // of two, the one that comes after
			last = k
		}
	}
	seen := map[*Task]bool{}
	for k := last; k != nil && !seen[k]; {
		seen[k] = true
		l := t.link(k, byKey)
		out = append(out, l)
		k = l.By
	}
	return out
}

func (t Timetable) link(k *Task, byKey map[string]*Task) Link {
	l := Link{Task: *k, Cause: FromNow, Ready: t.Begin}
	s := t.works.step(k.Key)
	if !s.At.IsZero() {
		l.Cause = ClassDay
		for _, a := range s.After { // it waits for nothing; but what must be ready hangs on the last of its warps
			if b := byKey[a.Step]; b != nil && (l.By == nil || b.End.After(l.By.End)) {
				l.By = b
			}
		}
		return l
	}
	if k.Begun {
		l.Cause = InWork
		return l
	}
	for _, id := range s.Orders {
		for _, o := range t.works.problem.Orders {
			if o.Key == id && o.From.After(l.Ready) {
				l.Ready, l.Cause = o.From, ClassDay
			}
		}
	}
	for _, a := range s.After {
		b := byKey[a.Step]
		if b == nil {
			continue
		}
		if at := b.End.Add(time.Duration(a.Min) * time.Minute); !at.Before(l.Ready) {
			l.Ready, l.Cause, l.By = at, AfterTask, b
		}
	}
	if !k.Start.After(l.Ready) {
		return l
	}
	if busy, place := t.busy(k, l.Ready); busy != nil {
		l.By, l.Place, l.Cause = busy, place, PersonBusy
		if place != "" {
			l.Cause = PlaceBusy
		}
		return l
	}
	if k.Told {
		l.Cause, l.By = WasTold, nil
		return l
	}
	if l.By == nil || k.Start.Sub(l.Ready) > 12*time.Hour { // a night is no reason
		l.Cause = NoHours
	}
	return l
}

// busy is the last task that had the person or a place of a task between two
// times.
func (t Timetable) busy(k *Task, ready time.Time) (by *Task, place string) {
	until := ready
	for i := range t.Tasks {
		b := &t.Tasks[i]
		if b.Key == k.Key {
			continue
		}
		if k.Member != "" && b.Member == k.Member && b.Minutes > 0 && b.Last.After(until) && !b.Last.After(k.First) {
			by, place, until = b, "", b.Last
		}
		for _, p := range b.Places {
			if slices.Contains(k.Places, p) && b.End.After(until) && !b.End.After(k.Start) {
				by, place, until = b, p, b.End
			}
		}
	}
	return by, place
}

// TryKind is what might make an order ready earlier.
type TryKind string

// Kinds of tries.
const (
	OnePot   TryKind = "pot"      // one more of the largest pot
	OneFrame TryKind = "frame"    // one more frame
	Overtime TryKind = "overtime" // two hours more a day, for four weeks, of a member in the chain
	Halves   TryKind = "halves"   // its longest warp laid as two, for two members
	Sooner   TryKind = "yarn"     // its yarn is there in half the time
)

// Try is what would come of something.
type Try struct {
	Kind   TryKind
	Member string // whose overtime; record
	Name   string // of the member, or of the task that is halved
	Ready  time.Time
	Days   int      // earlier
	Later  []string // orders that would be late by it, or later than they are
}

// Overtime that is tried; our choice.
const (
	overHours = 2
	overWeeks = 4
)

// Earlier tries what would make an order ready earlier. Each try is a timetable of
// its own, made in as many schedules; what makes no difference of a day is told too.
func (h *House) Earlier(ctx context.Context, p Person, order string, schedules int) (out []Try, _ error) {
	var t Timetable
	err := h.view(ctx, p, "Earlier", func(tx *store.Tx) (err error) {
		t, err = h.timetable(tx, schedules, time.Time{})
		return err
	})
	if err != nil {
		return nil, err
	}
	if !t.has(order) {
		return nil, &Error{Code: NotFound}
	}
	return t.earlier(order, t.Schedules), nil
}

// earlier tries, each in so many schedules.
func (t Timetable) earlier(order string, schedules int) (out []Try) {
	for _, c := range t.tries(order) {
		search, ps := schedule.New(c.problem, seed)
		if ps.Failed() {
			continue
		}
		search.Run(schedules)
		out = append(out, c.try.told(t, order, search.Plan()))
	}
	slices.SortStableFunc(out, func(a, b Try) int { return b.Days - a.Days })
	return out
}

// trial is a problem in which something is otherwise.
type trial struct {
	try     Try
	problem schedule.Problem
}

func (t Timetable) tries(order string) (out []trial) {
	w := t.works
	add := func(try Try, change func(p *schedule.Problem)) {
		p := w.problem
		p.Steps, p.Places, p.Calendars = slices.Clone(p.Steps), slices.Clone(p.Places), slices.Clone(p.Calendars)
		change(&p)
		out = append(out, trial{try, p})
	}
	mine := func(s schedule.Step) bool { return slices.Contains(w.tasks[s.Key].Orders, order) }
	uses := func(kind string) bool {
		return slices.ContainsFunc(w.problem.Steps, func(s schedule.Step) bool {
			return mine(s) && slices.ContainsFunc(s.Needs, func(n schedule.Need) bool { return n.Kind == kind })
		})
	}
	more := func(kind string) func(*schedule.Problem) {
		return func(p *schedule.Problem) {
			best := schedule.Place{Kind: kind}
			for _, q := range p.Places {
				if q.Kind == kind && q.Capacity >= best.Capacity {
					best = q
				}
			}
			best.Key += " +"
			p.Places = append(p.Places, best)
		}
	}
	if uses(potKind) {
		add(Try{Kind: OnePot}, more(potKind))
	}
	if uses(frameKind) {
		add(Try{Kind: OneFrame}, more(frameKind))
	}
	seen := map[string]bool{}
	for _, l := range t.why(order) {
		if l.Member != "" && !seen[l.Member] {
			seen[l.Member] = true
			add(Try{Kind: Overtime, Member: l.Member, Name: w.memberName(l.Member)}, func(p *schedule.Problem) { w.overtime(p, l.Member) })
		}
	}
	if i := w.longest(order); i >= 0 {
		add(Try{Kind: Halves, Name: w.tasks[w.problem.Steps[i].Key].Name}, func(p *schedule.Problem) { halve(p, i) })
	}
	yarn := func(s schedule.Step) bool { return mine(s) && w.tasks[s.Key].Kind == YarnTask }
	if slices.ContainsFunc(w.problem.Steps, yarn) {
		add(Try{Kind: Sooner}, func(p *schedule.Problem) {
			for i := range p.Steps {
				if yarn(p.Steps[i]) {
					p.Steps[i].Stand /= 2
				}
			}
		})
	}
	return out
}

// overtime lengthens the days on which a member works anyway.
func (w *works) overtime(p *schedule.Problem, member string) {
	m := w.member(member).Value
	for i := range p.Calendars {
		c := &p.Calendars[i]
		if c.Key != member {
			continue
		}
		c.Rules = slices.Clone(c.Rules)
		for n := range 7 * overWeeks {
			day := w.begin.AddDate(0, 0, n)
			hours, _ := w.book.member(m, noon(day.Format(time.DateOnly)))
			if len(hours) == 0 {
				continue
			}
			hours = slices.Clone(hours)
			last := &hours[len(hours)-1]
			last.To = min(last.To+60*overHours, 24*60)
			d := schedule.Date{Year: day.Year(), Month: day.Month(), Day: day.Day()}
			c.Rules = append(c.Rules, schedule.Rule{From: d, To: d, Hours: hours})
		}
	}
}

// longest is the step of an order with the most weaving that has not begun and
// nobody has; -1 if there is none.
func (w *works) longest(order string) int {
	best := -1
	for i, s := range w.problem.Steps {
		t := w.tasks[s.Key]
		if t.Kind == WeaveTask && !t.Begun && slices.Contains(t.Orders, order) && len(s.Who) > 1 && (best < 0 || s.Work > w.problem.Steps[best].Work) {
			best = i
		}
	}
	return best
}

// halve lays a warp as two of half its length: each is laid, dressed and woven by
// itself.
func halve(p *schedule.Problem, weave int) {
	twin := map[string]string{}
	var more []schedule.Step
	half := func(i int) {
		s := &p.Steps[i]
		s.Told = nil
		if k := p.Steps[i].Key; strings.HasSuffix(k, "/"+string(WindTask)) || strings.HasSuffix(k, "/"+string(WeaveTask)) {
			ease(s)
		}
		other := *s
		other.Key, twin[s.Key] = s.Key+" +", s.Key+" +"
		if other.Stay != "" {
			other.Stay += " +"
		}
		more = append(more, other)
	}
	job, woven := p.Steps[weave].Stay, p.Steps[weave].Key
	for i := range p.Steps {
		k := p.Steps[i].Key
		for _, kind := range []TaskKind{WindTask, WarpTask, DressTask, WeaveTask} {
			if k == job+"/"+string(kind) {
				half(i)
			}
		}
	}
	for i := range more {
		more[i].After = slices.Clone(more[i].After)
		for a := range more[i].After {
			if k, ok := twin[more[i].After[a].Step]; ok {
				more[i].After[a].Step = k
			}
		}
	}
	for i := range p.Steps {
		s := &p.Steps[i]
		for _, a := range s.After {
			if a.Step == woven {
				s.After = append(slices.Clone(s.After), schedule.After{Step: twin[woven], Min: a.Min, Max: a.Max})
			}
		}
	}
	p.Steps = append(p.Steps, more...)
}

// ease halves the work of a step.
func ease(s *schedule.Step) {
	s.Work = (s.Work + 1) / 2
	s.Who = slices.Clone(s.Who)
	for i := range s.Who {
		s.Who[i].Work = (s.Who[i].Work + 1) / 2
	}
}

// told says what came of a try.
func (try Try) told(t Timetable, order string, plan schedule.Plan) Try {
	was := map[string]OrderTime{}
	for _, o := range t.Orders {
		was[o.ID] = o
	}
	for _, r := range plan.Orders {
		b := was[r.Order]
		if r.Order == order {
			try.Ready = t.works.problem.When(r.End)
			try.Days = daysBetween(try.Ready.Format(time.DateOnly), b.Ready.Format(time.DateOnly))
		} else if r.Late > b.Late {
			try.Later = append(try.Later, r.Order)
		}
	}
	return try
}
