package workshop

import (
	"slices"
	"strings"
	"testing"
	"time"

	"urdir/check"
	"urdir/schedule"
)

// task finds a task of a kind of an order.
func (t Timetable) task(tb testing.TB, order string, kind TaskKind) Task {
	tb.Helper()
	for _, k := range t.Tasks {
		if k.Kind == kind && slices.Contains(k.Orders, order) {
			return k
		}
	}
	tb.Fatalf("order %s has no task %s", order, kind)
	return Task{}
}

func (t Timetable) order(id string) OrderTime {
	for _, o := range t.Orders {
		if o.ID == id {
			return o
		}
	}
	return OrderTime{}
}

// From the plan to what people are told, a move with what follows from it, and
// back again.
func TestTimetable_story(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := calendarShop(t, address)
		scarf, bag := s.running("scarf", 2), s.running("bag", 1)
		tt := must(s.h.Timetable(ctx, s.seller, 200))
		s.sound(tt)
		if len(tt.Left) != 0 || len(tt.Orders) != 2 || len(tt.Shares) != 3 || tt.Fairness <= 0 || tt.Score.Broken != 0 {
			t.Fatalf("left %v, orders %v, shares %v, fairness %v, score %v", tt.Left, tt.Orders, tt.Shares, tt.Fairness, tt.Score)
		}
		if again := must(s.h.Timetable(ctx, s.seller, 200)); again.Mark != tt.Mark || again.Score != tt.Score {
			t.Error("asked again, another timetable")
		}

		// Told: from now on it stays, whatever is looked for.
		said := must(s.h.AcceptTimetable(ctx, s.dyer, tt.Mark, 200, ""))
		told := must(s.h.Timetable(ctx, s.seller, 900))
		s.sound(told)
		for _, k := range told.Tasks {
			if k.tells() && !k.Told {
				t.Errorf("%s: was told %+v, stands at %s", k.Key, k.Was, k.Start)
			}
		}
		mine := must(s.h.Turns(ctx, s.weaver))
		if len(mine) == 0 || slices.ContainsFunc(mine, func(v TurnView) bool { return v.Member != s.weaver.Member }) {
			t.Errorf("her turns: %v", mine)
		}
		_, err := s.h.AcceptTimetable(ctx, s.dyer, tt.Mark, 200, "")
		wantProblem(t, "an old timetable", err, "", "timetable-changed")

		// A move: the weaving of the scarf goes to the other weaver a week later.
		weave := told.task(t, scarf.ID, WeaveTask)
		other := s.other.Member
		if weave.Member == other {
			other = s.weaver.Member
		}
		s.clock.pass(time.Minute)
		shift := Shift{Task: weave.Key, Member: other, Start: weave.Start.AddDate(0, 0, 7)}
		shown := must(s.h.TryMove(ctx, s.dyer, shift, 200))
		if shown.Problems.Failed() || shown.Now.Member != other || shown.Now.Start.Before(shift.Start) {
			t.Fatalf("shown %+v, %v", shown.Now, shown.Problems)
		}
		if !slices.ContainsFunc(shown.Orders, func(o OrderShifted) bool { return o.ID == scarf.ID && o.Ready.After(o.Was) }) {
			t.Errorf("orders moved: %+v", shown.Orders)
		}
		if now := must(s.h.Timetable(ctx, s.dyer, 200)).task(t, scarf.ID, WeaveTask); !now.Start.Equal(weave.Start) {
			t.Error("looking at a move moved it")
		}
		if !shown.Asks() {
			t.Error("she was told otherwise, and nobody would ask her")
		}
		_, _, err = s.h.MoveStep(ctx, s.dyer, shift, shown.Mark, 200)
		wantProblem(t, "without having asked", err, "asked", "move-unasked")
		shift.Asked = true
		_, moved, err := s.h.MoveStep(ctx, s.dyer, shift, shown.Mark, 200)
		must(0, err)
		after := must(s.h.Timetable(ctx, s.dyer, 200))
		s.sound(after)
		if now := after.task(t, scarf.ID, WeaveTask); now.Member != other || !now.Start.Equal(shown.Now.Start) || !now.Told {
			t.Errorf("moved to %s by %s, shown was %s", now.Start, after.Names[now.Member], shown.Now.Start)
		}
		if got, want := after.order(bag.ID).Ready.Format(time.DateOnly), shown.ready(told, bag.ID); got != want {
			t.Errorf("the bag is ready on %s, shown was %s", got, want)
		}

		// And back: first the move, then all of it.
		wantProblem(t, "the first telling, while the move stands", s.h.UndoTelling(ctx, s.dyer, said.ID), "", "undo-moved-on")
		must(0, s.h.UndoTelling(ctx, s.dyer, moved.ID))
		if now := must(s.h.Timetable(ctx, s.dyer, 200)).task(t, scarf.ID, WeaveTask); !now.Start.Equal(weave.Start) || now.Member != weave.Member {
			t.Errorf("undone, it stands at %s", now.Start)
		}
		wantProblem(t, "twice", s.h.UndoTelling(ctx, s.dyer, moved.ID), "", "nothing-to-undo")
		l := must(s.h.Retellings(ctx, s.seller, Page{}))
		if len(l.Items) != 2 || !l.Items[0].Value.Undone || l.Items[0].Value.Move == nil || l.Items[1].Value.Undone {
			t.Errorf("what was told: %+v", l.Items)
		}
	})
}

