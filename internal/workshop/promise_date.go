package workshop

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"time"

	"urdir/check"
	"urdir/internal/store"
	"urdir/measure"
	"urdir/plan"
	"urdir/schedule"
	"urdir/schedule/promise"
	"urdir/schedule/rates"
)

// UsualPromise is the probability with which a day is promised unless another is
// chosen.
const UsualPromise measure.Ratio = 0.8

// How many schedules stand behind a promise: of everything that is to be done, and
// of the new order among it. Our choice: the first answer within a few hundredths
// of a second, and most of what more would give.
const (
	promiseSchedules = 300
	askedSchedules   = 50
)

// Ask is an order that a date is wanted for.
type Ask struct {
	Order       string        // record of an order, a draft too; empty: Lines
	Lines       []AskLine     // of one that is not written down yet
	Class       bool          // lines are a class's, on a day that is still to be found
	Probability measure.Ratio // zero: UsualPromise
	Runs        int           // of the simulation; zero: as is usual
}

// AskLine is pieces of a cloth file.
type AskLine struct {
	Text     string
	Quantity int
}

// Answer is the day that can be promised.
type Answer struct {
	promise.Date
	Planned   time.Time    // when it is ready by the timetable itself
	GivesWay  bool         // it takes what all other orders leave
	Likely    promise.Date // with one half
	Sure      promise.Date // with 95 %
	Days      []ReadyDay   // from the first day on which it may be ready to the last
	Runs      int          // of the simulation
	Class     *Class       // of what is asked; then all is said of the days on which its warps stand on looms
	Held      string       // date on which a class can be held, or could have been, with the probability asked for
	Tasks     []Task
	Why       []Link // what it waits for, from its last task back to now
	Problems  check.Problems
	Orders    int // open, among which it was asked
	Timetable Timetable
}

// ReadyDay is a day on which an order may be ready.
type ReadyDay struct {
	Day  string        // date
	Runs int           // of the simulation in which it is ready on that day
	By   measure.Ratio // share of those in which it is ready by the end of it
}

// PromiseFor finds the day by which an order is ready with a probability, beside
// everything that was promised already: those orders are ready as if it were not
// there.
func (h *House) PromiseFor(ctx context.Context, p Person, a Ask) (out Answer, _ error) {
	t, o, err := h.askAmong(ctx, p, "PromiseFor", a)
	if err != nil {
		return out, err
	}
	if a.Probability == 0 {
		a.Probability = UsualPromise
	}
	out.Orders, out.Timetable = len(t.Orders), t
	in := promise.Input{Problem: t.works.problem, GiveWay: []string{o.ID}, Runs: a.Runs, Seed: seed, Takes: t.works.takes}
	if !t.has(o.ID) {
		was := t.works.problem.Steps
		if t, err = t.joined(o); err != nil {
			return out, err
		}
		in.Problem, in.Takes = t.works.asTold(was), t.works.takes
	} else if o.Value.Promise != "" || o.Value.Class.dated() || t.toldOf(o.ID) {
		in.GiveWay = nil // it has its place already; learners know the day of a class
	}
	out.GivesWay = len(in.GiveWay) > 0
	if !t.has(o.ID) {
		return out, wrong("order", "promise-ready", nil)
	}
	order := o.ID
	if out.Class = o.Value.Class; out.Class.dated() {
		order = t.works.kits(&in, o.ID)
	}
	in.Turns = t.plan.Turns(&in.Problem)
	t.works.byName(&in)
	out.tell(t, o.ID)
	err = out.simulate(in, t.works, order, a.Probability)
	return out, err
}

// EarlierFor tries what would make an order that is asked about ready earlier. What
// others were given stays where it is.
func (h *House) EarlierFor(ctx context.Context, p Person, a Ask) ([]Try, error) {
	t, o, err := h.askAmong(ctx, p, "EarlierFor", a)
	if err != nil {
		return nil, err
	}
	if !t.has(o.ID) {
		if t, err = t.joined(o); err != nil {
			return nil, err
		}
	}
	if !t.has(o.ID) {
		return nil, wrong("order", "promise-ready", nil)
	}
	return t.earlier(o.ID, askedSchedules), nil
}

