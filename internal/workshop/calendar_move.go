package workshop

import (
	"cmp"
	"context"
	"math"
	"slices"
	"time"

	"urdir/check"
	"urdir/internal/store"
	"urdir/schedule"
)

// Shift is a task put to another time or into other hands.
type Shift struct {
	Task   string
	Member string
	Start  time.Time
	Asked  bool `json:",omitempty"` // those who were told otherwise, or promised something, were asked
}

// Shifted is what follows from a move.
type Shifted struct {
	Shift
	Was, Now Task
	Tasks    []Task // that move with it and of which people were told; Was says how
	Orders   []OrderShifted
	Problems check.Problems
	Mark     string // of the timetable it is a move of

	tell map[string]Task
}

// OrderShifted is an order that would be ready on another day.
type OrderShifted struct {
	OrderTime
	Was  time.Time // when it would be ready without the move
	Late int       // days begun that it would be late without it
}

// mostGiveWay is how often more is let go of to make room for a move; our choice.
const mostGiveWay = 12

// TryMove shows what would follow from a move, of people and orders. Nothing is
// kept.
func (h *House) TryMove(ctx context.Context, p Person, m Shift, schedules int) (out Shifted, _ error) {
	var t Timetable
	err := h.view(ctx, p, "TryMove", func(tx *store.Tx) (err error) {
		t, err = h.timetable(tx, schedules, time.Time{})
		return err
	})
	if err != nil {
		return out, err
	}
	return t.move(m, schedules)
}

// Asks says whether somebody must be asked before the move is made: who was told
// otherwise, or a customer whose order was promised and would be late, or later.
func (m Shifted) Asks() bool {
	return m.Was.Told || m.Was.Was != nil || len(m.Tasks) > 0 || m.breaksPromise()
}

// MoveStep makes a move that was shown: the people are told. mark is that of what
// was shown. What somebody relies on is not moved before she was asked.
func (h *House) MoveStep(ctx context.Context, p Person, m Shift, mark string, schedules int) (out Shifted, kept Kept[Retelling], _ error) {
	t, seen, err := h.again(ctx, p, "MoveStep", mark, schedules)
	if err != nil {
		return out, kept, err
	}
	if out, err = t.move(m, schedules); err != nil {
		return out, kept, err
	}
	if out.Asks() && !m.Asked {
		out.Problems.Wrong("asked", "move-unasked", check.Args{"what": out.Was.Name})
	}
	if err = invalid(out.Problems); err != nil {
		return out, kept, err
	}
	err = h.update(ctx, p, "MoveStep", func(tx *store.Tx) error {
		now, none := tx.Mark()
		if none != nil || now != seen {
			return cmp.Or(none, wrong("", "timetable-changed", nil))
		}
		kept, err = h.tell(tx, p, t.works, out.tell, &m)
		return err
	})
	return out, kept, err
}

// move finds a plan in which a task is where it is put, and as much of the rest as
// can be is where it was.
func (t Timetable) move(m Shift, schedules int) (out Shifted, _ error) {
	out.Shift, out.Mark = m, t.Mark
	at := slices.IndexFunc(t.Tasks, func(k Task) bool { return k.Key == m.Task })
	if at < 0 {
		return out, &Error{Code: NotFound}
	}
	out.Was = t.Tasks[at]
	if err := t.movable(out.Was, m); err != nil {
		return out, err
	}
	best := out
	for i, way := range []givesWay{alone, withAllAfter, withWholeOrders, withAllUntold} {
		tried := out
		tried.makeRoom(t, way, min(schedules, 500))
		if i == 0 || tried.harm() < best.harm() {
			best = tried
		}
		if best.harm() == 0 {
			break
		}
	}
	return best, nil
}

// givesWay adds to what may move, once a step has to. They are tried one after the
// other, so that as few people as can be are told anew: the step itself, what comes
// after it, all of the orders it is for, and whatever nobody was told of.
type givesWay func(w *works, key string, free map[string]bool)

func alone(_ *works, key string, free map[string]bool) { free[key] = true }

func withAllAfter(w *works, key string, free map[string]bool) {
	if free[key] {
		return
	}
	free[key] = true
	for _, s := range w.problem.Steps {
		if slices.ContainsFunc(s.After, func(a schedule.After) bool { return a.Step == key }) {
			withAllAfter(w, s.Key, free)
		}
	}
}

func withWholeOrders(w *works, key string, free map[string]bool) {
	free[key] = true
	for _, s := range w.problem.Steps {
		if slices.ContainsFunc(s.Orders, func(id string) bool { return slices.Contains(w.tasks[key].Orders, id) }) {
			free[s.Key] = true
		}
	}
}

func withAllUntold(w *works, key string, free map[string]bool) {
	withWholeOrders(w, key, free)
	for _, s := range w.problem.Steps {
		if _, told := w.told[s.Key]; !told {
			free[s.Key] = true
		}
	}
}

