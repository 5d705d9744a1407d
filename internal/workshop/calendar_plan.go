package workshop

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"
	"time"

	"urdir/check"
	"urdir/internal/store"
	"urdir/measure"
	"urdir/schedule"
)

// How many schedules a timetable is looked for in: at first, and at most.
const (
	TimetableSchedules = 2000
	TimetableMost      = 1_000_000
)

// seed picks the sequence of chance of every search: the same for all, so that
// nobody's luck is better.
const seed = 1

// Timetable finds who does what when for all open orders, in so many schedules.
// The same work and number give the same timetable.
func (h *House) Timetable(ctx context.Context, p Person, schedules int) (out Timetable, _ error) {
	err := h.view(ctx, p, "Timetable", func(tx *store.Tx) (err error) {
		out, err = h.timetable(tx, schedules, time.Time{})
		return err
	})
	return out, err
}

// timetable is the last one found if nothing has happened since. Without a time it
// begins now.
func (h *House) timetable(tx *store.Tx, schedules int, begin time.Time) (Timetable, error) {
	schedules = min(max(schedules, 1), TimetableMost)
	mark, err := tx.Mark()
	if err != nil {
		return Timetable{}, err
	}
	if begin.IsZero() {
		begin = nextQuarter(h.now())
	}
	key := fmt.Sprint(tx.Workshop(), mark, begin.Unix(), " ", schedules)
	return h.tables.of(key, tablesMost, func() (Timetable, error) {
		w, err := h.works(tx, begin)
		if err != nil {
			return Timetable{}, err
		}
		return w.timetable(schedules), nil
	})
}

// tablesMost bounds how many timetables are kept; one of 300 orders takes some
// megabytes.
const tablesMost = 6

func nextQuarter(t time.Time) time.Time {
	if at := t.Truncate(quarter); at.Before(t) {
		return at.Add(quarter)
	}
	return t.Truncate(quarter)
}

// timetable looks for a plan and says it in the workshop's words.
func (w *works) timetable(schedules int) Timetable {
	out := Timetable{Begin: w.begin, Zone: w.begin.Location(), Names: map[string]string{}, works: w, Mark: fmt.Sprintf("%d-%s", w.begin.Unix(), w.mark())}
	for _, m := range w.members {
		out.Names[m.ID] = m.Value.Name
	}
	search := w.sift()
	out.Left, out.Problems = w.left, w.about
	if search == nil {
		return out
	}
	search.Run(schedules)
	out.plan = search.Plan()
	w.write(&out)
	return out
}

// write says a plan in the workshop's words.
func (w *works) write(out *Timetable) {
	plan := out.plan
	out.Score, out.Bound, out.Over, out.Gap, out.Fairness, out.Schedules = plan.Score, plan.Bound, plan.Over, plan.Gap, plan.Fairness, plan.Schedules
	out.Tasks = w.placed(plan)
	for i, r := range plan.Orders {
		o := w.orders[r.Order]
		out.Orders = append(out.Orders, OrderTime{ID: r.Order, Number: o.Value.Number, Customer: o.Customer.Value.Name, Due: o.Value.Due,
			Promised: o.Value.Promise != "", Class: o.Value.Class != nil, Start: w.problem.When(r.Start), Ready: w.problem.When(r.End), Late: plan.Orders[i].Late})
	}
	for _, s := range plan.Shares {
		out.Shares = append(out.Shares, MemberShare{s.Person, w.memberName(s.Person), measure.Minute(s.Given), measure.Minute(s.Wants)})
	}
	for _, key := range plan.Missing {
		if t := w.tasks[key]; t != nil {
			out.Problems.Look("tasks."+key, "calendar-hours-short", check.Args{"what": t.Name, "days": w.problem.Days})
		}
	}
}

// placed is the tasks of a plan, by start.
func (w *works) placed(plan schedule.Plan) (out []Task) {
	steps := map[string]*schedule.Step{}
	for i := range w.problem.Steps {
		steps[w.problem.Steps[i].Key] = &w.problem.Steps[i]
	}
	taught := map[string][]Stretch{} // by member
	for _, j := range plan.Jobs {
		if !steps[j.Step].At.IsZero() {
			taught[j.Person] = append(taught[j.Person], Stretch{w.problem.When(j.First), w.problem.When(j.Last)})
		}
	}
	for _, j := range plan.Jobs {
		t := *w.tasks[j.Step]
		t.Member, t.Places, t.Minutes = j.Person, j.Places, int(j.Work)
		t.Start, t.First, t.Last, t.End = w.problem.When(j.Start), w.problem.When(j.First), w.problem.When(j.Last), w.problem.When(j.End)
		if j.Work > 0 {
			t.Hands = stretches(t.First, t.Last, w.hoursOf(j.Person, steps[j.Step]))
			if steps[j.Step].At.IsZero() {
				t.Hands = besides(t.Hands, taught[j.Person]) // she leaves it for a class, and goes on after it
			}
		}
		if t.Was != nil && t.Was.Member == t.Member && t.Was.Start.Equal(t.Start) {
			t.Told, t.Was = true, nil
		}
		out = append(out, t)
	}
	slices.SortStableFunc(out, func(a, b Task) int { return cmp.Or(a.Start.Compare(b.Start), cmp.Compare(a.Key, b.Key)) })
	return out
}

