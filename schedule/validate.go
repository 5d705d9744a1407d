package schedule

import (
	"fmt"

	"urdir/check"
)

// What a problem may hold at most.
const (
	MaxDays   = 1100
	MaxSteps  = 100_000
	MaxPeople = 5_000
	MaxPlaces = 1_000
	MaxOrders = 20_000
	MaxAmount = 1_000_000
	MaxWeight = 1000
)

// maxMinutes is the longest work or wait: ten years by the clock.
const maxMinutes = 10 * 366 * day

// Validate is everything that is wrong with a problem; paths are those of its
// fields. Cautions are what can be planned in spite of it.
func (p *Problem) Validate() check.Problems {
	_, _, ps := p.compile(nil)
	return ps
}

// compile checks a problem and makes its net, with what is fixed on a board, and
// with that what can stay as a plan has it.
func (p *Problem) compile(given *Plan) (*net, *board, check.Problems) {
	v := validator{Problem: p}
	v.frame()
	v.orders()
	if v.ps.Failed() {
		return nil, nil, v.ps
	}
	v.steps()
	if v.ps.Failed() {
		return nil, nil, v.ps
	}
	n := newNet(p)
	n.checkAll(&v.ps)
	if v.ps.Failed() {
		return nil, nil, v.ps
	}
	n.joinStays()
	b := newBoard(n)
	v.ps = append(v.ps, n.hold(b)...)
	if v.ps.Failed() {
		return nil, nil, v.ps
	}
	if given != nil {
		n.keep(b, given)
	}
	n.settle()
	n.choices()
	return n, b, v.ps
}

// validator looks at keys, numbers and what names what.
type validator struct {
	*Problem
	ps                                   check.Problems
	calendar, person, place, kind, order map[string]bool
	step                                 map[string]int
}

// once notes a key.
func (v *validator) once(seen map[string]bool, key, path string) {
	if seen[key] {
		v.ps.Wrong(path+".key", "schedule-key-twice", check.Args{"key": key})
	}
	seen[key] = true
}

// known looks a key up.
func (v *validator) known(seen map[string]bool, key, path string) {
	if !seen[key] {
		v.ps.Wrong(path, "schedule-unknown", check.Args{"key": key})
	}
}

func (v *validator) most(n, most int, path string) {
	if n > most {
		v.ps.Wrong(path, "schedule-too-many", check.Args{"n": n, "most": most})
	}
}

func (v *validator) frame() {
	v.calendar, v.person, v.place = map[string]bool{}, map[string]bool{}, map[string]bool{}
	v.kind, v.order, v.step = map[string]bool{}, map[string]bool{}, map[string]int{}
	v.most(len(v.People), MaxPeople, "people")
	v.most(len(v.Places), MaxPlaces, "places")
	v.most(len(v.Orders), MaxOrders, "orders")
	v.most(len(v.Steps), MaxSteps, "steps")
	if v.Days < 0 || v.Days > MaxDays {
		v.ps.Wrong("days", "schedule-days", check.Args{"most": MaxDays})
	}
	for i := range v.Calendars {
		c := &v.Calendars[i]
		path := fmt.Sprintf("calendars[%d]", i)
		v.once(v.calendar, c.Key, path)
		for k, h := range c.Weekly {
			v.span(h.Span, c.Key, fmt.Sprintf("%s.weekly[%d]", path, k))
		}
		for k, r := range c.Rules {
			if !r.From.real() || !r.To.real() {
				v.ps.Wrong(fmt.Sprintf("%s.rules[%d]", path, k), "schedule-date", check.Args{"calendar": c.Key})
			}
			for _, h := range r.Hours {
				v.span(h, c.Key, fmt.Sprintf("%s.rules[%d]", path, k))
			}
		}
	}
	for i, q := range v.People {
		path := fmt.Sprintf("people[%d]", i)
		v.once(v.person, q.Key, path)
		v.minutes(q.Wants, q.Key, path+".wants")
		v.minutes(q.Given, q.Key, path+".given")
		v.minutes(q.Overtime, q.Key, path+".overtime")
		for _, c := range q.Calendars {
			v.known(v.calendar, c, path+".calendars")
		}
	}
	for i, q := range v.Places {
		path := fmt.Sprintf("places[%d]", i)
		v.once(v.place, q.Key, path)
		v.kind[q.Kind] = true
		v.amount(q.Capacity, q.Key, path+".capacity")
	}
}