// askAmong is the timetable an order is asked about in, and the order as it would
// be.
func (h *House) askAmong(ctx context.Context, p Person, call string, a Ask) (t Timetable, o OrderView, _ error) {
	err := h.view(ctx, p, call, func(tx *store.Tx) (err error) {
		if t, err = h.timetable(tx, promiseSchedules, time.Time{}); err != nil {
			return err
		}
		o, err = h.asked(tx, a)
		return err
	})
	if err != nil {
		return t, o, err
	}
	for _, l := range t.Left {
		if l.ID == o.ID {
			return t, o, &Error{Code: Invalid, Problems: l.Problems}
		}
	}
	return t, o, invalid(t.Problems)
}

// toldOf says whether people were told of an order's hands' work.
func (t Timetable) toldOf(order string) bool {
	return slices.ContainsFunc(t.Tasks, func(k Task) bool { return k.Told && k.Minutes > 0 && slices.Contains(k.Orders, order) })
}

// has says whether an order stands in a timetable.
func (t Timetable) has(order string) bool {
	return slices.ContainsFunc(t.Orders, func(k OrderTime) bool { return k.ID == order })
}

// asked is the order that is asked about, with its warps and pieces as they would
// be.
func (h *House) asked(tx *store.Tx, a Ask) (o OrderView, err error) {
	if a.Order != "" {
		if o, err = h.order(tx, a.Order); err != nil {
			return o, err
		}
		if o.Value.Cancelled != "" || o.Value.Done != "" {
			return o, wrong("order", "promise-done", nil)
		}
		if o.Value.Confirmed == "" {
			layOutDraft(&o)
		}
	} else {
		set, err := readSettings(tx)
		if err != nil {
			return o, err
		}
		o.ID = "asked"
		if a.Class {
			o.Value.Class = &Class{}
		}
		for i, l := range a.Lines {
			if l.Quantity < 1 || l.Quantity > maxPieces {
				return o, wrong(fmt.Sprintf("lines[%d].quantity", i), "out-of-range", check.Args{"value": l.Quantity, "low": 1, "high": maxPieces})
			}
			s := Sheet{Text: l.Text, Quantity: l.Quantity}
			if len(set.Value.Frames) > 0 {
				s.Frame = set.Value.Frames[0].Text
			}
			v := LineView{Line: Line{ID: fmt.Sprint("line", i+1), Quantity: l.Quantity}, Made: h.plans.plan(s)}
			if v.Made.Failed() {
				return o, &Error{Code: Invalid, Problems: under(fmt.Sprintf("lines[%d]", i), v.Made.Problems)}
			}
			v.Cloth.Value.Name = v.Made.Plan.Name
			v.Wants = wantsOf(v.Made.Plan)
			o.Lines = append(o.Lines, v)
		}
		layOutDraft(&o)
	}
	if len(o.Lines) == 0 {
		return o, wrong("lines", "order-no-lines", nil)
	}
	return o, nil
}

// wantsOf is the yarns of a plan of which nobody has chosen a lot.
func wantsOf(p plan.Plan) (out []Want) {
	for _, y := range p.Yarns {
		out = append(out, Want{Yarn: y.Key, Need: y})
	}
	return out
}

// joined is a timetable with one more order: everything else stays where it is,
// and the order takes what is left.
func (t Timetable) joined(o OrderView) (out Timetable, _ error) {
	w := *t.works
	w.tasks, w.dried, w.orders = maps.Clone(w.tasks), maps.Clone(w.dried), maps.Clone(w.orders)
	w.left, w.about = nil, nil
	w.problem.Steps, w.problem.Orders = slices.Clone(w.problem.Steps), slices.Clone(w.problem.Orders)
	w.orders[o.ID] = o
	w.dyeFor(o)
	w.order(o)
	if len(w.left) > 0 {
		return out, &Error{Code: Invalid, Problems: w.left[0].Problems}
	}
	own := w.problem.Orders
	w.problem = w.held(t, func(Task) bool { return false })
	w.problem.Orders = own
	search := w.sift()
	if search == nil || len(w.left) > 0 {
		ps := w.about
		for _, l := range w.left {
			ps = append(ps, l.Problems...)
		}
		return out, &Error{Code: Invalid, Problems: ps}
	}
	search.Run(askedSchedules)
	out = Timetable{Begin: t.Begin, Zone: t.Zone, Names: t.Names, works: &w, plan: search.Plan()}
	w.write(&out)
	return out, nil
}