// sift sets orders apart that no plan can be made for, and begins a search for the
// others; nil if there can be none.
func (w *works) sift() *schedule.Search {
	if w.about.Failed() {
		return nil
	}
	for {
		search, found := schedule.New(w.problem, seed)
		failed := map[string]check.Problems{}
		var about check.Problems
		drop := map[string]bool{} // steps that serve no order
		for _, p := range found {
			step := w.stepAt(p.Path)
			p = w.say(p, step)
			switch {
			case p.Severity != check.Error || step == nil:
				about = append(about, p)
			case len(w.tasks[step.Key].Orders) == 0:
				drop[step.Key] = true
				p.Severity = check.Caution
				w.about = append(w.about, p)
			default:
				for _, id := range w.tasks[step.Key].Orders {
					failed[id] = append(failed[id], p)
				}
			}
		}
		if len(failed)+len(drop) == 0 {
			w.about = append(w.about, about...)
			return search
		}
		for _, id := range slices.Sorted(maps.Keys(failed)) {
			w.left = append(w.left, Left{id, w.orders[id].Value.Number, failed[id]})
		}
		slices.SortStableFunc(w.left, func(a, b Left) int { return cmp.Compare(a.Number, b.Number) })
		w.leave(failed, drop)
	}
}

// leave takes orders out of the problem, with the steps that serve no other.
func (w *works) leave(orders map[string]check.Problems, drop map[string]bool) {
	gone := func(id string) bool { return orders[id] != nil }
	p := &w.problem
	p.Orders = slices.DeleteFunc(p.Orders, func(o schedule.Order) bool { return gone(o.Key) })
	p.Steps = slices.DeleteFunc(p.Steps, func(s schedule.Step) bool {
		own := w.tasks[s.Key].Orders
		if len(own) > 0 && !slices.ContainsFunc(own, func(id string) bool { return !gone(id) }) {
			drop[s.Key] = true
		}
		return drop[s.Key]
	})
	for i := range p.Steps {
		s := &p.Steps[i]
		s.Orders = slices.DeleteFunc(slices.Clone(s.Orders), gone)
		s.After = slices.DeleteFunc(slices.Clone(s.After), func(a schedule.After) bool { return drop[a.Step] })
	}
}

// stepAt is the step that a problem's path names; nil if it names none.
func (w *works) stepAt(path string) *schedule.Step {
	var n int
	if !scan(path, "steps[%d]", &n) || n >= len(w.problem.Steps) {
		return nil
	}
	return &w.problem.Steps[n]
}

// say says a problem of the schedule in the workshop's words.
func (w *works) say(p check.Problem, s *schedule.Step) check.Problem {
	args := check.Args{}
	maps.Copy(args, p.Args)
	if person, ok := args["person"].(string); ok {
		args["name"] = w.memberName(person)
	}
	if s != nil {
		t := w.tasks[s.Key]
		args["what"] = t.Name
		p.Path = "tasks." + s.Key
		for _, skill := range Skills {
			args[skillArg(skill)] = s.Skill == skill
		}
	}
	var n int
	if scan(p.Path, "orders[%d]", &n) && n < len(w.problem.Orders) {
		o := w.orders[w.problem.Orders[n].Key]
		args["what"], args["due"], p.Path = number(o.Value.Number), o.Value.Due, "orders."+o.ID
	}
	if code, ok := sayings[p.Code]; ok {
		p.Code = code
	}
	p.Args = args
	return p
}

// skillArg is the name by which a text asks whether a skill is meant.
func skillArg(skill string) string {
	if skill == "pick-up" {
		return "pickup"
	}
	return skill
}

// sayings is the workshop's words for problems of the schedule.
var sayings = map[string]string{
	"schedule-nobody": "calendar-nobody", "schedule-stay-nobody": "calendar-nobody",
	"schedule-left": "calendar-left", "schedule-stay-left": "calendar-left", "schedule-told-unable": "calendar-left",
	"schedule-hours-short": "calendar-hours-short", "schedule-whole": "calendar-hours-short",
	"schedule-no-room": "calendar-no-room", "schedule-told-broken": "calendar-told-broken", "schedule-past": "calendar-past",
	"schedule-class-away": "calendar-class-away", "schedule-class-clash": "calendar-class-clash", "schedule-loop": "calendar-loop",
}
