package workshop

import (
	"slices"
	"strings"
	"testing"
	"time"

	"urdir/check"
)

// class confirms a class of the example cloth, with yarn for it.
func (s *shop) class(day string, learners int) OrderView {
	o := s.draft(example("class"), learners)
	o = must(s.h.SaveClass(ctx, s.seller, o.ID, o.Revision, &Class{Day: day, From: 9 * 60, To: 13 * 60, Seats: 8, Learners: learners, Ahead: 14}))
	must(s.h.ConfirmOrder(ctx, s.seller, o.ID, o.Revision))
	return s.supply(o.ID, 1)
}

// A class is held at its hours by someone who teaches; its warps are on looms by
// then, and are not begun before its preparing does.
func TestClass_prepared(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := calendarShop(t, address)
		s.running("bag", 1)
		o := s.class("2031-06-10", 3)
		if o.Value.Due != "2031-06-10" {
			t.Errorf("due on %s", o.Value.Due)
		}
		tt := must(s.h.Timetable(ctx, s.head, 200))
		s.sound(tt)
		zone := tt.Zone
		held := tt.task(t, o.ID, ClassTask)
		if want := time.Date(2031, 6, 10, 9, 0, 0, 0, zone); !held.Start.Equal(want) || !held.End.Equal(want.Add(4*time.Hour)) || tt.Names[held.Member] != "Hilaria" {
			t.Errorf("held from %s to %s by %s", held.Start, held.End, tt.Names[held.Member])
		}
		from := time.Date(2031, 5, 27, 9, 0, 0, 0, zone)
		dressed := 0
		for _, k := range tt.Tasks {
			if !slices.Contains(k.Orders, o.ID) || k.Kind == ClassTask {
				continue
			}
			if k.Start.Before(from) || k.End.After(held.Start) {
				t.Errorf("%s from %s to %s", k.Key, k.Start, k.End)
			}
			if k.Kind == DressTask {
				dressed++
			}
		}
		if dressed != 3 || tt.order(o.ID).Late != 0 {
			t.Errorf("%d warps on looms, %d days late", dressed, tt.order(o.ID).Late)
		}
		chain := must(s.h.WhyDate(ctx, s.head, o.ID, 200))
		if len(chain) < 3 || chain[0].Cause != ClassDay || chain[1].Kind != DressTask {
			t.Errorf("why then: %+v", chain)
		}
	})
}

// Who teaches and weaves leaves her loom for the class and goes on after it: her
// hands are never at both.
func TestClass_teacherWeaves(t *testing.T) {
	s := calendarShop(t, file(t))
	for _, m := range must(s.h.Members(ctx, s.head, Page{})).Items {
		k, _, err := s.h.Member(ctx, s.head, m.ID)
		k = must(k, err)
		k.Value.Skills = []string{"sew", "dye"}
		if m.ID == s.weaver.Member {
			k.Value.Skills = []string{"lay", "weave", "brocade", "teach", "sew"}
		}
		must(s.h.SaveMember(ctx, s.head, k))
	}
	scarf := s.running("scarf", 2)
	weave := must(s.h.Timetable(ctx, s.head, 100)).task(t, scarf.ID, WeaveTask)
	if len(weave.Hands) < 4 {
		t.Fatalf("woven in %d stretches", len(weave.Hands))
	}
	day := weave.Hands[2].From.Format(time.DateOnly)
	o := s.draft(example("class"), 1)
	o = must(s.h.SaveClass(ctx, s.seller, o.ID, o.Revision, &Class{Day: day, From: 9 * 60, To: 11 * 60, Seats: 8, Ahead: 14}))
	must(s.h.ConfirmOrder(ctx, s.seller, o.ID, o.Revision))
	tt := must(s.h.Timetable(ctx, s.head, 200))
	s.sound(tt)
	if held := tt.task(t, o.ID, ClassTask); held.Member != s.weaver.Member || held.Start.Hour() != 9 {
		t.Errorf("held by %s at %s", tt.Names[held.Member], held.Start)
	}
}

