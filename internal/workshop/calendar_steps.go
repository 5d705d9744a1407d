package workshop

import (
	"fmt"
	"slices"
	"time"

	"urdir/check"
	"urdir/measure"
	"urdir/plan"
	"urdir/schedule"
	"urdir/schedule/rates"
)

// Work nobody has a rate for, and standing times; common practice, no source.
const (
	backMinutes  = 20 // to take a warp back, weigh it and look it through
	labelMinutes = 10 // a piece
	washStand    = 24 * 60
)

// making is the steps of one order as they are put together.
type making struct {
	*works
	o     OrderView
	ready map[string][]schedule.After // line -> when its yarn is there
	last  []schedule.After            // before it is delivered
	kits  []schedule.After            // of a class: its warps on looms
}

// order adds what is still to be done for an order. One whose cloth cannot be
// planned, or whose warp nobody is left to weave, is set apart.
func (w *works) order(o OrderView) {
	var ps check.Problems
	for _, l := range o.Lines {
		if l.Made.Failed() {
			ps.Wrong("lines."+l.ID, "calendar-cloth", check.Args{"what": number(o.Value.Number) + " " + l.Cloth.Value.Name})
		}
	}
	for _, j := range o.Jobs {
		switch s := j.Value.State(); {
		case s == Waiting || s == Off || o.Value.Class != nil && s != Given:
		case w.person(j.Value.Member) == nil:
			ps.Wrong("jobs."+j.ID, "calendar-left", check.Args{"name": w.memberName(j.Value.Member), "what": jobName(j.Value)})
		}
	}
	ps = append(ps, w.classProblems(o)...)
	if ps.Failed() {
		w.left = append(w.left, Left{o.ID, o.Value.Number, ps})
		return
	}
	w.about = append(w.about, ps...)
	m := &making{works: w, o: o, ready: map[string][]schedule.After{}}
	own := schedule.Order{Key: o.ID, Weight: 1}
	if due, ok := w.due(o); ok && !o.finished() {
		own.Due = due
	}
	if o.Value.Promise != "" {
		own.Weight = promisedWeight
	}
	if c := o.Value.Class; c.dated() {
		own.From, _ = w.dayAt(dayAfter(c.Day, -c.ahead()), c.From) // looked at before
	}
	before := len(w.problem.Steps)
	for i := range o.Lines {
		m.yarn(&o.Lines[i])
	}
	for _, j := range o.Jobs {
		m.job(j)
	}
	switch {
	case o.Value.Class == nil:
		m.finish()
	case o.Value.Class.dated():
		m.class()
	}
	if len(w.problem.Steps) > before { // or else it is only to be paid
		w.problem.Orders = append(w.problem.Orders, own)
	}
}

// finished says whether every piece of the order was finished once: what is left,
// to tag and deliver them or to mend what came back, makes it late no more.
func (o OrderView) finished() bool {
	return o.Value.Class == nil && len(o.Pieces) > 0 && !slices.ContainsFunc(o.Pieces, func(x Kept[Piece]) bool {
		return !slices.ContainsFunc(x.Value.Facts, func(f Fact) bool { return f.Kind == FinishedFact })
	})
}

// promisedWeight is how many days late of an order without a promise one day late
// of an order with one is worth; our choice.
const promisedWeight = 3

func jobName(j Job) string {
	name := number(j.Number) + " " + j.Cloth + " · " + j.Warp
	if j.Layings > 1 {
		name += fmt.Sprintf(" %d/%d", j.Laying, j.Layings)
	}
	return name
}

// task begins a task of the order.
func (m *making) task(kind TaskKind, key, where, id, name string) Task {
	return Task{Key: key + "/" + string(kind), Kind: kind, Orders: []string{m.o.ID}, Numbers: []int64{m.o.Value.Number}, Where: where, ID: id, Name: name}
}

