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
	promiseSchedules = 100
	askedSchedules   = 50
)

// Ask is an order that a date is wanted for.
type Ask struct {
	Order       string        // record of an order, a draft too; empty: Lines
	Lines       []AskLine     // of one that is not written down yet
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
	Likely    promise.Date // with one half
	Sure      promise.Date // with 95 %
	Tasks     []Task
	Problems  check.Problems
	Orders    int // open, among which it was asked
	Timetable Timetable
}

// PromiseFor finds the day by which an order is ready with a probability, beside
// everything that was promised already: those orders are ready as if it were not
// there.
func (h *House) PromiseFor(ctx context.Context, p Person, a Ask) (out Answer, _ error) {
	var (
		t Timetable
		o OrderView
	)
	if err := h.view(ctx, p, "PromiseFor", func(tx *store.Tx) (err error) {
		if t, err = h.timetable(tx, promiseSchedules, time.Time{}); err != nil {
			return err
		}
		o, err = h.asked(tx, a)
		return err
	}); err != nil {
		return out, err
	}
	if a.Probability == 0 {
		a.Probability = UsualPromise
	}
	out.Orders, out.Timetable = len(t.Orders), t
	for _, l := range t.Left {
		if l.ID == o.ID {
			return out, &Error{Code: Invalid, Problems: l.Problems}
		}
	}
	if err := invalid(t.Problems); err != nil {
		return out, err
	}
	in := promise.Input{Problem: t.works.problem, GiveWay: []string{o.ID}, Runs: a.Runs, Seed: seed, Takes: t.works.takes}
	w, found := t.works, t.plan
	if !slices.ContainsFunc(t.Orders, func(k OrderTime) bool { return k.ID == o.ID }) {
		var ps check.Problems
		if w, found, ps = t.with(o); ps.Failed() {
			return out, &Error{Code: Invalid, Problems: ps}
		}
		in.Problem, in.Takes = w.problem, w.takes
	} else if o.Value.Promise != "" {
		in.GiveWay = nil // it has its place already
	}
	in.Turns = found.Turns(&in.Problem)
	w.byName(&in)
	err := out.simulate(in, w, found, o.ID, a.Probability)
	return out, err
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

// with puts one more order into a timetable: everything else stays where it is,
// and the order takes what is left.
func (t Timetable) with(o OrderView) (*works, schedule.Plan, check.Problems) {
	w := *t.works
	w.tasks, w.dried, w.orders = maps.Clone(w.tasks), maps.Clone(w.dried), maps.Clone(w.orders)
	w.left, w.about = nil, nil
	w.problem.Steps, w.problem.Orders = slices.Clone(w.problem.Steps), slices.Clone(w.problem.Orders)
	w.orders[o.ID] = o
	before := len(w.problem.Steps)
	w.dyeFor(o)
	w.order(o)
	if len(w.left) > 0 {
		return &w, schedule.Plan{}, w.left[0].Problems
	}
	full := w.problem
	w.problem = w.held(t, func(Task) bool { return false })
	w.problem.Orders = full.Orders
	search := w.sift()
	if search == nil || len(w.left) > 0 {
		ps := w.about
		for _, l := range w.left {
			ps = append(ps, l.Problems...)
		}
		return &w, schedule.Plan{}, ps
	}
	search.Run(askedSchedules)
	found := search.Plan()
	for i := range before { // in the simulation others keep to what they were told, not to the timetable
		w.problem.Steps[i].Told = full.Steps[i].Told
	}
	return &w, found, nil
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
func (out *Answer) simulate(in promise.Input, w *works, found schedule.Plan, order string, probability measure.Ratio) error {
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
	for _, r := range found.Orders {
		if r.Order == order {
			out.Planned = w.problem.When(r.End)
		}
	}
	for _, k := range w.placed(found) {
		if slices.Contains(k.Orders, order) {
			out.Tasks = append(out.Tasks, k)
		}
	}
	return nil
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