// A class gets a class's answer: how sure its warps stand on looms the evening
// before; and of one without a day, on which it could be held.
func TestClass_date(t *testing.T) {
	s := calendarShop(t, file(t))
	s.running("bag", 1)
	free := must(s.h.PromiseFor(ctx, s.seller, Ask{Lines: []AskLine{{example("class"), 3}}, Class: true}))
	woven := must(s.h.PromiseFor(ctx, s.seller, Ask{Lines: []AskLine{{example("class"), 3}}}))
	if free.Class == nil || !free.When.Before(woven.When) || slices.ContainsFunc(free.Tasks, func(k Task) bool { return k.Kind == WeaveTask || k.Kind == ClassTask }) {
		t.Errorf("its warps by %s, woven by %s; %d tasks", free.When, woven.When, len(free.Tasks))
	}
	ready := iso(free.Day)
	if day := must(time.Parse(time.DateOnly, free.Held)); free.Held <= ready || day.Weekday() == time.Saturday || day.Weekday() == time.Sunday {
		t.Errorf("ready by %s, held on %s, a %s", ready, free.Held, day.Weekday())
	}

	soonest := free.HeldAfter(free.Timetable.Begin.Format(time.DateOnly))
	sure := func(day string) Answer {
		o := s.class(day, 3)
		a := must(s.h.PromiseFor(ctx, s.seller, Ask{Order: o.ID}))
		if iso(a.Day) != dayAfter(day, -1) || a.Reached != a.Chance(dayAfter(day, -1)) {
			t.Errorf("class on %s: its warps by %s", day, iso(a.Day))
		}
		if len(a.Why) == 0 || a.Why[0].Kind != DressTask {
			t.Errorf("class on %s hangs on %+v", day, a.Why)
		}
		return a
	}
	late := sure(dayAfter(free.Held, 21))
	if late.Reached < 0.95 {
		t.Errorf("with three weeks to spare it is %v sure", late.Reached)
	}
	if soon := sure(soonest); soon.Reached > late.Reached/2 || soon.Held <= soonest { // however good the plan
		t.Errorf("on %s it is %v sure, could be held on %s", soonest, soon.Reached, soon.Held)
	}
}

func TestClass_inTheWay(t *testing.T) {
	s := calendarShop(t, file(t))
	s.running("bag", 1)
	find := func(ps check.Problems, code string) bool {
		return slices.ContainsFunc(ps, func(p check.Problem) bool { return p.Code == code })
	}

	// Saturday: nobody offers hours.
	o := s.class("2031-06-14", 2)
	tt := must(s.h.Timetable(ctx, s.head, 50))
	if len(tt.Left) != 1 || tt.Left[0].ID != o.ID || !find(tt.Left[0].Problems, "calendar-class-away") {
		t.Errorf("on a day nobody works: %+v", tt.Left)
	}
	o.Kept = must(s.h.Order(ctx, s.head, o.ID)).Kept
	k := must(s.h.SaveClass(ctx, s.seller, o.ID, o.Revision, &Class{Day: "2031-06-10", From: 540, To: 780, Seats: 8, Learners: 6}))
	tt = must(s.h.Timetable(ctx, s.head, 50))
	if len(tt.Left) != 0 || !find(tt.Problems, "class-kits") {
		t.Errorf("two warps for six learners: %+v, %v", tt.Left, tt.Problems)
	}
	set := must(s.h.Settings(ctx, s.head))
	set.Value.Calendar.Looms = 1
	must(s.h.SaveSettings(ctx, s.head, set))
	if tt = must(s.h.Timetable(ctx, s.head, 50)); !find(tt.Problems, "class-looms") {
		t.Errorf("two warps on one loom: %v", tt.Problems)
	}

	for code, c := range map[string]Class{
		"day field-empty":       {From: 540, To: 780, Seats: 8},
		"day date-unread":       {Day: "morgen", From: 540, To: 780, Seats: 8},
		"from hours-order":      {Day: "2031-06-10", From: 780, To: 540, Seats: 8},
		"seats out-of-range":    {Day: "2031-06-10", From: 540, To: 780},
		"learners class-seats":  {Day: "2031-06-10", From: 540, To: 780, Seats: 3, Learners: 4},
		"teacher class-teacher": {Day: "2031-06-10", From: 540, To: 780, Seats: 3, Teacher: s.weaver.Member},
		"ahead out-of-range":    {Day: "2031-06-10", From: 540, To: 780, Seats: 3, Ahead: 1000},
	} {
		path, want, _ := strings.Cut(code, " ")
		_, err := s.h.SaveClass(ctx, s.seller, k.ID, k.Revision, &c)
		wantProblem(t, code, err, path, want)
	}
	s.clock.pass(60 * 24 * time.Hour)
	if tt = must(s.h.Timetable(ctx, s.head, 50)); len(tt.Left) != 1 || !find(tt.Left[0].Problems, "class-over") {
		t.Errorf("a class of last month: %+v", tt.Left)
	}
}