// ready is when an order is ready by a move, or as it is if it does not change.
func (m Shifted) ready(t Timetable, id string) string {
	for _, o := range m.Orders {
		if o.ID == id {
			return o.Ready.Format(time.DateOnly)
		}
	}
	return t.order(id).Ready.Format(time.DateOnly)
}

// The work of a warp is done by facts, one after the other: what is done is no
// task any more, and what a member has stays hers.
func TestTimetable_followsFacts(t *testing.T) {
	s := calendarShop(t, file(t))
	o := s.running("scarf", 2)
	s.running("bag", 1)
	count := func() (kinds []TaskKind, weave Task) {
		tt := must(s.h.Timetable(ctx, s.head, 50))
		s.sound(tt)
		for _, k := range tt.Tasks {
			if slices.Contains(k.Orders, o.ID) {
				kinds = append(kinds, k.Kind)
				if k.Kind == WeaveTask {
					weave = k
				}
			}
		}
		return kinds, weave
	}
	want := func(what string, got []TaskKind, first TaskKind, n int) {
		t.Helper()
		if len(got) != n || got[0] != first {
			t.Errorf("%s: tasks %v, want %d from %s", what, got, n, first)
		}
	}
	kinds, whole := count()
	want("waiting", kinds, WindTask, 9)
	j := s.give(o.Jobs[0], s.other)
	kinds, weave := count()
	want("given", kinds, WindTask, 9)
	if weave.Member != s.other.Member {
		t.Errorf("given to one, planned for %s", weave.Member)
	}
	j = must(s.h.Laid(ctx, s.other, j.ID, j.Revision))
	kinds, _ = count()
	want("laid", kinds, DressTask, 7)
	j = must(s.h.Tell(ctx, s.other, j.ID, j.Revision, j.Value.Length/2, 0))
	kinds, half := count()
	want("half woven", kinds, WeaveTask, 6)
	if ratio := float64(half.Minutes) / float64(whole.Minutes); !half.Begun || ratio < 0.48 || ratio > 0.52 {
		t.Errorf("half woven: begun %v, %d min left of %d", half.Begun, half.Minutes, whole.Minutes)
	}
	must(s.h.TakeBack(ctx, s.dyer, j.ID, j.Revision, grams(s.in(Bag(j.ID))*9/10), nil))
	kinds, _ = count()
	want("taken back", kinds, WashTask, 4)
	for _, x := range o.Pieces {
		must(s.h.Finish(ctx, s.seller, x.ID, x.Revision, 20, 150, 20, ""))
	}
	kinds, _ = count()
	want("finished", kinds, LabelTask, 2)
}