// yarn says when the yarn of a line is there: it comes out of a bath, or it is
// sent for.
func (m *making) yarn(l *LineView) {
	rest := toGive(*l, m.o.Jobs)
	send := false
	for _, want := range l.Wants {
		if rest[want.Yarn] <= 0 {
			continue
		}
		lot := want.Lot
		_, wished := l.wish(want.Need)
		switch {
		case lot.ID != "" && lot.Value.Waiting && m.dried[lot.Value.Dye.Dyeing] != "":
			m.ready[l.ID] = append(m.ready[l.ID], schedule.After{Step: m.dried[lot.Value.Dye.Dyeing]})
		case lot.ID == "" && wished && m.dried[wantKey(m.o.ID, l.ID, want.Yarn)] != "":
			m.ready[l.ID] = append(m.ready[l.ID], schedule.After{Step: m.dried[wantKey(m.o.ID, l.ID, want.Yarn)]})
		case lot.ID == "" || lot.Value.Waiting || !want.Enough:
			send = true
		}
	}
	if !send {
		return
	}
	t := m.task(YarnTask, m.o.ID+"."+l.ID, "order", m.o.ID, number(m.o.Value.Number)+" "+l.Cloth.Value.Name)
	s := schedule.Step{Stand: schedule.Minutes(m.set.Calendar.buying() * 24 * 60)}
	if m.o.Value.Class.dated() {
		s.Orders = []string{} // sent for before its preparing begins
	}
	m.ready[l.ID] = append(m.ready[l.ID], schedule.After{Step: m.add(t, s)})
}

// job adds what is left of a warp, from the skein to the cloth taken back.
func (m *making) job(j Kept[Job]) {
	at := slices.IndexFunc(m.o.Lines, func(l LineView) bool { return l.ID == j.Value.Line })
	if at < 0 {
		return
	}
	p := &m.o.Lines[at].Made.Plan
	k := chain{making: m, job: j, plan: p, warp: p.Warp(j.Value.Warp), after: m.ready[j.Value.Line]}
	state := j.Value.State()
	class := m.o.Value.Class != nil
	if k.warp == nil || state == Off || class && (state == OnFrame || state == OnLoom) {
		return // done, or it stands ready for the class
	}
	if j.Value.Member != "" {
		k.her = []string{j.Value.Member}
	}
	if state == Waiting || state == Given {
		k.lay()
	}
	skill := skillFor(p, k.warp)
	if class {
		skill = "lay"
	}
	if state != OnLoom {
		t := k.task(DressTask, Load{rates.Dressing, measure.Count(k.warp.Ends)})
		k.then(t, schedule.Step{Stay: j.ID}, skill, m.hands(&t, skill, k.her...))
	}
	if class {
		m.kits = append(m.kits, k.after...)
		return
	}
	k.weave(skill, state == OnLoom)
	k.then(k.task(BackTask), schedule.Step{Work: backMinutes, Calendar: houseCalendar}, "", nil)
	m.last = append(m.last, k.after...)
}

// chain is the steps of one warp, one after the other.
type chain struct {
	*making
	job   Kept[Job]
	plan  *plan.Plan
	warp  *plan.WarpPlan
	her   []string         // who has it, if someone does
	after []schedule.After // the step before, or when its yarn is there
}

func (k *chain) task(kind TaskKind, loads ...Load) Task {
	t := k.making.task(kind, k.job.ID, "job", k.job.ID, jobName(k.job.Value))
	t.Loads = loads
	return t
}

// then adds a step behind the others.
func (k *chain) then(t Task, s schedule.Step, skill string, who []schedule.Hand) {
	s.After, s.Who, s.Skill = k.after, who, skill
	for _, h := range who {
		s.Work = max(s.Work, h.Work)
	}
	k.after = []schedule.After{{Step: k.add(t, s)}}
}

// lay adds winding and laying: by whoever has the warp, if she lays.
func (k *chain) lay() {
	layer := func(t *Task) []schedule.Hand {
		if own := k.hands(t, "lay", k.her...); len(own) > 0 {
			return own
		}
		return k.hands(t, "lay") // she weaves, another lays for her
	}
	mass := measure.Gram(0)
	for _, y := range k.warp.Yarns {
		mass += y.Mass
	}
	wind := k.task(WindTask, Load{rates.Winding, measure.Count(mass)})
	k.then(wind, schedule.Step{}, "lay", layer(&wind))
	lay := k.task(WarpTask, Load{rates.Warping, measure.Count(k.warp.Ends)})
	k.then(lay, schedule.Step{Needs: []schedule.Need{{Kind: frameKind}}}, "lay", layer(&lay))
}

