package schedule

import (
	"slices"
)

// net is the problem in numbers. Lines are people first, then places.
type net struct {
	problem *Problem
	hours   *hours
	tasks   []task
	units   []unit
	orders  []order
	people  []member
	lines   []int32   // what each holds at most
	rooms   [][]int32 // places of each line; none of a person's
	stays   []stay
	needs   int // of all tasks
	single  bool
}

type task struct {
	step           int
	options        []option
	open           *clock // when hands may work at it, whoever does
	lead, tail     int32  // standing before and after hands; a problem has only the second
	whole          bool
	needs          []need
	spot           int // of its first need among those of all tasks
	before, behind []edge
	release        int32
	orders         []int32
	stay           int32   // or -1
	rest           []int32 // of its stay that comes after it, in order
	unit           int32   // or -1 if held
	held           bool    // stays where it is
	cut            bool    // a class that the person's other hours are cut for
	least, work    int32   // minutes it takes at the fastest, nights included; of work
	usual          int32   // minutes it takes as a rule, nights included
	latest         int32   // end by which its orders are in time, if all goes well
	kept           bool    // and only since it is there in a plan that others are placed around
	keptAt         int32
	told           *Told
	toldAt         int32
	toldBy         int32 // line of the person
}

// option is who does a task; the line is -1 if no member does.
type option struct {
	line  int32
	work  int32
	rest  int32 // how long what stays with her takes after it, at least
	sum   int32 // work of it and of that
	clock *clock
}

type need struct {
	places  []int32 // lines, the smallest first
	amounts []int32 // on each
}

// edge is to another task.
type edge struct{ task, least, most int32 }

type order struct {
	due    int32 // or never
	weight int64
	from   int32
	tasks  []int32
}

type member struct{ wants, given int64 }

// stay is tasks that stay with one person.
type stay struct {
	tasks []int32
}

// unit is tasks that are placed together, since one may not lie for long before
// the next; most are single.
type unit struct {
	tasks          []int32
	before, behind []int32
}

func newNet(p *Problem) *net {
	n := &net{problem: p, hours: newHours(p)}
	people := map[string]int32{}
	for i, q := range p.People {
		people[q.Key] = int32(i)
		n.people = append(n.people, member{int64(q.Wants), int64(q.Given)})
		n.lines = append(n.lines, 1)
	}
	n.addRooms()
	orders := map[string]int32{}
	for i, o := range p.Orders {
		orders[o.Key] = int32(i)
		own := order{due: never, weight: int64(max(o.Weight, 1))}
		if !o.Due.IsZero() {
			own.due = p.at(o.Due)
		}
		if !o.From.IsZero() {
			own.from = max(0, p.at(o.From))
		}
		n.orders = append(n.orders, own)
	}
	n.single = len(p.Orders) <= 1
	n.addTasks(people, orders)
	return n
}

func (q *Place) capacity() int { return max(q.Capacity, 1) }

func (n *net) addTasks(people, orders map[string]int32) {
	p := n.problem
	index := map[string]int32{}
	for i := range p.Steps {
		index[p.Steps[i].Key] = int32(i)
	}
	classes := n.classes(people)
	stays := map[string]int32{}
	clocks := map[[2]string]*clock{}
	skilled := newSkilled(p)
	n.tasks = make([]task, len(p.Steps))
	for i := range p.Steps {
		s, t := &p.Steps[i], &n.tasks[i]
		*t = task{step: i, tail: int32(s.Stand), whole: s.Whole, spot: n.needs, stay: -1, unit: -1, told: s.Told, toldBy: -1}
		if s.Told != nil {
			t.toldAt = p.at(s.Told.Start)
			if who, ok := people[s.Told.Person]; ok {
				t.toldBy = who
			}
		}
		n.needs += len(s.Needs)
		for _, key := range s.Orders {
			o := orders[key]
			t.orders = append(t.orders, o)
			t.release = max(t.release, n.orders[o].from)
			n.orders[o].tasks = append(n.orders[o].tasks, int32(i))
		}
		for _, a := range s.After {
			most := never
			if a.Max > 0 {
				most = int32(a.Max)
			}
			k := index[a.Step]
			t.before = append(t.before, edge{k, int32(a.Min), most})
		}
		if s.Stay != "" {
			g, ok := stays[s.Stay]
			if !ok {
				g = int32(len(n.stays))
				stays[s.Stay] = g
				n.stays = append(n.stays, stay{})
			}
			t.stay = g
			n.stays[g].tasks = append(n.stays[g].tasks, int32(i))
		}
		n.addOptions(t, skilled.hands(s), people, classes, clocks)
		n.addNeeds(t)
	}
	n.addBehind()
}

func (n *net) addBehind() {
	for i := range n.tasks {
		for _, e := range n.tasks[i].before {
			n.tasks[e.task].behind = append(n.tasks[e.task].behind, edge{int32(i), e.least, e.most})
		}
	}
}

// addOptions compiles who may do a task, each with the hours at which she can.
func (n *net) addOptions(t *task, hands []Hand, people map[string]int32, classes map[int32][]span, clocks map[[2]string]*clock) {
	p := n.problem
	s := &p.Steps[t.step]
	if len(hands) == 0 && s.Skill == "" && len(s.Who) == 0 {
		var own []string
		if s.Calendar != "" {
			own = []string{s.Calendar}
		}
		t.options = []option{{line: -1, work: int32(s.Work), clock: n.hours.of(own)}}
	}
	for _, h := range hands {
		who := people[h.Person]
		c, ok := clocks[[2]string{h.Person, s.Calendar}]
		if !ok {
			c = n.hours.person(&p.People[who], s.Calendar, classes[who])
			clocks[[2]string{h.Person, s.Calendar}] = c
		}
		t.options = append(t.options, option{line: who, work: int32(h.Work), clock: c})
	}
	if !s.At.IsZero() && len(hands) > 0 {
		t.cut = len(hands) == 1
		for k := range t.options { // her hours with those of the class
			t.options[k].clock = n.hours.person(&p.People[t.options[k].line], s.Calendar, nil)
		}
	}
}

// skilled is who has a skill.
type skilled struct {
	people  map[string]*Person
	bySkill map[string][]Hand
}

func newSkilled(p *Problem) *skilled {
	s := &skilled{map[string]*Person{}, map[string][]Hand{}}
	for i := range p.People {
		q := &p.People[i]
		s.people[q.Key] = q
		for _, k := range q.Skills {
			s.bySkill[k] = append(s.bySkill[k], Hand{Person: q.Key})
		}
	}
	return s
}

// hands is who may do a step, each with her work at it.
func (s *skilled) hands(step *Step) (out []Hand) {
	from := step.Who
	if len(from) == 0 {
		from = s.bySkill[step.Skill]
	}
	for _, h := range from {
		if q := s.people[h.Person]; q == nil || step.Skill != "" && !slices.Contains(q.Skills, step.Skill) {
			continue
		}
		if h.Work == 0 {
			h.Work = step.Work
		}
		out = append(out, h)
	}
	return out
}

// classes is the hours that are fixed for each person who is the only one for
// them: her other work goes on after them, as after a night.
func (n *net) classes(people map[string]int32) map[int32][]span {
	p := n.problem
	out := map[int32][]span{}
	skilled := newSkilled(p)
	for i := range p.Steps {
		s := &p.Steps[i]
		if s.At.IsZero() {
			continue
		}
		if hands := skilled.hands(s); len(hands) == 1 {
			who, at := people[hands[0].Person], p.at(s.At)
			out[who] = append(out[who], span{at, at + int32(hands[0].Work)})
		}
	}
	return out
}