// What stands in the way is said of the order it stands in, and the others are
// planned all the same.
func TestTimetable_inTheWay(t *testing.T) {
	s := calendarShop(t, file(t))
	good := s.running("bag", 1)
	left := func(what, order, code string) Timetable {
		t.Helper()
		tt := must(s.h.Timetable(ctx, s.head, 50))
		s.sound(tt)
		if len(tt.Left) != 1 || tt.Left[0].ID != order || !slices.ContainsFunc([]string{tt.Left[0].Problems[0].Code}, func(c string) bool { return c == code }) {
			t.Errorf("%s: left %+v, want order with %s", what, tt.Left, code)
		}
		if tt.order(good.ID).ID == "" {
			t.Errorf("%s: the other order is not planned", what)
		}
		return tt
	}

	// A member leaves in mid-warp.
	scarf := s.running("scarf", 1)
	j := s.give(scarf.Jobs[0], s.other)
	must(s.h.Laid(ctx, s.other, j.ID, j.Revision))
	m, _, err := s.h.Member(ctx, s.head, s.other.Member)
	must(0, err)
	m.Value.Away = true
	m = must(s.h.SaveMember(ctx, s.head, m))
	left("she left", scarf.ID, "calendar-left")
	m.Value.Away = false
	must(s.h.SaveMember(ctx, s.head, m))

	// Nobody has the skill: only Benita does pick-up, and she stops.
	sash := s.running("sash", 1)
	b, _, err := s.h.Member(ctx, s.head, s.weaver.Member)
	must(0, err)
	b.Value.Skills = []string{"lay", "weave", "brocade"}
	must(s.h.SaveMember(ctx, s.head, b))
	tt := left("nobody does pick-up", sash.ID, "calendar-nobody")
	if tt.Left[0].Problems[0].Args["pickup"] != true {
		t.Errorf("which skill: %v", tt.Left[0].Problems[0].Args)
	}

	// A due date in the past is a caution: the order is planned, and late.
	s.clock.pass(90 * 24 * time.Hour)
	tt = must(s.h.Timetable(ctx, s.head, 50))
	if !slices.ContainsFunc(tt.Problems, func(p check.Problem) bool { return p.Code == "calendar-past" && p.Args["due"] == "2031-07-01" }) || tt.order(good.ID).Late < 30 {
		t.Errorf("due long ago: %v, %d days late", tt.Problems, tt.order(good.ID).Late)
	}
}

// A step that is given to somebody who is free then has no other order's steps told
// anew.
func TestTryMove_fewAreTold(t *testing.T) {
	s := calendarShop(t, file(t))
	s.running("scarf", 2)
	s.running("bag", 1)
	s.running("shawl", 1)
	tt := must(s.h.Timetable(ctx, s.head, 200))
	must(s.h.AcceptTimetable(ctx, s.head, tt.Mark, 200, ""))
	tt = must(s.h.Timetable(ctx, s.head, 200))
	busy := func(member string, from, to time.Time) bool {
		return slices.ContainsFunc(tt.Tasks, func(k Task) bool { return k.Member == member && k.First.Before(to) && from.Before(k.Last) })
	}
	moves := 0
	for _, k := range tt.Tasks {
		if k.Kind == DressTask || k.Kind == WeaveTask {
			continue // they stay with one member: one would go with the other
		}
		for _, other := range tt.MayDo(k) {
			at, hers := tt.HourFor(other, k.Start.Format(time.DateOnly), k.Start)
			if other == k.Member || !hers || moves == 4 || busy(other, at, at.AddDate(0, 0, 14)) {
				continue
			}
			moves++
			shown := must(s.h.TryMove(ctx, s.head, Shift{Task: k.Key, Member: other, Start: at}, 200))
			if shown.Problems.Failed() || !shown.Now.Start.Equal(at) {
				t.Errorf("%s to %s at %s: at %s, %v", k.Key, tt.Names[other], at, shown.Now.Start, shown.Problems)
			}
			for _, m := range shown.Tasks {
				if m.Orders[0] != k.Orders[0] {
					t.Errorf("%s moves with %s", m.Key, k.Key)
				}
			}
		}
	}
	if moves == 0 {
		t.Error("nobody was ever free")
	}
}