func (v *validator) span(h Span, calendar, path string) {
	if h.From < 0 || h.From >= h.To || h.To > day {
		v.ps.Wrong(path, "schedule-hours", check.Args{"calendar": calendar})
	}
}

func (v *validator) minutes(m Minutes, of, path string) {
	if m < 0 || m > maxMinutes {
		v.ps.Wrong(path, "schedule-minutes", check.Args{"of": of})
	}
}

func (v *validator) amount(n int, of, path string) {
	if n < 0 || n > MaxAmount {
		v.ps.Wrong(path, "schedule-amount", check.Args{"of": of, "most": MaxAmount})
	}
}

func (v *validator) orders() {
	for i, o := range v.Orders {
		path := fmt.Sprintf("orders[%d]", i)
		v.once(v.order, o.Key, path)
		if o.Weight < 0 || o.Weight > MaxWeight {
			v.ps.Wrong(path+".weight", "schedule-weight", check.Args{"order": o.Key, "most": MaxWeight})
		}
		if !o.Due.IsZero() && o.Due.Before(v.Begin) {
			v.ps.Look(path+".due", "schedule-past", check.Args{"order": o.Key, "due": v.say(Minutes(v.at(o.Due)))})
		}
	}
}

func (v *validator) steps() {
	keys := map[string]bool{}
	for i := range v.Steps {
		v.once(keys, v.Steps[i].Key, fmt.Sprintf("steps[%d]", i))
		v.step[v.Steps[i].Key] = i
	}
	for i := range v.Steps {
		s := &v.Steps[i]
		path := fmt.Sprintf("steps[%d]", i)
		v.minutes(s.Work, s.Key, path+".work")
		v.minutes(s.Stand, s.Key, path+".stand")
		for _, o := range s.Orders {
			v.known(v.order, o, path+".orders")
		}
		for k, h := range s.Who {
			v.known(v.person, h.Person, fmt.Sprintf("%s.who[%d]", path, k))
			v.minutes(h.Work, s.Key, fmt.Sprintf("%s.who[%d].work", path, k))
		}
		if s.Calendar != "" {
			v.known(v.calendar, s.Calendar, path+".calendar")
		}
		if s.Told != nil && s.Told.Person != "" {
			v.known(v.person, s.Told.Person, path+".told.person")
		}
		v.needs(s, path)
		v.waits(s, path)
	}
}

func (v *validator) needs(s *Step, path string) {
	seen := map[string]bool{}
	for k, d := range s.Needs {
		at := fmt.Sprintf("%s.needs[%d]", path, k)
		v.amount(d.Amount, s.Key, at)
		key := d.Place + "\x00" + d.Kind
		if d.Place != "" {
			v.known(v.place, d.Place, at)
			key = d.Place
		} else {
			v.known(v.kind, d.Kind, at)
		}
		if seen[key] {
			v.ps.Wrong(at, "schedule-need-twice", check.Args{"step": s.Key})
		}
		seen[key] = true
	}
}

func (v *validator) waits(s *Step, path string) {
	for k, a := range s.After {
		at := fmt.Sprintf("%s.after[%d]", path, k)
		if _, ok := v.step[a.Step]; !ok {
			v.ps.Wrong(at, "schedule-unknown", check.Args{"key": a.Step})
		}
		v.minutes(a.Min, s.Key, at+".min")
		v.minutes(a.Max, s.Key, at+".max")
		if a.Max > 0 && a.Max < a.Min {
			v.ps.Wrong(at, "schedule-wait", check.Args{"step": s.Key, "before": a.Step, "min": int(a.Min), "max": int(a.Max)})
		}
	}
}
