package schedule

import (
	"fmt"
	"slices"
	"strings"

	"urdir/check"
)

// checkAll looks at what only the compiled problem shows: loops, skills nobody
// has, hours that never come, amounts no place holds, stays nobody can keep.
func (n *net) checkAll(ps *check.Problems) {
	n.checkHours(ps)
	n.checkLoops(ps)
	for i := range n.tasks {
		n.checkTask(int32(i), ps)
	}
	if ps.Failed() {
		return
	}
	for g := range n.stays {
		n.checkStay(g, ps)
	}
}

func (n *net) checkHours(ps *check.Problems) {
	p := n.problem
	for i := range p.Calendars {
		if len(p.spans(&p.Calendars[i])) == 0 {
			ps.Wrong(fmt.Sprintf("calendars[%d]", i), "schedule-no-hours", check.Args{"calendar": p.Calendars[i].Key, "days": p.days()})
		}
	}
}

// checkLoops names one loop of steps that each come after the next.
func (n *net) checkLoops(ps *check.Problems) {
	rank := n.rank()
	at := slices.Index(rank, -1)
	if at < 0 {
		return
	}
	var way []int32
	for i := int32(at); ; { // what is unranked has something unranked before it
		if k := slices.Index(way, i); k >= 0 {
			way = way[k:]
			break
		}
		way = append(way, i)
		k := slices.IndexFunc(n.tasks[i].before, func(e edge) bool { return rank[e.task] < 0 })
		i = n.tasks[i].before[k].task
	}
	names := make([]string, 0, len(way)+1)
	for _, i := range way {
		names = append(names, n.problem.Steps[i].Key)
	}
	slices.Reverse(names)
	names = append(names, names[0])
	ps.Wrong(fmt.Sprintf("steps[%d].after", way[0]), "schedule-loop", check.Args{"steps": strings.Join(names, " → ")})
}

func (n *net) checkTask(i int32, ps *check.Problems) {
	t, s := &n.tasks[i], &n.problem.Steps[i]
	path, args := n.wrongStep(i)
	for d := range t.needs {
		if len(t.needs[d].places) == 0 {
			ps.Wrong(fmt.Sprintf("%s.needs[%d]", path, d), "schedule-no-room", n.roomArgs(s, d))
		}
	}
	if len(t.options) == 0 {
		args["skill"] = s.Skill
		ps.Wrong(path+".skill", "schedule-nobody", args)
		return
	}
	if !s.At.IsZero() {
		return // said when it is placed
	}
	longest := int32(0)
	ever := false
	for k := range t.options {
		_, last := t.options[k].clock.run(0, t.options[k].work, t.whole)
		ever = ever || last < never
		longest = max(longest, t.options[k].clock.longest())
	}
	switch {
	case ever:
	case longest > 0 && t.whole:
		args["work"], args["longest"] = int(s.Work), int(longest)
		ps.Wrong(path+".whole", "schedule-whole", args)
	default:
		args["days"] = n.problem.days()
		ps.Wrong(path, "schedule-hours-short", args)
	}
}

// roomArgs is what a need asks for and what there is at most.
func (n *net) roomArgs(s *Step, d int) check.Args {
	most := 0
	for _, q := range n.problem.Places {
		if q.Key == s.Needs[d].Place || s.Needs[d].Place == "" && q.Kind == s.Needs[d].Kind {
			most = max(most, q.capacity())
		}
	}
	where := s.Needs[d].Place
	if where == "" {
		where = s.Needs[d].Kind
	}
	return check.Args{"step": s.Key, "amount": s.Needs[d].Amount, "most": most, "place": where}
}

// checkStay looks whether someone can keep a stay: do all its steps, and have
// hours for them. If it has begun, that is who began it.
func (n *net) checkStay(g int, ps *check.Problems) {
	tasks := n.stays[g].tasks
	args := check.Args{"stay": n.problem.Steps[tasks[0]].Stay}
	path, _ := n.wrongStep(tasks[0])
	who, begun := n.mayStay(g), int32(-1)
	for _, i := range tasks {
		if t := &n.tasks[i]; t.told != nil && t.told.Begun {
			begun = t.toldBy
		}
	}
	if begun < 0 {
		if len(who) == 0 {
			ps.Wrong(path+".stay", "schedule-stay-nobody", args)
		}
		return
	}
	args["person"] = n.problem.People[begun].Key
	work, have := int32(0), never
	for _, i := range tasks {
		t := &n.tasks[i]
		k := t.optionOf(begun)
		if k < 0 {
			path, _ = n.wrongStep(i)
			have = -1
			break
		}
		work += t.options[k].work
		have = min(have, t.options[k].clock.minutes(never))
	}
	if have < work {
		ps.Wrong(path+".stay", "schedule-stay-left", args)
	}
}

// mayStay is who may do all tasks of a stay.
func (n *net) mayStay(g int) (who []int32) {
	for k, i := range n.stays[g].tasks {
		if k == 0 {
			for _, o := range n.tasks[i].options {
				who = append(who, o.line)
			}
			continue
		}
		who = slices.DeleteFunc(who, func(l int32) bool { return n.tasks[i].optionOf(l) < 0 })
	}
	return who
}

// joinStays leaves the tasks of a stay only who may do them all.
func (n *net) joinStays() {
	for g := range n.stays {
		who := n.mayStay(g)
		for _, i := range n.stays[g].tasks {
			t := &n.tasks[i]
			if t.told != nil && t.told.Begun && t.toldBy >= 0 {
				who = []int32{t.toldBy}
			}
		}
		for _, i := range n.stays[g].tasks {
			t := &n.tasks[i]
			t.options = slices.DeleteFunc(t.options, func(o option) bool { return !slices.Contains(who, o.line) })
		}
	}
}
