package workshop

import (
	"fmt"
	"slices"

	"urdir/measure"
	"urdir/plan"
	"urdir/schedule"
	"urdir/schedule/rates"
)

// batch is pieces that come off the same warps.
type batch struct {
	line LineView
	n    int
	jobs []Kept[Job]
	ps   []Kept[Piece]
}

// batches gathers the pieces of the order by the warps they are woven on.
func (m *making) batches() (out []batch) {
	for _, x := range m.o.Pieces {
		at := slices.IndexFunc(m.o.Lines, func(l LineView) bool { return l.ID == x.Value.Line })
		if at < 0 || x.Value.State() == Delivered {
			continue
		}
		own := jobsOf(x.Value, m.o.Jobs)
		n := 0
		if len(own) > 0 && own[0].Value.Layings/x.Value.Of > 0 {
			n = x.Value.N
		}
		k := slices.IndexFunc(out, func(b batch) bool { return b.line.ID == x.Value.Line && b.n == n })
		if k < 0 {
			k = len(out)
			out = append(out, batch{line: m.o.Lines[at], n: n, jobs: own})
		}
		out[k].ps = append(out[k].ps, x)
	}
	return out
}

// finish adds washing, sewing, finishing and labelling of pieces, and delivery.
func (m *making) finish() {
	for _, b := range m.batches() {
		m.piece(b)
	}
	if len(m.last) == 0 {
		return
	}
	t := m.task(DeliverTask, m.o.ID, "order", m.o.ID, number(m.o.Value.Number)+" "+m.o.Customer.Value.Name)
	m.add(t, schedule.Step{After: m.last, Calendar: houseCalendar})
}

func (m *making) piece(b batch) {
	var after []schedule.After
	for _, j := range b.jobs {
		if j.Value.State() != Off {
			after = append(after, schedule.After{Step: j.ID + "/" + string(BackTask)})
		}
	}
	key, name := fmt.Sprintf("%s.%s.%d", m.o.ID, b.line.ID, b.n), number(m.o.Value.Number)+" "+b.line.Cloth.Value.Name
	raw, mend := 0, 0
	for _, x := range b.ps {
		switch x.Value.State() {
		case Unfinished:
			raw++
		case Returned:
			mend++
		}
	}
	skill := "weave"
	if m.sews {
		skill = "sew"
	}
	then := func(kind TaskKind, stand schedule.Minutes, skill string, l Load) {
		t := m.task(kind, key, "order", m.o.ID, name)
		t.Loads = []Load{l}
		s := schedule.Step{After: after, Stand: stand, Skill: skill, Who: m.hands(&t, skill)}
		for _, h := range s.Who {
			s.Work = max(s.Work, h.Work)
		}
		after = []schedule.After{{Step: m.add(t, s)}}
	}
	if raw > 0 {
		then(WashTask, washStand, skill, Load{rates.Washing, measure.Count(raw)})
		if cm := seams(&b.line.Made.Plan); cm > 0 {
			then(SewTask, 0, "sew", Load{rates.Sewing, measure.Count(cm) * measure.Count(raw)})
		}
	}
	if raw+mend > 0 {
		then(FinishTask, 0, skill, Load{rates.Finishing, measure.Count(raw + mend)})
	}
	t := m.task(LabelTask, key, "order", m.o.ID, name)
	label := m.add(t, schedule.Step{After: after, Work: schedule.Minutes(labelMinutes * len(b.ps)), Calendar: houseCalendar})
	m.last = append(m.last, schedule.After{Step: label})
}

// seams is what is sewn on one piece: between its panels, and its hems.
func seams(p *plan.Plan) (cm measure.CM) {
	switch n := measure.CM(p.Piece.Panels - 1); p.Piece.Join {
	case plan.JoinSide:
		cm = n * p.Piece.Length
	case plan.JoinEnd:
		cm = n * p.Piece.Width
	}
	for _, pan := range p.Panels {
		for _, b := range pan.Bands {
			if b.Kind == plan.Hem {
				cm += measure.CM(pan.Count) * pan.Width
			}
		}
	}
	return cm
}