// Steps that wait for each other: no record can say so, since every kind of work has
// its place in line; should the line ever be wrong, the order is set apart, and it is
// said which.
func TestTimetable_loop(t *testing.T) {
	s := calendarShop(t, file(t))
	good, bad := s.running("bag", 1), s.running("scarf", 1)
	tt := must(s.h.Timetable(ctx, s.head, 50))
	w := tt.works
	first, last := w.step(bad.Jobs[0].ID+"/"+string(WindTask)), w.step(bad.Jobs[0].ID+"/"+string(WeaveTask))
	first.After = append(first.After, schedule.After{Step: last.Key})
	if search := w.sift(); search == nil || len(w.left) != 1 || w.left[0].ID != bad.ID {
		t.Fatalf("set apart: %+v", w.left)
	}
	if p := w.left[0].Problems[0]; p.Code != "calendar-loop" || !strings.Contains(p.Args["what"].(string), "#2 ") {
		t.Errorf("of the loop it is said: %v", p)
	}
	if !slices.ContainsFunc(w.problem.Orders, func(o schedule.Order) bool { return o.Key == good.ID }) {
		t.Error("the other order is not planned")
	}
}

// A calendar without hours: nothing is planned, and that is said.
func TestTimetable_noHours(t *testing.T) {
	s := newShop(t, file(t))
	s.running("scarf", 1)
	for _, p := range []Person{s.weaver, s.other} {
		m, _, err := s.h.Member(ctx, s.head, p.Member)
		must(0, err)
		m.Value.Hours = 0
		must(s.h.SaveMember(ctx, s.head, m))
	}
	tt := must(s.h.Timetable(ctx, s.head, 50))
	if len(tt.Tasks) != 0 || !slices.ContainsFunc(tt.Problems, func(p check.Problem) bool { return p.Code == "calendar-no-hours" }) {
		t.Errorf("nobody offers hours: %d tasks, %v", len(tt.Tasks), tt.Problems)
	}
	set := must(s.h.Settings(ctx, s.head))
	set.Value.Week = map[string]int{}
	must(s.h.SaveSettings(ctx, s.head, set))
	tt = must(s.h.Timetable(ctx, s.head, 50))
	if !slices.ContainsFunc(tt.Problems, func(p check.Problem) bool { return p.Code == "calendar-shut" }) {
		t.Errorf("the workshop is never open: %v", tt.Problems)
	}
	_, err := s.h.PromiseFor(ctx, s.head, Ask{Lines: []AskLine{{example("scarf"), 1}}})
	wantProblem(t, "a promise where nobody works", err, "week", "calendar-shut")
}

// What an order waits for is named back to now, and what would make it earlier is
// tried.
func TestWhyDate(t *testing.T) {
	s := calendarShop(t, file(t))
	o := s.running("scarf", 2)
	s.running("bag", 1)
	tt := must(s.h.Timetable(ctx, s.head, 100))
	chain := must(s.h.WhyDate(ctx, s.seller, o.ID, 100))
	if len(chain) < 5 || chain[0].Kind != DeliverTask || !chain[0].End.Equal(tt.order(o.ID).Ready) {
		t.Fatalf("chain of %d from %s", len(chain), chain[0].Kind)
	}
	for i, l := range chain {
		last := i == len(chain)-1
		if last != (l.By == nil) {
			t.Errorf("link %d, %s, waits for %v (%s)", i, l.Key, l.By, l.Cause)
		}
		if !last && chain[i+1].Key != l.By.Key {
			t.Errorf("link %d waits for %s, the next is %s", i, l.By.Key, chain[i+1].Key)
		}
	}
	tries := must(s.h.Earlier(ctx, s.seller, o.ID, 100))
	over := slices.IndexFunc(tries, func(k Try) bool { return k.Kind == Overtime && k.Days > 0 })
	if over < 0 || !tries[over].Ready.Before(tt.order(o.ID).Ready) {
		t.Errorf("two hours more a day make nothing earlier: %+v", tries)
	}
	_, err := s.h.WhyDate(ctx, s.seller, "nothing", 100)
	wantCode(t, "an order that is not there", err, NotFound)
}