// weave adds what is left to be woven; a warp that is on a loom is in its member's
// hands, whatever skills are ticked.
func (k *chain) weave(skill string, begun bool) {
	v := k.job.Value
	t := k.task(WeaveTask, weaving(k.plan, k.warp, v.Woven(), v.Length)...)
	s := schedule.Step{Stay: k.job.ID}
	if begun {
		t.Begun, skill = true, ""
		s.Told = &schedule.Told{Person: v.Member, Start: k.begin, Begun: true}
	}
	k.then(t, s, skill, k.hands(&t, skill, k.her...))
}

// skillFor is what weaving a warp asks for.
func skillFor(p *plan.Plan, w *plan.WarpPlan) string {
	skill := "weave"
	for _, slot := range w.Slots {
		for i := range p.Panels {
			if p.Panels[i].Key != slot.Panel {
				continue
			}
			for _, b := range p.Panels[i].Bands {
				if b.Figure != nil {
					skill = figureKind(p, b.Figure.Key)
				}
			}
		}
	}
	return skill
}

// figureKind is the kind of work of a figure, which is also the skill for it.
func figureKind(p *plan.Plan, key string) string {
	if f := p.Figure(key); f != nil && string(f.Kind) == rates.PickUp {
		return rates.PickUp
	}
	return rates.Brocade
}

// weaving is the work between two places along a laying, in the order of its
// panels: picks, and rows of figures with theirs.
func weaving(p *plan.Plan, w *plan.WarpPlan, from, to measure.CM) (out []Load) {
	amount := map[string]measure.Count{}
	base := measure.CM(0)
	for _, slot := range w.Slots {
		for i := range p.Panels {
			pan := &p.Panels[i]
			if pan.Key != slot.Panel {
				continue
			}
			for range slot.Count {
				for _, b := range pan.Bands {
					part := overlap(base+b.From, base+b.To, from, to)
					rows := 0
					if b.Figure != nil {
						rows = b.Figure.Rows
						amount[figureKind(p, b.Figure.Key)] += measure.Count(part * float64(rows))
					}
					amount[rates.Weaving] += measure.Count(part * float64(max(0, b.Picks-rows)))
				}
				base += pan.LoomLength
			}
		}
	}
	for _, kind := range []string{rates.Weaving, rates.Brocade, rates.PickUp} {
		if n := amount[kind]; n >= 0.5 {
			out = append(out, Load{kind, n})
		}
	}
	return out
}

// overlap is how much of a band lies between two places.
func overlap(low, high, from, to measure.CM) float64 {
	part := min(high, to) - max(low, from)
	if part <= 0 || high <= low {
		return 0
	}
	return float64(part / (high - low))
}

// layOutDraft makes the warps and pieces that an order would have once confirmed.
func layOutDraft(o *OrderView) {
	for i := range o.Lines {
		l := &o.Lines[i]
		p := &l.Made.Plan
		for _, w := range p.Warps {
			for n := 1; n <= w.Layings; n++ {
				id := fmt.Sprintf("%s.%s.%s.%d", o.ID, l.ID, w.Key, n)
				o.Jobs = append(o.Jobs, Kept[Job]{ID: id, Value: Job{Order: o.ID, Line: l.ID, Number: o.Value.Number, Warp: w.Key, Laying: n, Layings: w.Layings,
					Cloth: p.Name, Length: w.Length.Panels}})
			}
		}
		for n := 1; n <= l.Quantity; n++ {
			o.Pieces = append(o.Pieces, Kept[Piece]{ID: fmt.Sprintf("%s.%s.p%d", o.ID, l.ID, n),
				Value: Piece{Order: o.ID, Line: l.ID, Cloth: p.Name, N: n, Of: l.Quantity}})
		}
	}
}

// dayAt is a time of the clock on a date.
func (w *works) dayAt(date string, minutes int) (time.Time, bool) {
	day, err := time.ParseInLocation(time.DateOnly, date, w.begin.Location())
	return wall(day, minutes), err == nil
}