// makeRoom puts the task where it is to go, and lets go of what cannot stay.
func (m *Shifted) makeRoom(t Timetable, way givesWay, schedules int) {
	w, free := t.works, map[string]bool{}
	way(w, m.Task, free)
	for range mostGiveWay {
		p := w.held(t, func(k Task) bool { return free[k.Key] })
		s := &p.Steps[slices.IndexFunc(p.Steps, func(s schedule.Step) bool { return s.Key == m.Task })]
		s.Told = &schedule.Told{Person: m.Member, Start: m.Start, Begun: true} // it goes before all others
		search, ps := schedule.New(p, seed)
		if ps.Failed() {
			for _, q := range ps {
				m.Problems = append(m.Problems, w.say(q, w.stepAt(q.Path)))
			}
			return
		}
		had := len(free)
		for _, q := range ps {
			if s := w.stepAt(q.Path); q.Code == "schedule-told-broken" && s != nil {
				way(w, s.Key, free)
			}
		}
		if len(free) > had {
			continue
		}
		search.Run(schedules)
		m.follow(t, search.Plan())
		return
	}
}

// harm is by how many days the orders that were promised are later by the move; more
// than any if it cannot be made.
func (m Shifted) harm() (days int) {
	if m.Now.Key == "" || m.Problems.Failed() {
		return math.MaxInt
	}
	for _, o := range m.Orders {
		if o.Promised {
			days += max(0, o.OrderTime.Late-o.Late)
		}
	}
	return days
}

// breaksPromise says whether an order that was promised would be late, or later.
func (m Shifted) breaksPromise() bool {
	return slices.ContainsFunc(m.Orders, func(o OrderShifted) bool { return o.Promised && o.OrderTime.Late > o.Late })
}

// movable refuses to move what is not for the calendar to move.
func (t Timetable) movable(k Task, m Shift) error {
	s := t.works.step(k.Key)
	switch {
	case k.Begun:
		return wrong("task", "move-begun", check.Args{"what": k.Name})
	case k.Kind == ClassTask:
		return wrong("task", "move-class", check.Args{"what": k.Name})
	case k.Where == "dyeing" || k.Where == "dyes":
		return wrong("task", "move-dyeing", check.Args{"what": k.Name})
	case k.Member == "":
		return wrong("task", "move-nobody", check.Args{"what": k.Name})
	case !slices.ContainsFunc(s.Who, func(h schedule.Hand) bool { return h.Person == m.Member }):
		return wrong("member", "move-member", check.Args{"what": k.Name, "name": t.Names[m.Member]})
	case m.Start.Before(t.Begin):
		return wrong("start", "move-past", nil)
	}
	return nil
}

func (w *works) step(key string) *schedule.Step {
	for i := range w.problem.Steps {
		if w.problem.Steps[i].Key == key {
			return &w.problem.Steps[i]
		}
	}
	return nil
}

// held is the problem with every task held where the timetable has it, but for
// those that may move.
func (w *works) held(t Timetable, free func(Task) bool) schedule.Problem {
	p := w.problem
	p.Steps = slices.Clone(p.Steps)
	tasks := map[string]*Task{}
	for i := range t.Tasks {
		tasks[t.Tasks[i].Key] = &t.Tasks[i]
	}
	for i := range p.Steps {
		s := &p.Steps[i]
		k := tasks[s.Key]
		if k == nil || !s.At.IsZero() || s.Told != nil && s.Told.Begun {
			continue
		}
		if !free(*k) {
			s.Told = &schedule.Told{Person: k.Member, Start: k.Start, Places: k.Places}
		} else if s.Told != nil {
			told := *s.Told
			told.Free = true
			s.Told = &told
		}
	}
	return p
}

// follow compares a plan with the timetable.
func (m *Shifted) follow(t Timetable, plan schedule.Plan) {
	was := map[string]Task{}
	for _, k := range t.Tasks {
		was[k.Key] = k
	}
	m.tell = map[string]Task{}
	for _, k := range t.works.placed(plan) {
		b := was[k.Key]
		if k.Key == m.Task {
			m.Now = k
			m.tell[k.Key] = k
			continue
		}
		if k.Member == b.Member && k.Start.Equal(b.Start) || !k.tells() {
			continue
		}
		if b.Told || b.Was != nil { // someone knows of it
			m.tell[k.Key] = k
			before := b.turn()
			k.Was, k.Told = &before, false
			m.Tasks = append(m.Tasks, k)
		}
	}
	before := map[string]OrderTime{}
	for _, o := range t.Orders {
		before[o.ID] = o
	}
	for _, r := range plan.Orders {
		b := before[r.Order]
		now := b
		now.Start, now.Ready, now.Late = t.works.problem.When(r.Start), t.works.problem.When(r.End), r.Late
		if now.Late != b.Late || now.Ready.Format(time.DateOnly) != b.Ready.Format(time.DateOnly) {
			m.Orders = append(m.Orders, OrderShifted{now, b.Ready, b.Late})
		}
	}
	if plan.Score.Broken > t.Score.Broken {
		m.Problems.Wrong("start", "move-too-early", check.Args{"what": m.Was.Name})
	}
}