// asTold is the problem with its steps as people were told, as they stood before
// they were held where the timetable has them.
func (w *works) asTold(was []schedule.Step) schedule.Problem {
	told := map[string]*schedule.Told{}
	for i := range was {
		told[was[i].Key] = was[i].Told
	}
	p := w.problem
	p.Steps = slices.Clone(p.Steps)
	for i := range p.Steps {
		if before, known := told[p.Steps[i].Key]; known {
			p.Steps[i].Told = before
		}
	}
	return p
}

// byName calls people by their names. In a simulation luck goes by the keys of
// people and steps, and records are named by chance: the same workshop, entered
// anew, gets the same day.
func (w *works) byName(in *promise.Input) {
	called, back := map[string]string{"": ""}, map[string]string{"": ""}
	p := &in.Problem
	p.People = slices.Clone(p.People)
	for i := range p.People {
		q := &p.People[i]
		name := w.memberName(q.Key)
		for back[name] != "" {
			name += "'" // another of that name
		}
		called[q.Key], back[name] = name, q.Key
		q.Key = name
	}
	p.Steps = slices.Clone(p.Steps)
	for i := range p.Steps {
		s := &p.Steps[i]
		s.Who = slices.Clone(s.Who)
		for k := range s.Who {
			s.Who[k].Person = called[s.Who[k].Person]
		}
		if s.Told != nil {
			told := *s.Told
			told.Person = called[told.Person]
			s.Told = &told
		}
		in.Turns[i].Person = called[in.Turns[i].Person]
	}
	takes := in.Takes
	in.Takes = func(s *schedule.Step, person string) rates.Forecast { return takes(s, back[person]) }
}

// simulate runs a plan through and reads the days off.
func (out *Answer) simulate(in promise.Input, w *works, order string, probability measure.Ratio) error {
	seen, ps := promise.Simulate(in)
	if err := invalid(ps); err != nil {
		return err
	}
	at := slices.IndexFunc(seen.Orders, func(o promise.Order) bool { return o.Key == order })
	one := seen.Orders[at]
	var more check.Problems
	if out.Date, ps = one.By(float64(probability)); ps.Failed() {
		return &Error{Code: Invalid, Problems: w.never(ps)}
	}
	out.Likely, ps = one.By(0.5)
	out.Sure, more = one.By(0.95)
	out.Problems = slices.Concat(ps, more)
	out.spread(&one)
	if out.Class != nil {
		out.Held = out.HeldAfter(DateOf(out.Day))
	}
	if out.Class.dated() {
		out.eve(w, &one)
	}
	return nil
}

// tell reads off a timetable what is done for the order, by when, and what it hangs
// on: of a class, what is done before it.
func (out *Answer) tell(t Timetable, order string) {
	held := func(k Task) bool { return k.Kind == ClassTask }
	for _, k := range t.Tasks {
		if !slices.Contains(k.Orders, order) {
			continue
		}
		out.Tasks = append(out.Tasks, k)
		if !held(k) && k.End.After(out.Planned) {
			out.Planned = k.End
		}
	}
	out.Why = slices.DeleteFunc(t.why(order), func(l Link) bool { return held(l.Task) })
}

// spread tells on which days an order is ready in how many runs.
func (out *Answer) spread(o *promise.Order) {
	days, never := o.Days()
	out.Runs = never
	for _, d := range days {
		out.Runs += d.Runs
		out.Days = append(out.Days, ReadyDay{Day: DateOf(d.Day), Runs: d.Runs,
			By: measure.Ratio(o.Chance(d.Day))})
	}
}

// never says a problem of the simulation in the workshop's words.
func (w *works) never(ps check.Problems) check.Problems {
	for i := range ps {
		if id, ok := ps[i].Args["order"].(string); ok {
			ps[i].Args = maps.Clone(ps[i].Args)
			ps[i].Args["order"] = number(w.orders[id].Value.Number)
		}
	}
	return ps
}

// DateOf writes a day as dates are kept.
func DateOf(d schedule.Date) string { return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day) }

// Chance is the probability that it is ready by the end of a date.
func (out Answer) Chance(date string) (by measure.Ratio) {
	for _, d := range out.Days {
		if d.Day <= date {
			by = d.By
		}
	}
	return by
}
